"""Answers about what is in the book: where, who is in there, who holds, what happened, who belongs to the club."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from bot.mornings import MORNING, night_of
from bot.replies import naming, recorded
from bot.replies.words import Style, by_sex, capital, counted, days_long, listed, percent
from core.events import Entry, Voided
from core.fishroom.choices import level_of
from core.fishroom.ordering import in_order, live
from core.fishroom.state import Batch, Brood, Club, Fish, Fishroom

MOST_LINES = 40
"""Lines of a history that are shown; the older are counted."""


def no_answer(kind: str) -> str:
    """A query whose answer is not there."""
    return f"I understand that you ask for {kind.replace('_', ' ')}, but I have no answer to that."


def where_fish(room: Fishroom, fish: Fish, style: Style) -> str:
    """Where a fish is, since when."""
    if fish.place is None:
        return f"{naming.fish_name(fish)}: the book does not say where."
    since = next((stay.since for stay in reversed(fish.stays) if stay.place == fish.place), None)
    return f"{naming.fish_name(fish)} is in {fish.place}" + (f" since {style.day(since)}." if since else ".")


def groups_line(batch: Batch) -> str:
    """Where the fish of a batch are, by sex."""
    parts = []
    for place in batch.places:
        here = [group for group in batch.groups if group.place == place and group.count]
        total = sum(group.count for group in here)
        sexed = [group for group in here if group.sex != "unsexed"]
        detail = f" ({by_sex(*(sum(g.count for g in here if g.sex == sex) for sex in ('male', 'female', 'unsexed')))})"
        parts.append(f"{total} in {place}{detail if sexed else ''}")
    homeless = sum(group.count for group in batch.groups if group.place is None)
    if homeless:
        parts.append(f"{homeless} without a place in the book")
    return listed(parts)


def where_batch(room: Fishroom, batch: Batch, style: Style) -> str:
    """Where a batch is."""
    if not batch.count:
        return f"Batch {batch.label} has no fish left in the book."
    return f"{naming.batch(room, batch.id, with_strain=True)}: {groups_line(batch)}."


def contents(room: Fishroom, place: str, style: Style) -> str:
    """Breeders and batches in a place, and in the boxes that hang in it."""
    lines: list[str] = []
    fish = sorted(room.fish_in(place), key=lambda one: (one.sex, one.label.zfill(4)))
    for one in fish:
        brood = room.brood_of(one.id)
        lines.append(f"• {naming.fish_name(one)}, {naming.strain(room, one.strain)}{_holding(brood, style)}")
    for batch in room.batches_in(place):
        total = sum(group.count for group in batch.groups if group.place == place)
        kind = naming.kind_of_batch(room, batch)
        lines.append(f"• Batch {batch.label}, {kind}: {counted(total, 'fish', 'fish', approx=batch.approx)}")
    hanging = [other.name for other in room.places.values() if other.hangs_in == place and not other.retired]
    lines += [f"• {name} hangs in it: {_short(room, name)}" for name in hanging]
    deaths = sum(one.count for one in room.unassigned if one.place == place)
    if deaths:
        lines.append(f"• {counted(deaths, 'death')} there not yet assigned to a batch: a count settles it")
    return f"{capital(place)}:\n" + "\n".join(lines) if lines else f"{capital(place)} is empty in the book."


def _short(room: Fishroom, place: str) -> str:
    found = [f"batch {batch.label} ({batch.count})" for batch in room.batches_in(place)]
    found += [naming.inside(naming.fish_name(fish)) for fish in room.fish_in(place)]
    return listed(found) or "empty"


def _holding(brood: Brood | None, style: Style) -> str:
    if brood is None or brood.since is None:
        return ""
    return f", holding since {style.day(brood.since)} (day {(style.today - brood.since).days})"


def holding_list(room: Fishroom, style: Style) -> str:
    """Every female that carries, the longest first."""
    broods = sorted((room.broods[brood] for brood in room.holding.values()), key=lambda one: one.since or style.today)
    if not broods:
        return "Nobody is holding, as far as the book knows."
    lines = []
    for brood in broods:
        fish = room.fish.get(brood.female)
        place = f", {fish.place}" if fish and fish.place else ""
        lines.append(f"• {naming.fish(room, brood.female, with_strain=True)}{place}{_holding(brood, style)}")
    return "Holding now:\n" + "\n".join(lines)


def history(
    room: Fishroom,
    entries: Iterable[Entry],
    fish: str | None,
    batch: str | None,
    place: str | None,
    style: Style,
    names: Mapping[str, str],
    texts: Callable[[Iterable[str]], Mapping[str, str]],
) -> str:
    """What happened, oldest first; of a place also what was done to all that was in it then."""
    about = [entry for entry in in_order(live(list(entries))) if concerns(room, entry, fish, batch, place)]
    keys = [entry.event.text for entry in about if getattr(entry.event, "text", None)]  # type: ignore[attr-defined]
    scene = recorded.Scene(room, style, names, texts(keys) if keys else {}, past=True)
    name = naming.subject(room, fish, batch, place)
    shown = about[-MOST_LINES:]
    lines = [f"{style.day(entry.on)}: {recorded.line(entry, scene)}" for entry in shown if not isinstance(entry.event, Voided)]
    if not lines:
        return f"{name}: nothing in the book yet."
    older = f"\n({counted(len(about) - len(shown), 'older line')} not shown)" if len(about) > len(shown) else ""
    return f"{name}:\n" + "\n".join(f"• {line}" for line in lines) + older


def concerns(room: Fishroom, entry: Entry, fish: str | None, batch: str | None, place: str | None) -> bool:
    """Whether an entry is about the fish, the batch or the place."""
    event: Any = entry.event
    named = {getattr(event, name, None) for name in ("fish", "female", "male", "subject", "batch", "new", "into", "from_batch")}
    named |= set(getattr(event, "batches", ()))
    if fish is not None:
        return fish in named
    if batch is not None:
        number = getattr(event, "reservation", None)
        found = room.reservations.get(number) if number is not None else None
        return batch in named or (found is not None and found.batch == batch)
    return place in {getattr(event, name, None) for name in ("place", "to", "from_place", "hangs_in")}


def settings(person: Any, club: Any, state: Club, room: Fishroom | None, style: Style) -> str:
    """The member's choices, the fishroom's, and the club's."""
    start, end = night_of(person.quiet_from, person.quiet_to)
    quiet = "none" if start == end else f"{style.clock(start)} to {style.clock(end)}"
    digest = style.clock(person.digest_time or MORNING)
    lines = [
        f"Time zone: {person.zone or club.zone}",
        f"Units: {'US' if style.units == 'us' else 'metric'}; dates: {'day first' if style.dates == 'DMY' else 'month first'}",
        f"Digest at: {digest}; quiet hours: {quiet}",
    ]
    if room is not None:
        lines += [f"{capital(name.replace('_', ' '))}: {value}" for name, value in sorted(room.settings.items())]
    level = percent(level_of(state))
    lines.append(f"Club: {club.name}; promises are kept at least {level} of the time; currency {style.currency}")
    return "\n".join(lines)


def people(club: str, members: Sequence[Any], rooms: Mapping[str, Sequence[str]]) -> str:
    """Who is in the club."""
    keeps = {person for keepers in rooms.values() for person in keepers}
    lines = []
    for member in members:
        roles = sorted(member.roles)
        note = ", keeps a fishroom" if member.person.id in keeps and "keeper" not in roles else ""
        lines.append(f"• {member.person.name}: {listed(roles)}{note}")
    return f"{club}:\n" + "\n".join(lines)


def age(days: int) -> str:
    """How old, in days or weeks."""
    return days_long(days) if days < 28 else f"{round(days / 7)} weeks"
