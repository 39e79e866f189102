"""When fish are fetched: days that suit the keeper, proposals until the other side accepts, and what has to be caught before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Literal

from core.events import BatchId, PersonId, PlaceName
from core.fishroom.choices import waiting_days
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.catch_days import CatchPlan, Fetching, plan_catch_days
from core.planning.promises import Now, TooMany, decide_change

DONE_BEFORE_DAYS = 14
"""Catches told as done are remembered this long."""
CATCH = "catch"
"""Rule of the care tasks for catches; their keys are `catch:PLACE:DAY`."""


@dataclass(frozen=True, slots=True)
class Suits:
    """The pickup can be on that day."""

    catch_day: date | None = None
    """The last day on which its fish can be caught, where they swim in a hard place."""


@dataclass(frozen=True, slots=True)
class DoesNotSuit:
    """Why not, and the next days that would do.

    past: the day is over; away: the keeper is away; not_free: not a weekday of the keeper's; hours: not at that time;
    no_catch_day: no free day to catch the fish early enough.
    """

    why: Literal["past", "away", "not_free", "hours", "no_catch_day"]
    days: tuple[date, ...]
    from_time: time | None = None
    to_time: time | None = None


@dataclass(frozen=True, slots=True)
class Proposed:
    """A pickup that waits for the other side: who has to answer, and what stands meanwhile."""

    reservation: Reservation
    day: date
    at: time | None
    by: PersonId

    @property
    def by_buyer(self) -> bool:
        """Whether the buyer proposed it, so that the keeper has to answer."""
        return self.by == self.reservation.member


@dataclass(frozen=True, slots=True)
class Pickup:
    """An agreed pickup."""

    reservation: Reservation
    day: date
    at: time | None


def free_on(room: Fishroom, day: date) -> bool:
    """Whether the keeper can catch and hand over on a day."""
    return day.weekday() in room.free.weekdays and not away_on(room, day)


def away_on(room: Fishroom, day: date) -> bool:
    """Whether the keeper has said to be away."""
    return any(absence.from_day <= day <= absence.to_day for absence in room.absences)


def suits(room: Fishroom, reservation: Reservation, day: date, at: time | None, today: date) -> Suits | DoesNotSuit:
    """Whether a pickup can be on a day (at a time)."""
    catch = catch_day_for(room, reservation.batch, day, today)
    why = _objection(room, reservation.batch, day, at, today, catch)
    if why is None:
        return Suits(catch)
    days = days_that_suit(room, reservation.batch, max(day, today), today)
    return DoesNotSuit(why, days, room.free.from_time, room.free.to_time)


def decide_pickup(
    room: Fishroom, number: int, day: date, at: time | None, now: Now, *, by_keeper: bool = False
) -> Suits | DoesNotSuit | TooMany:
    """Whether a pickup can be set for a day: it must suit the keeper (who may choose any day), and leave all promises safe.

    A later day means more days of losses, an earlier one smaller fish: both are weighed like a new promise.
    """
    reservation = room.reservations[number]
    found = suits(room, reservation, day, at, now.today)
    if isinstance(found, DoesNotSuit) and not (by_keeper and found.why in ("away", "not_free", "hours")):
        return found
    decision = decide_change(room, number, replace(reservation, pickup=day), now, by_keeper=True)
    return decision if isinstance(decision, TooMany) else Suits(catch_day_for(room, reservation.batch, day, now.today))


def _objection(
    room: Fishroom, batch: BatchId, day: date, at: time | None, today: date, catch: date | None
) -> Literal["past", "away", "not_free", "hours", "no_catch_day"] | None:
    if day < today:
        return "past"
    if away_on(room, day):
        return "away"
    if day.weekday() not in room.free.weekdays:
        return "not_free"
    if at is not None and not within_hours(room, at):
        return "hours"
    return "no_catch_day" if catch is None and batch in room.batches and is_hard(room, room.batches[batch]) else None


def within_hours(room: Fishroom, at: time) -> bool:
    """Whether the keeper hands over at that time of day."""
    first, last = room.free.from_time or time.min, room.free.to_time or time.max
    return first <= at <= last


def days_that_suit(room: Fishroom, batch: BatchId, start: date, today: date, count: int = 3) -> tuple[date, ...]:
    """The next days from `start` on which a pickup from the batch can be (looking half a year ahead)."""
    ahead = (start + timedelta(days=after) for after in range(183))
    fits = (day for day in ahead if _objection(room, batch, day, None, today, catch_day_for(room, batch, day, today)) is None)
    return tuple(day for day, _ in zip(fits, range(count), strict=False))


def is_hard(room: Fishroom, batch: Batch) -> bool:
    """Whether fish of the batch have to be caught ahead: all of it swims in hard places."""
    places = [room.places.get(place) for place in batch.places]
    return bool(places) and all(place is not None and place.hard_to_catch for place in places)


def catch_day_for(room: Fishroom, batch: BatchId, day: date, today: date) -> date | None:
    """The last day on which fish for a pickup can be caught; None where there is none, none is needed, or no batch is in the book."""
    if batch not in room.batches or not is_hard(room, room.batches[batch]):
        return None
    at_most, fasting = waiting_days(room)
    ahead = (day - timedelta(days=before) for before in range(fasting, at_most + 1))
    return next((one for one in ahead if one >= today and free_on(room, one)), None)


def agreed(room: Fishroom, moment: datetime, first: date | None = None, last: date | None = None) -> list[Pickup]:
    """Agreed pickups from `first` to `last` (both included), by day and time."""
    found = [
        Pickup(r, r.pickup, r.at)
        for r in room.reservations.values()
        if r.pickup is not None and r.status == "confirmed" and r.open_at(moment) and r.left > 0
    ]
    inside = (p for p in found if (first is None or p.day >= first) and (last is None or p.day <= last))
    return sorted(inside, key=lambda pickup: (pickup.day, pickup.at or time.max, pickup.reservation.number))


def proposals(room: Fishroom, moment: datetime) -> list[Proposed]:
    """Pickups that one side proposed and the other has not answered."""
    return [Proposed(r, *r.proposed) for r in room.reservations.values() if r.proposed is not None and r.open_at(moment)]


def overdue(room: Fishroom, today: date, moment: datetime) -> list[Pickup]:
    """Agreed pickups that have passed without a word: collected, or a no-show?"""
    return agreed(room, moment, last=today - timedelta(days=1))


def catch_plan(room: Fishroom, today: date, moment: datetime) -> CatchPlan:
    """Catch days for all agreed pickups from hard places, catches told as done taken into account."""
    at_most, fasting = waiting_days(room)
    return plan_catch_days(
        fetchings(room, agreed(room, moment, first=today)),
        lambda day: free_on(room, day),
        today,
        at_most=at_most,
        fasting=fasting,
        done=catches_done(room, today),
    )


def fetchings(room: Fishroom, pickups: Iterable[Pickup]) -> list[Fetching]:
    """What has to be caught in hard places, and no more than swims there.

    Fish of the batch that already swim in easy places go to the earliest pickups.
    """
    easy = {key: _in_easy_places(room, batch) for key, batch in room.batches.items()}
    hard = {key: batch.count - easy[key] for key, batch in room.batches.items()}
    found = []
    for pickup in pickups:
        batch = room.batches.get(pickup.reservation.batch)
        if batch is None:  # promised, but taken back out of the book: a shortfall, nothing to catch
            continue
        from_easy = min(easy[batch.id], pickup.reservation.left)
        to_catch = min(hard[batch.id], pickup.reservation.left - from_easy)
        easy[batch.id] -= from_easy
        hard[batch.id] -= to_catch
        if to_catch and (place := _hardest(room, batch)):
            found.append(Fetching(pickup.reservation.number, pickup.day, batch.id, to_catch, place))
    return found


def _in_easy_places(room: Fishroom, batch: Batch) -> int:
    return sum(group.count for group in batch.groups if not _hard(room, group.place))


def _hardest(room: Fishroom, batch: Batch) -> PlaceName | None:
    return next((place for place in batch.places if _hard(room, place)), None)


def _hard(room: Fishroom, place: PlaceName | None) -> bool:
    found = room.places.get(place) if place is not None else None
    return found is not None and found.hard_to_catch


def catch_key(place: PlaceName, day: date) -> str:
    """Key of the care task for a catch."""
    return f"{CATCH}:{place}:{day.isoformat()}"


def catches_done(room: Fishroom, today: date) -> frozenset[tuple[PlaceName, date]]:
    """Catches that were told as done lately, by place and by the day they took place."""
    found = set()
    for key, mark in room.task_marks.items():
        rule, _, rest = key.rpartition("/")[2].partition(":")
        place, _, _ = rest.rpartition(":")
        if rule == CATCH and mark.kind == "done" and mark.on >= today - timedelta(days=DONE_BEFORE_DAYS):
            found.add((place, mark.on))
    return frozenset(found)
