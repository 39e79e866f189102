"""What pickups ask of the keeper on a day: whom to answer, what to catch and where it waits, what not to feed, what to bag.

Tasks are answers, not records: their keys are made of rule, place or reservation, and day, and what was said about a key is
looked up in the fishroom's marks by whoever shows them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Literal

from core.biology import transport
from core.biology.size import mean_weight_g
from core.biology.stocking import Load, load
from core.events import BatchId, PlaceName
from core.fishroom.choices import holding_place, waiting_days
from core.fishroom.state import Fishroom, Place, Reservation
from core.planning.catch_days import CatchDay, CatchPlan, NotCaught
from core.planning.outlook import batch_outlook
from core.planning.pickups import Pickup, agreed, catch_key, catch_plan, is_hard, overdue, proposals
from core.planning.standing import Promise, best_handed_over, open_reservations, parts_of
from core.planning.stock import stock_of
from core.species import profile

HOLDING_KG_PER_M3 = 5.0
"""A bare holding tank carries less than a planted tub (common practice, no source)."""
USUAL_HOURS = 2.0
"""Journey counted on where nobody said how long it is."""

Rule = Literal["answer_proposal", "catch", "stop_feeding", "bag", "missed"]


@dataclass(frozen=True, slots=True)
class Packing:
    """One reservation as it is packed."""

    reservation: Reservation
    length_mm: float
    bags: transport.Bags | transport.NotAdvised
    best: tuple[int, int, int] | None = None
    """Males, females and unsexed fish to hand over, where others were promised fish by sex and this buyer takes either."""


@dataclass(frozen=True, slots=True)
class PickupTask:
    """Something to do for a pickup."""

    key: str
    rule: Rule
    day: date
    """The day it is for."""
    reservations: tuple[Reservation, ...]
    place: PlaceName | None = None
    """Where the fish swim now."""
    at: time | None = None
    batches: tuple[tuple[BatchId, int], ...] = ()
    """How many of which batch."""
    waits_in: PlaceName | None = None
    """The holding tank, where the fishroom has one."""
    crowding: Load | None = None
    """What the holding tank would carry with everything that waits in it, where that is too much."""
    packing: tuple[Packing, ...] = ()
    impossible: NotCaught | None = None
    """No day to catch for this pickup: it is said, instead of a plan."""

    @property
    def count(self) -> int:
        """All fish it is about."""
        return sum(count for _, count in self.batches)


def pickup_tasks(room: Fishroom, day: date, moment: datetime) -> tuple[PickupTask, ...]:
    """Everything that pickups ask on the day, the most pressing first."""
    plan = catch_plan(room, day, moment)
    return (
        *_missed(room, day, moment),
        *_answers(room, day, moment),
        *_impossible(room, day, plan),
        *(catch_task(room, plan, catch, moment) for catch in plan.days if catch.day == day),
        *_fasting(room, day, moment),
        *(bag_task(room, pickup, moment) for pickup in of_fish(room, agreed(room, moment, day, day))),
    )


def catch_task(room: Fishroom, plan: CatchPlan, catch: CatchDay, moment: datetime) -> PickupTask:
    """What to catch on a catch day, and where it waits."""
    tank = holding_tank(room)
    counts: dict[BatchId, int] = {}
    for fetching in catch.fetchings:
        counts[fetching.batch] = counts.get(fetching.batch, 0) + fetching.count
    return PickupTask(
        key=catch_key(catch.place, catch.day),
        rule="catch",
        day=catch.day,
        reservations=tuple(room.reservations[fetching.reservation] for fetching in catch.fetchings),
        place=catch.place,
        batches=tuple(counts.items()),
        waits_in=tank.name if tank else None,
        crowding=_crowding(room, plan, catch.day, tank),
    )


def bag_task(room: Fishroom, pickup: Pickup, moment: datetime) -> PickupTask:
    """How to pack for a pickup."""
    reservation = pickup.reservation
    return PickupTask(
        key=f"bag:{reservation.number}:{pickup.day.isoformat()}",
        rule="bag",
        day=pickup.day,
        reservations=(reservation,),
        place=_place(room, reservation.batch),
        at=pickup.at,
        batches=((reservation.batch, reservation.left),),
        packing=(replace(packing(room, reservation, pickup.day), best=which_to_hand_over(room, reservation, moment)),),
    )


def packing(room: Fishroom, reservation: Reservation, day: date, hours: float = USUAL_HOURS) -> Packing:
    """Bags for what is left of a reservation, from the size its fish are expected to have."""
    batch = room.batches[reservation.batch]
    species = profile(room.species_of(batch.strain))
    outlook = batch_outlook(room, batch, day)
    length = max(outlook.mean_mm.likely, reservation.min_mm or 0.0)
    weight = mean_weight_g(length, species.growth.spread.likely, species.length_weight)
    found = transport.bags(reservation.left, weight, length, hours, temperature_c=outlook.temperature_c)
    return Packing(reservation, length, found)


def which_to_hand_over(room: Fishroom, reservation: Reservation, moment: datetime) -> tuple[int, int, int] | None:
    """Males, females and unsexed fish that keep the other promises safe; None where it makes no difference."""
    batch = room.batches[reservation.batch]
    stock, day = stock_of(room, batch), reservation.pickup or date.max
    needed = [(one.number, Promise(day, *parts_of(one))) for one in open_reservations(room, batch.id, moment)]
    others = [promise for number, promise in needed if number != reservation.number]
    mine = next((promise for number, promise in needed if number == reservation.number), None)
    matters = stock.males + stock.females and any(promise.males or promise.females for promise in others)
    return best_handed_over(stock, mine, others) if mine is not None and mine.either and matters else None


def holding_tank(room: Fishroom) -> Place | None:
    """Where caught fish wait: the place the keeper set, else one that is called a holding tank."""
    if (said := holding_place(room)) is not None:
        return room.places[said]
    return next((place for place in room.places.values() if "holding" in place.name and not place.retired), None)


def _crowding(room: Fishroom, plan: CatchPlan, day: date, tank: Place | None) -> Load | None:
    """The load of the holding tank on its fullest day from a catch on, where it is too much."""
    if tank is None or not tank.litres:
        return None
    inside = [one for catch in plan.days if catch.day <= day for one in catch.fetchings if one.day >= day]
    grams = sum(one.count * _grams(room, one.batch, day) for one in inside)
    found = load(grams, tank.litres, HOLDING_KG_PER_M3)
    return found if found.room_kg < 0 else None


def _grams(room: Fishroom, batch: BatchId, day: date) -> float:
    return batch_outlook(room, room.batches[batch], day).mean_g.likely


def _fasting(room: Fishroom, day: date, moment: datetime) -> list[PickupTask]:
    """Fish that swim in easy places stop being fed so many days before; those from hard places fast in the holding tank."""
    _, fasting = waiting_days(room)
    soon = of_fish(room, agreed(room, moment, day, day + timedelta(days=fasting)))
    starts = [
        pickup
        for pickup in soon
        if pickup.day - timedelta(days=fasting) == day and not is_hard(room, room.batches[pickup.reservation.batch])
    ]
    return [
        PickupTask(
            key=f"stop_feeding:{pickup.reservation.number}:{pickup.day.isoformat()}",
            rule="stop_feeding",
            day=day,
            reservations=(pickup.reservation,),
            place=_place(room, pickup.reservation.batch),
            batches=((pickup.reservation.batch, pickup.reservation.left),),
        )
        for pickup in starts
        if fasting > 0
    ]


def of_fish(room: Fishroom, pickups: Iterable[Pickup]) -> list[Pickup]:
    """Those whose batch is in the book: one that was taken back leaves promises behind, which are told as short and not packed for."""
    return [pickup for pickup in pickups if pickup.reservation.batch in room.batches]


def _missed(room: Fishroom, day: date, moment: datetime) -> list[PickupTask]:
    return [
        PickupTask(f"missed:{p.reservation.number}:{p.day.isoformat()}", "missed", p.day, (p.reservation,), at=p.at)
        for p in overdue(room, day, moment)
    ]


def _answers(room: Fishroom, day: date, moment: datetime) -> list[PickupTask]:
    """Proposals of buyers that the keeper has not answered."""
    asked = [one for one in proposals(room, moment) if one.by_buyer and one.day >= day]
    return [
        PickupTask(f"answer:{p.reservation.number}:{p.day.isoformat()}", "answer_proposal", p.day, (p.reservation,), at=p.at)
        for p in asked
    ]


def _impossible(room: Fishroom, day: date, plan: CatchPlan) -> list[PickupTask]:
    return [
        PickupTask(
            key=f"catch:{one.fetching.place}:none:{one.fetching.reservation}",
            rule="catch",
            day=one.fetching.day,
            reservations=(room.reservations[one.fetching.reservation],),
            place=one.fetching.place,
            batches=((one.fetching.batch, one.fetching.count),),
            impossible=one,
        )
        for one in plan.impossible
    ]


def _place(room: Fishroom, batch: BatchId) -> PlaceName | None:
    places = room.batches[batch].places
    return places[0] if places else None
