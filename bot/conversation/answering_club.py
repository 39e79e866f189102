"""Answers about the club: what is available, who reserved what, when it is fetched, what is wanted."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from bot.conversation.answering_own import open_ones, own
from bot.conversation.answering_papers import shelf_chart
from bot.conversation.here import day_of
from bot.conversation.message import Attachment, Button, Reply
from bot.conversation.scene import Scene, now_of
from bot.pictures.tables import ShelfLine, shelf_csv
from bot.replies import available as words
from bot.replies import fetching, naming, orders, own_orders, strains
from core.events import Sex
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.availability import Availability, available
from core.planning.outlook import batch_outlook
from core.planning.pickups import catch_plan
from core.planning.promises import how_it_stands, on_offer
from core.planning.shelf import shelf_rows
from core.planning.standing import Ask
from core.planning.waiting import place_in_row, waiting

Slots = Mapping[str, Any]
SPAN_DAYS = {"today": 0, "tomorrow": 1, "week": 7}


def available_now(scene: Scene, slots: Slots) -> list[Reply]:
    """What the club can promise, by strain and keeper, with buttons to reserve; what is coming where there is none."""
    found: list[words.Line] = []
    sex: Sex | None = slots.get("sex")
    wanted = int(slots.get("count") or 1)
    for room in scene.visit.rooms_of_club(scene.club.id):
        keeper = scene.visit.keeper_name(room.id)
        for batch in offered_in(room, slots.get("strain")):
            ask = Ask(wanted, sex, None, None, slots.get("min_mm"), day_of(slots.get("by")))
            answer = available(how_it_stands(room, batch, now_of(scene)), ask, now_of(scene).level)
            found.append(words.Line(room, batch, keeper, answer, batch_outlook(room, batch, scene.today)))
    named = str(slots["strain"]) if slots.get("strain") else None
    name = strains.name(named, scene.visit.strain_of_club(scene.club.id, named)) if named else None
    kept = scene.visit.strains_of_club(scene.club.id)
    example = min((strain.name for strain in kept.values()), default="saulosi")
    text = words.shelf(found, scene.style, name, coming=words.coming(found), example=example)
    if any(slots.get(one) for one in ("count", "min_mm", "by", "sex")):
        text = "\n".join([text, *(explained(scene, line.room, line.answer) for line in found[:MOST_EXPLAINED])])
    return [Reply(text, reserve_rows(scene, found, slots))]


MOST_EXPLAINED = 4
"""Batches whose number is explained when a particular number, size, sex or day was asked for."""


def offered_in(room: Fishroom, strain: object) -> list[Batch]:
    """Batches of the strain that are for sale; where none is named all of them, by strain, hybrids last."""
    if strain:
        return on_offer(room, str(strain))
    pure = [batch for key in sorted(room.strains) for batch in on_offer(room, key)]
    return [*pure, *(batch for batch in room.live_batches() if batch.offer is not None and batch.hybrid)]


def shelf(scene: Scene, found: object) -> list[Reply]:
    """The shelf in words, as a picture by month, and as a table."""
    told = available_now(scene, {})[0]
    if not any(offered_in(room, None) for room in scene.visit.rooms_of_club(scene.club.id)):
        return [told]
    table = Attachment("shelf.csv", "text/csv", shelf_csv(shelf_lines(scene), scene.style.units))
    return [replace(told, attachments=(table,), drawings=(shelf_chart(scene),))]


def shelf_lines(scene: Scene) -> list[ShelfLine]:
    """The shelf as rows of a table."""
    level = now_of(scene).level
    lines = []
    for room in scene.visit.rooms_of_club(scene.club.id):
        keeper = scene.visit.keeper_name(room.id)
        for row in shelf_rows(room, now_of(scene)):
            batch = room.batches[row.batch]
            lines.append(
                ShelfLine(
                    naming.kind_of_batch(room, batch),
                    row.label,
                    keeper,
                    row.alive if row.sex == "male" else None,
                    row.alive if row.sex == "female" else None,
                    row.promisable,
                    row.mm[1],
                    row.ready_on,
                    row.price,
                    scene.style.currency,
                    level,
                )
            )
    return lines


def reserve_rows(scene: Scene, found: list[words.Line], slots: Slots) -> tuple[tuple[Button, ...], ...]:
    """A button for each batch that has what was asked; the number asked for, or a pair for a start."""
    rows = []
    for line in found[:6]:
        count = int(slots.get("count") or min(6, line.answer.can_promise))
        if line.answer.can_promise < count or count < 1 or scene.visit.is_keeper(scene.person.id, line.room.id):
            continue
        asked = {"count": count, **{key: slots[key] for key in ("sex", "min_mm") if slots.get(key)}}
        part = {"room": line.room.id, "batch": line.batch.id, "slots": asked}
        whose = f"{line.keeper}'s " if [one.batch.label for one in found].count(line.batch.label) > 1 else ""
        label = f"Reserve {count} of {whose}{line.batch.label}"
        rows.append((scene.button(label, {"do": "parts", "parts": [part]}, repeatable=True),))
    return tuple(rows)


def explained(scene: Scene, room: Fishroom, answer: Availability) -> str:
    """One batch's availability with its reasons."""
    return orders.availability(answer, scene.style, room)


def _is_of(room: Fishroom, one: Reservation, label: str) -> bool:
    batch = room.batches.get(one.batch)
    return batch is not None and batch.label == label


def reservations(scene: Scene, slots: Slots) -> list[Reply]:
    """A buyer's own; for a keeper those in the own fishroom and the own elsewhere; of one member or batch where asked."""
    mine = [(room, one) for room, one in open_ones(scene) if one.member == scene.person.id]
    kept = [(room, one) for room, one in open_ones(scene) if scene.visit.is_keeper(scene.person.id, room.id)]
    member = scene.visit.member_named(scene.club.id, slots["member"]) if slots.get("member") else None
    if member is not None:
        kept = [(room, one) for room, one in kept if one.member == member]
        mine = mine if member == scene.person.id else []
    if slots.get("batch"):
        kept, mine = ([(room, one) for room, one in found if _is_of(room, one, slots["batch"])] for found in (kept, mine))
    if not kept and scene.is_keeper and not mine:
        return [Reply(orders.reservations([], scene.style, scene.members))]
    parts = []
    if kept:
        parts.append(orders.reservations(kept, scene.style, scene.members))
    rest = [pair for pair in mine if pair not in kept]
    if rest or not kept:
        parts.append(own_orders.listing([own(scene, *pair) for pair in rest], scene.style))
    return [Reply("\n\n".join(parts))]


def pickups(scene: Scene, slots: Slots) -> list[Reply]:
    """Agreed pickups, the next first: the keeper's, and the asker's own."""
    last = scene.today + timedelta(days=SPAN_DAYS.get(str(slots.get("span")), 60))
    first = last if slots.get("span") == "tomorrow" else scene.today - timedelta(days=3)
    found = [
        (room, one)
        for room, one in open_ones(scene)
        if one.pickup is not None
        and first <= one.pickup <= last
        and (one.member == scene.person.id or scene.visit.is_keeper(scene.person.id, room.id))
    ]
    found.sort(key=lambda pair: (pair[1].pickup or date.max, str(pair[1].at or ""), pair[1].number))
    others = {room.id for room, _ in found if not scene.visit.is_keeper(scene.person.id, room.id)}
    keepers = {room: scene.visit.keeper_name(room) for room in others}
    return [Reply(words.pickups(found, scene.style, scene.members, scene.person.id, keepers))]


WHO_COMES = re.compile(
    r"^\s*who(?:'s|’s|s| is| will| else is| else)?\s+(?:be\s+)?(?:com(?:es?|ing)|pick(?:s|ing) up|fetch(?:es|ing)|collect(?:s|ing))\b"
    r"(?:\s+(?:on|this|next|to|for|fish|them|up|the|a|pick ?ups?|today|tomorrow|week|weekend|(?:mon|tue|wed|thu|fri|sat|sun)\w*))*\s*\??\s*$",
    re.IGNORECASE,
)
TO_CATCH = re.compile(
    r"^\s*(?:what|which fish|how many|when|whom?)\s+(?:do|must|should|shall|have)\s+(?:i|we)\s+(?:have to |need to |to )?(?:catch|net)\b[^,;]*$"
    r"|^\s*(?:the\s+)?(?:catch|catching)\s+(?:days?|plan|list)\s*\??\s*$",
    re.IGNORECASE,
)


def who_comes(scene: Scene, found: object) -> list[Reply]:
    """ "Who comes saturday?": the agreed pickups, by day."""
    return pickups(scene, {})


def to_catch(scene: Scene, found: object) -> list[Reply] | None:
    """ "What do I have to catch?": the catch days ahead; of no meaning to whoever keeps no fishroom."""
    if scene.room is None or not scene.is_keeper:
        return None
    plan = catch_plan(scene.room, scene.today, scene.now)
    return [Reply(fetching.catch_plan(plan, scene.style, scene.room, scene.members))]


def wanted_list(scene: Scene, slots: Slots) -> list[Reply]:
    """Who looks for what, in the order it is met."""
    names = {key: strain.name for key, strain in scene.visit.strains_of_club(scene.club.id).items()}
    return [Reply(orders.wanted_list(waiting(scene.visit.club(scene.club.id), scene.today), scene.style, names, scene.members))]


MY_WISHES = re.compile(
    r"^\s*(?:what(?:'s|’s| is)\s+)?(?:on\s+)?my\s+(?:wish(?:es)?|wish ?list|wanted list|waiting list)\s*\??\s*$"
    r"|^\s*what\s+am\s+i\s+(?:waiting|looking)\s+for\s*\??\s*$",
    re.IGNORECASE,
)


def my_wishes(scene: Scene, found: object) -> list[Reply]:
    """What the writer looks for, with the place in each row."""
    club = scene.visit.club(scene.club.id)
    names = {key: strain.name for key, strain in scene.visit.strains_of_club(scene.club.id).items()}
    mine = [
        (wish, names.get(wish.strain, wish.strain), place_in_row(club, wish, scene.today))
        for wish in waiting(club, scene.today)
        if wish.member == scene.person.id
    ]
    return [Reply(own_orders.wishes(mine, scene.style))]


CLUB_ANSWERS: Mapping[str, Callable[[Scene, Slots], list[Reply]]] = {
    "available": available_now,
    "reservations": reservations,
    "pickups": pickups,
    "wanted_list": wanted_list,
}
