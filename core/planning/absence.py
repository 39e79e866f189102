"""A keeper who goes away: what has to be done before, what somebody else can do meanwhile, and what waits.

Of the tasks that fall on days of an absence, those that can wait open on the day after it; those that cannot are brought
forward to the last day before it, where that is possible at all (a strip window that opens later is only announced). What the
fish need every day is the sitter's: looking, feeding, the water of boxes that have their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from core.biology.stocking import NURSERY_DAILY_CHANGE
from core.fishroom.state import Absence, Fishroom
from core.planning.brood_outlook import brood_outlook
from core.planning.care_look import Look
from core.planning.rations import place_ration
from core.planning.tasks import CareTask, Rule, Urgency, days
from core.planning.yolk import first_food

ANNOUNCED = days(3)
"""So long before leaving, the keeper is told what has to be done first."""
EVERY_DAY: frozenset[Rule] = frozenset({"box_feed", "box_water"})
"""Tasks that belong to a day and go to the sitter's own list."""
NOT_BROUGHT_FORWARD: frozenset[Rule] = frozenset(
    {"mother_rest", "retest", "confirm", "answer_proposal", "first_feed", "catch", "bag", "stop_feeding"}
)
"""What belongs to its day; pickups during the absence are named among the things to see to before it."""


def absence_on(room: Fishroom, day: date) -> Absence | None:
    """The absence that covers a day."""
    return next((absence for absence in room.absences if absence.from_day <= day <= absence.to_day), None)


def around_absences(look: Look, tasks: Iterable[CareTask]) -> list[CareTask]:
    """The tasks as they stand once the keeper's absences are planned around. Facts added: moved_from, away."""
    return [moved for task in tasks if (moved := _around(look, task)) is not None]


def _around(look: Look, task: CareTask) -> CareTask | None:
    meant = max(task.due, look.day)
    absence = absence_on(look.room, meant)
    if absence is None:
        return task
    if task.rule in EVERY_DAY:
        return None
    if task.can_wait:
        back = absence.to_day + days(1)
        closes = task.closes and max(task.closes, back)
        return replace(task, opens=back, due=back, closes=closes)
    if look.day >= absence.from_day or task.rule in NOT_BROUGHT_FORWARD:
        return task
    before = absence.from_day - days(1)
    early = max(task.opens, before) if task.rule == "strip" else before
    facts = {**task.facts, "moved_from": task.due, "away": absence}
    return replace(task, opens=max(min(task.opens, before - ANNOUNCED), look.day), due=min(early, task.due), facts=facts)


def leaving_tasks(look: Look) -> Iterator[CareTask]:
    """What to see to before leaving. Facts: away, holding (females whose broods end meanwhile)."""
    for absence in look.room.absences:
        if look.day < absence.from_day:
            due = absence.from_day - days(1)
            yield look.task(
                "before_away",
                absence.from_day.isoformat(),
                due - ANNOUNCED,
                due,
                absence.from_day,
                urgency=Urgency.SOON,
                away=absence,
                holding=tuple(_ending_meanwhile(look, absence)),
                pickups=tuple(_fetched_meanwhile(look, absence)),
            )


def _ending_meanwhile(look: Look, absence: Absence) -> Iterator[str]:
    for brood_id in look.room.holding.values():
        brood = look.room.broods[brood_id]
        outlook = look.brood(brood)
        if outlook is None or outlook.release is None:
            continue
        opens, latest = outlook.strip_opens, outlook.release.latest
        if opens is not None and latest is not None and opens <= absence.to_day and latest >= absence.from_day:
            yield brood.female


def _fetched_meanwhile(look: Look, absence: Absence) -> Iterator[int]:
    for reservation in look.room.reservations.values():
        day = reservation.pickup
        if reservation.status == "confirmed" and day is not None and absence.from_day <= day <= absence.to_day:
            yield reservation.number


def sitter_tasks(look: Look) -> Iterator[CareTask]:
    """What somebody who keeps no cichlids does in a day: for every place with fish, look and feed; leave the rest alone."""
    room, today = look.room, look.day
    for place in room.places.values():
        batches, breeders = room.batches_in(place.name), room.fish_in(place.name)
        if place.retired or not _inhabited(room, place.name):
            continue
        about: dict[str, Any] = {"cycle": today.isoformat(), "place": place.name}
        if not (place.hangs_in and _inhabited(room, place.hangs_in)):
            water = room.places.get(room.water_of(place.name))
            usual = water.temp_c if water is not None else None
            boxes = tuple(box.name for box in room.places.values() if box.hangs_in == place.name and _inhabited(room, box.name))
            yield look.task("sitter_look", place.name, today, today, today, usual_c=usual, boxes=boxes, **about)
        yolk = [batch.label for batch in batches if first_food(room, batch, today) is not None]
        if not _fed_today(room, place.name, today):
            ration = place_ration(room, place.name, today)
            yield look.task("sitter_feed", place.name, today, today, today, ration=ration, yolk=tuple(yolk), **about)
        if place.type == "box" and place.hangs_in is None and batches:
            yield look.task("sitter_water", place.name, today, today, today, share=NURSERY_DAILY_CHANGE, **about)
        carrying = tuple(fish.id for fish in breeders if fish.id in room.holding)
        if carrying:
            soon = any(_may_release(room, fish, today) for fish in carrying)
            yield look.task("sitter_leave", place.name, today, today, today, holding=carrying, soon=soon, **about)


def _inhabited(room: Fishroom, place: str) -> bool:
    return bool(room.batches_in(place) or room.fish_in(place))


def _may_release(room: Fishroom, fish: str, day: date) -> bool:
    brood = room.brood_of(fish)
    outlook = brood_outlook(room, brood, day) if brood is not None else None
    return outlook is not None and outlook.release is not None and (outlook.release.earliest or day) <= day + days(2)


def _fed_today(room: Fishroom, place: str, day: date) -> bool:
    return any(feeding.on == day and feeding.place == place for feeding in reversed(room.feedings[-50:]))
