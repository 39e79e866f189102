"""What follows from something recorded: windows, verdicts, questions asked once, cautions; each a line, with buttons where one helps."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from typing import Any

from bot.conversation import mixing, telling
from bot.conversation.answering_water import water_lines
from bot.conversation.here import Here
from bot.conversation.message import Attachment, Button
from bot.conversation.scene import Scene, now_of
from bot.conversation.short_promises import new_shortfalls, tell_shortfalls
from bot.conversation.wishing import ask_of, wishes
from bot.reading import Item
from bot.replies import follow, orders, own_orders
from bot.replies.kin import brood_warning
from core import events as e
from core.club import Recorded, Refused
from core.events import Entry
from core.fishroom.choices import kit_unit
from core.fishroom.state import Fishroom
from core.planning import kin
from core.planning.outlook import brood_outlook
from core.planning.readiness import readiness
from core.planning.waiting import place_in_row

KIT_ASKED_EVERY = timedelta(days=30)
"""The unit of the ammonia kit is asked for, and not again with every test."""
Rows = list[list[Button]]
Followed = tuple[list[str], Rows]


def follow_up(scene: Scene, done: Recorded) -> tuple[list[str], Rows, list[Attachment]]:
    """Lines, rows of buttons and attachments that follow from the entries."""
    lines: list[str] = []
    rows: Rows = []
    for entry in done.entries:
        kind, _, name = entry.stream.partition(":")
        handler = FOLLOW.get(type(entry.event))
        if handler is None or kind != "fishroom":
            continue
        more, buttons = handler(scene, entry, scene.visit.room(name))
        lines += [line for line in more if line and line not in lines]
        rows += buttons
    lines += _in_the_row(scene, done)
    short, choices = _shortfalls(scene, done)
    told, files = _papers(scene, done)
    return [*lines, *told, *short], [*rows, *choices], files


def _in_the_row(scene: Scene, done: Recorded) -> list[str]:
    """Where a new wish stands on the waiting list."""
    club = scene.visit.club(scene.club.id)
    wishes = [club.wishes.get(entry.event.wish) for entry in done.entries if isinstance(entry.event, e.Wanted)]
    return [orders.in_the_row(place_in_row(club, wish, scene.today)) for wish in wishes if wish is not None]


def _papers(scene: Scene, done: Recorded) -> tuple[list[str], list[Attachment]]:
    """For the writer: how to reach the other side, and the pickup for the own calendar."""
    lines: list[str] = []
    files: list[Attachment] = []
    for entry in done.entries:
        kind, _, name = entry.stream.partition(":")
        room = scene.visit.room(name) if kind == "fishroom" else None
        found = telling.found_in(entry, room) if room else None
        again = room is not None and telling.told_with_the_yes(entry, room, done.entries)
        if room is not None and found is not None and isinstance(entry.event, telling.DATED) and not again:
            text, more = telling.with_papers(scene, room, found, scene.person.id, "", entry)
            lines += [text] if text else []
            files += more
            mine = isinstance(entry.event, e.Reserved) and found.pickup is None and found.member == scene.person.id
            if mine and sum(isinstance(one.event, e.Reserved) for one in done.entries) == 1:
                lines.append(own_orders.when_to_fetch(found.number, readiness(room, found, now_of(scene)), scene.style))
    return lines, files


def _shortfalls(scene: Scene, done: Recorded) -> Followed:
    """Promises that what was recorded left short: told at once, with choices."""
    if not done.entries:
        return [], []
    now = now_of(scene)
    found = new_shortfalls(done.before, [scene.visit.room(room) for room in done.before], now)
    last = done.entries[-1]
    lines, rows = tell_shortfalls(scene.visit, scene.club, found, scene.person.id, now, f"{last.stream}:{last.number}")
    return lines, [list(row) for row in rows]


def _holding(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    event: Any = entry.event
    brood = room.brood_of(event.female) if event.female else None
    if brood is None:
        return [], []
    lines = follow.brood_windows(brood_outlook(room, brood, scene.today), scene.style)
    if brood.male is not None and brood.male in room.fish:
        pair = (room.fish[brood.female], room.fish[brood.male])
        rooms = {**scene.visit.overview(scene.club.id).rooms, room.id: room}
        known = kin.kinship_behind(rooms, room, pair)
        lines = [*brood_warning(kin.brood_inbreeding(known, room, *pair)), *lines]
    return lines, []


def _moved(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    """A batch that comes into water where another of its strain swims: can they be told apart? Asked once."""
    event: Any = entry.event
    batch = getattr(event, "batch", None)
    to = getattr(event, "to", None)
    if batch is None or to is None:
        return [], []
    mine = room.batches.get(batch)
    others = [one for one in room.batches_in(to) if mine and one.id != mine.id and one.strain == mine.strain]
    asked = [one for one in others if mine and frozenset({one.id, mine.id}) not in room.told_apart]
    if not mine or not asked or mine.merged_into:
        return [], []
    labels = [mine.label, *(one.label for one in asked)]
    rows = [
        [
            scene.button("Mixed now", {"do": "record", "items": [{"kind": "mixed", "slots": {"batches": labels, "place": to}}]}),
            scene.button(
                "I can tell them apart",
                {"do": "record", "items": [{"kind": "told_apart", "slots": {"batches": labels, "place": to}}]},
            ),
        ]
    ]
    mixing.ask_once(scene, labels, to)
    return [follow.mixed_question(labels, to)], rows


def _stripped(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    event: Any = entry.event
    batch = room.batches.get(event.batch) if event.batch else None
    brood = room.broods.get(batch.brood) if batch and batch.brood else None
    lines = follow.stripped(brood, brood_outlook(room, brood, scene.today) if brood else None, entry.on, scene.style) if batch else []
    if batch and not batch.places:
        lines.append(follow.no_place(batch.label))
    more, rows = _moved(scene, entry, room)
    return [*lines, *more], rows


def _released(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    event: Any = entry.event
    more, rows = _moved(scene, entry, room) if event.batch else ([], [])
    return [*(follow.released() if event.batch else []), *more], rows


def _water(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    event: Any = entry.event
    rows: Rows = []
    if event.tan_mg_l and not kit_unit(room) and not scene.fresh("kit_asked", KIT_ASKED_EVERY):
        scene.remember(kit_asked=scene.now.isoformat())
        rows = [
            [
                scene.button("as N", {"do": "record", "items": [_setting("N")]}),
                scene.button("as NH3", {"do": "record", "items": [_setting("NH3")]}),
            ]
        ]
    return water_lines(scene, room, event.place, ask_unit=bool(rows)), rows


def _setting(unit: str) -> dict[str, Any]:
    return {"kind": "setting", "slots": {"name": "kit_unit", "value": unit}}


def _died(scene: Scene, entry: Entry, room: Fishroom) -> Followed:
    event: Any = entry.event
    return follow.died(room, event.place), []


FOLLOW: Mapping[type[e.Event], Callable[[Scene, Entry, Fishroom], Followed]] = {
    e.Spawned: _holding,
    e.Holding: _holding,
    e.Stripped: _stripped,
    e.Released: _released,
    e.BatchJoined: _moved,
    e.Moved: _moved,
    e.WaterTested: _water,
    e.Died: _died,
}


def alternatives(scene: Scene, refusal: Refused, items: Sequence[Item], here: Here) -> tuple[tuple[Button, ...], ...]:
    """Buttons for what can be had instead of a reservation that was refused: fewer now, all later, the waiting list."""
    found = refusal.objection
    if found is None or found.why != "too_many" or len(items) != 1 or items[0].kind != "reserved":
        return ()
    slots, decision = dict(items[0].slots), found.facts
    rows: list[tuple[Button, ...]] = []
    if decision.fewer > 0 and not (slots.get("males") or slots.get("females")):
        rows.append((_reserve(scene, here, f"Reserve {decision.fewer}", {**slots, "count": decision.fewer}),))
    if decision.first_day is not None:
        day = decision.first_day
        label = f"Reserve for {scene.style.day(day)}"
        rows.append((_reserve(scene, here, label, {**slots, "pickup": day.isoformat()}),))
    strain = slots.get("strain") or (here.scratch and _strain_of(here.scratch, str(slots.get("batch", ""))))
    if strain:
        rows.append((scene.button("Waiting list", {"do": "record", "items": wishes(str(strain), ask_of(slots))}),))
    return tuple(rows)


def _reserve(scene: Scene, here: Here, label: str, slots: Mapping[str, Any]) -> Button:
    return scene.button(label, {"do": "record", "items": [{"kind": "reserved", "slots": dict(slots)}], "room": here.room_id})


def _strain_of(room: Fishroom, label: str) -> str | None:
    return next((batch.strain for batch in room.live_batches() if batch.label == label.upper()), None)
