"""A reservation's life: made, confirmed or declined, changed, its pickup agreed, collected, called off.

Handing fish over is a fact, and is recorded as told even where it does not fit the book.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from core.events import (
    Cancelled,
    Collected,
    Confirmed,
    Declined,
    Deposit,
    Entry,
    NoShow,
    PickupAgreed,
    PickupRefused,
    PickupSet,
    ReservationChanged,
    Reserved,
    Sex,
)
from core.fishroom.books import batch_meant, current, problem, remove, sound_number
from core.fishroom.state import Batch, Fishroom, Reservation, ReservationStatus

OPEN: tuple[ReservationStatus, ...] = ("unconfirmed", "confirmed")


def reserved(room: Fishroom, event: Reserved, entry: Entry) -> None:
    """A promise. It stands even where its batch does not: somebody was told that there would be fish."""
    if event.reservation in room.reservations:
        problem(room, entry, "number_taken", event.reservation)
        return
    if not sound_number(room, entry, event.count, event.reservation):
        return
    batch_meant(room, event.batch, entry)
    room.reservations[event.reservation] = Reservation(
        number=event.reservation,
        member=event.member,
        batch=current(room, event.batch),
        count=event.count,
        made=entry.told,
        status="confirmed" if event.confirmed else "unconfirmed",
        sex=event.sex,
        males=event.males,
        females=event.females,
        pickup=event.pickup,
        at=event.at,
        min_mm=event.min_mm,
        hold_until=event.hold_until,
        wish=event.wish,
    )


def confirmed(room: Fishroom, event: Confirmed, entry: Entry) -> None:
    """The keeper says yes. A hold that had lapsed by then has lost its place in the row of promises."""
    found = _open(room, event.reservation, entry)
    if found is not None:
        made = found.made if found.open_at(entry.told) else entry.told
        room.reservations[found.number] = replace(found, status="confirmed", hold_until=None, made=made)


def declined(room: Fishroom, event: Declined, entry: Entry) -> None:
    """The keeper says no."""
    _close(room, event.reservation, "declined", entry)


def cancelled(room: Fishroom, event: Cancelled, entry: Entry) -> None:
    """Called off."""
    _close(room, event.reservation, "cancelled", entry)


def no_show(room: Fishroom, event: NoShow, entry: Entry) -> None:
    """The buyer did not come."""
    _close(room, event.reservation, "no_show", entry)


def changed(room: Fishroom, event: ReservationChanged, entry: Entry) -> None:
    """Another number, sex, mix or batch. Asking for more means standing at the end of the row."""
    found = _open(room, event.reservation, entry)
    if found is None:
        return
    if event.count is not None and not sound_number(room, entry, event.count, found.number, least=max(1, found.collected)):
        return
    if event.batch is not None:
        batch_meant(room, event.batch, entry)
    count = found.count if event.count is None else event.count
    males, females = _mix_after(found, event, count)
    room.reservations[found.number] = replace(
        found,
        count=count,
        sex=None if males or females else event.sex or found.sex,
        males=males,
        females=females,
        batch=found.batch if event.batch is None else current(room, event.batch),
        made=entry.told if count > found.count else found.made,
    )


def _mix_after(found: Reservation, event: ReservationChanged, count: int) -> tuple[int | None, int | None]:
    """The mix of sexes as it is told; one that was told before goes where a sex or another number is told."""
    if event.males is not None or event.females is not None:
        return event.males, event.females
    return (None, None) if event.sex is not None or count != found.count else (found.males, found.females)


def pickup_set(room: Fishroom, event: PickupSet, entry: Entry) -> None:
    """A pickup: agreed, or proposed by one side."""
    found = _open(room, event.reservation, entry)
    if found is None:
        return
    if event.proposed_by is not None:
        proposed = (event.pickup, event.at, event.proposed_by)
        room.reservations[found.number] = replace(found, proposed=proposed)
    else:
        room.reservations[found.number] = replace(
            found, pickup=event.pickup, at=event.at, proposed=None, sequence=found.sequence + 1
        )


def pickup_agreed(room: Fishroom, event: PickupAgreed, entry: Entry) -> None:
    """The proposed pickup holds."""
    found = _open(room, event.reservation, entry)
    if found is None:
        return
    if found.proposed is None:
        problem(room, entry, "not_proposed", found.number)
        return
    day, at, _ = found.proposed
    room.reservations[found.number] = replace(found, pickup=day, at=at, proposed=None, sequence=found.sequence + 1)


def pickup_refused(room: Fishroom, event: PickupRefused, entry: Entry) -> None:
    """The earlier pickup stands."""
    found = _open(room, event.reservation, entry)
    if found is not None:
        room.reservations[found.number] = replace(found, proposed=None)


def deposit(room: Fishroom, event: Deposit, entry: Entry) -> None:
    """Money noted."""
    found = _known(room, event.reservation, entry)
    if found is not None:
        room.reservations[found.number] = replace(found, deposit=found.deposit + event.amount)


def collected(room: Fishroom, event: Collected, entry: Entry) -> None:
    """Fish went to the buyer: all that was left, or part. More than was reserved is a fact too, and raises the reservation."""
    found = _known(room, event.reservation, entry)
    if found is None:
        return
    count = _fetched(found, event)
    if count < 1:
        problem(room, entry, "closed", found.number)
        return
    _hand_over(room, found, event, count, entry)
    fetched = found.collected + count
    done = fetched >= found.count
    room.reservations[found.number] = replace(
        found,
        count=max(found.count, fetched),
        collected=fetched,
        collected_males=found.collected_males + (event.males or 0),
        collected_females=found.collected_females + (event.females or 0),
        status="collected" if done else "confirmed",
        closed=entry.on if done else None,
    )


def _fetched(reservation: Reservation, event: Collected) -> int:
    named = (event.males or 0) + (event.females or 0)
    if event.count is not None:
        return max(event.count, named)
    return named or reservation.left


def _hand_over(room: Fishroom, reservation: Reservation, event: Collected, count: int, entry: Entry) -> None:
    """Takes the fish out of the batch's book, each sex that is known by itself."""
    mix = _mix(reservation, event, count)
    for sex, number in mix:
        batch = batch_meant(room, reservation.batch, entry)
        if batch is not None and number > 0:
            member, ref = reservation.member, reservation.number
            price = price_each(room, batch, sex)
            lot = price * number if price is not None else None
            remove(room, batch, number, "collected", entry, sex=sex, to=member, price=lot, reservation=ref)


def price_each(room: Fishroom, batch: Batch, sex: Sex | None) -> Decimal | None:
    """What a fish of the batch costs now: as offered, else as priced for the batch or the strain, by sex where said."""
    offered = batch.offer.price if batch.offer and batch.offer.sex in (None, sex) else None
    of_batch, of_strain = dict(batch.prices), room.strain_prices
    by_strain = (of_strain.get((batch.strain, sex)), of_strain.get((batch.strain, None)))
    told = (of_batch.get(sex), offered, of_batch.get(None), *by_strain)
    return next((price for price in told if price is not None), None)


def _mix(reservation: Reservation, event: Collected, count: int) -> list[tuple[Sex | None, int]]:
    if event.males is not None or event.females is not None:
        males, females = event.males or 0, event.females or 0
    elif count == reservation.left and (reservation.males or reservation.females):
        males = max(0, (reservation.males or 0) - reservation.collected_males)
        females = max(0, (reservation.females or 0) - reservation.collected_females)
    else:
        males = females = 0
    males = min(males, count)
    females = min(females, count - males)
    return [("male", males), ("female", females), (reservation.sex, count - males - females)]


def _known(room: Fishroom, number: int, entry: Entry) -> Reservation | None:
    found = room.reservations.get(number)
    if found is None:
        problem(room, entry, "no_such_reservation", number)
    return found


def _open(room: Fishroom, number: int, entry: Entry) -> Reservation | None:
    found = _known(room, number, entry)
    if found is not None and found.status not in OPEN:
        problem(room, entry, "closed", number)
        return None
    return found


def _close(room: Fishroom, number: int, status: ReservationStatus, entry: Entry) -> None:
    found = _open(room, number, entry)
    if found is not None:
        room.reservations[found.number] = replace(found, status=status, closed=entry.on)
