"""Whether a decision fits the fishroom as it is: what somebody decides is checked, what happened is not."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from core import events as e
from core.events import PersonId
from core.fishroom.choices import confirms_by_hand
from core.fishroom.state import Club, Fishroom, Reservation
from core.planning.promises import (
    Decision,
    Now,
    TooMany,
    ask_of,
    decide_change,
    decide_confirm,
    decide_reserve,
    is_safe,
)
from core.planning.standing import Ask
from core.planning.waiting import asked_now


@dataclass(frozen=True, slots=True)
class Objection:
    """Why not: a short key, what it is about, and the facts that a reply may name."""

    why: str
    about: str
    facts: Any = None


@dataclass(frozen=True, slots=True)
class Bench:
    """What a check may look at: the fishroom, the day and the moment with the club's promise level, who decides, and whether that is a keeper."""

    room: Fishroom
    club: Club
    now: Now
    person: PersonId
    by_keeper: bool


def objection(room: Fishroom, club: Club, event: e.Event, now: Now, person: PersonId, *, by_keeper: bool) -> Objection | None:
    """What speaks against the event of the person; None for every fact, and for a decision that fits."""
    check = CHECKS.get(type(event))
    return check(event, Bench(room, club, now, person, by_keeper)) if check else None


def _too_many(decision: Decision) -> Objection | None:
    return Objection("too_many", "count", decision) if isinstance(decision, TooMany) else None


def _reserved(event: e.Reserved, bench: Bench) -> Objection | None:
    batch = bench.room.batches.get(event.batch)
    if batch is None or batch.count == 0:
        return Objection("no_such_batch", "batch", event.batch)
    if event.confirmed and not bench.by_keeper and confirms_by_hand(bench.room):
        return Objection("by_hand", "reservation", event.reservation)
    ask = Ask(event.count, event.sex, event.males, event.females, event.min_mm, event.pickup)
    room = with_asked(bench.room, bench.club, event.member, bench.now)
    return _too_many(decide_reserve(room, batch, ask, bench.now, member=event.member, by_keeper=bench.by_keeper))


def with_asked(room: Fishroom, club: Club, member: PersonId, now: Now) -> Fishroom:
    """The fishroom in which fish that somebody else on the wanted list is being asked about are held for them."""
    asked = [
        wish
        for wish in club.wishes.values()
        if wish.member != member and wish.offer is not None and wish.offer[0] == room.id and asked_now(wish, now.moment)
    ]
    if not asked:
        return room
    held = room.fork()
    for wish in asked:
        if wish.offer is not None and wish.offer[1] in held.batches:
            _, batch, count, until = wish.offer
            hold = Reservation(-wish.number, wish.member, batch, count, wish.made, "unconfirmed", wish.sex, hold_until=until)
            held.reservations[hold.number] = replace(hold, min_mm=wish.min_mm, pickup=wish.by_day)
    return held


def _open(event: Any, bench: Bench) -> Objection | None:
    found = bench.room.reservations.get(event.reservation)
    if found is None:
        return Objection("no_such_reservation", "reservation", event.reservation)
    if found.status in ("collected", "cancelled", "declined", "no_show"):
        return Objection("closed", "reservation", found)
    if found.status == "unconfirmed" and not found.open_at(bench.now.moment):
        return Objection("lapsed", "reservation", found)
    return None


def _confirmed(event: e.Confirmed, bench: Bench) -> Objection | None:
    found = bench.room.reservations.get(event.reservation)
    if found is None or found.status != "unconfirmed":
        return (
            Objection("already_confirmed", "reservation", found) if found and found.status == "confirmed" else _open(event, bench)
        )
    if found.batch not in bench.room.batches:
        return Objection("no_such_batch", "batch", found.batch)
    room = with_asked(bench.room, bench.club, found.member, bench.now)
    decision = decide_confirm(room, event.reservation, bench.now)
    return Objection("lapsed_and_gone", "reservation", (found, decision)) if isinstance(decision, TooMany) else None


def _changed(event: e.ReservationChanged, bench: Bench) -> Objection | None:
    if (closed := _open(event, bench)) is not None:
        return closed
    found = bench.room.reservations[event.reservation]
    said = {name: getattr(event, name) for name in ("count", "sex", "batch", "males", "females")}
    changed = replace(found, **{name: value for name, value in said.items() if value is not None})
    if changed.batch not in bench.room.batches:
        return Objection("no_such_batch", "batch", changed.batch)
    if changed.count > found.count and not bench.by_keeper and found.status == "confirmed" and confirms_by_hand(bench.room):
        return Objection("more_by_hand", "reservation", (found, changed.count - found.count))
    return _too_many(decide_change(bench.room, found.number, changed, bench.now, by_keeper=bench.by_keeper))


def _pickup_set(event: e.PickupSet, bench: Bench) -> Objection | None:
    """A day on which the promise can be kept as well as now: not before the offer begins, not while the fish are too small."""
    if (closed := _open(event, bench)) is not None:
        return closed
    found = bench.room.reservations[event.reservation]
    batch = bench.room.batches.get(found.batch)
    if batch is None or event.pickup == found.pickup:
        return None
    begins = batch.offer.from_day if batch.offer else None
    if begins is not None and event.pickup < begins and not bench.by_keeper:
        return Objection("too_early", "pickup", (found, begins))
    moved = decide_change(bench.room, found.number, replace(found, pickup=event.pickup), bench.now, by_keeper=True)
    if isinstance(moved, TooMany) and is_safe(bench.room, found.number, bench.now):
        return _too_many(moved)
    return None  # what is short anyhow may be short on any day


def _agreed(event: e.PickupAgreed, bench: Bench) -> Objection | None:
    """A proposed pickup is for the other side to accept: the buyer a keeper's, a keeper the buyer's."""
    if (closed := _open(event, bench)) is not None:
        return closed
    found = bench.room.reservations[event.reservation]
    if found.proposed is None:
        return Objection("nothing_proposed", "pickup", found)
    if (found.proposed[2] == found.member) == (bench.person == found.member):
        return Objection("own_proposal", "pickup", found)
    return None


def _offered(event: e.Offered, bench: Bench) -> Objection | None:
    batch = bench.room.batches.get(event.batch)
    if batch is None or batch.count == 0:
        return Objection("no_such_batch", "batch", event.batch)
    return None


def _merged(event: e.Merged, bench: Bench) -> Objection | None:
    strains = {bench.room.batches[batch].strain for batch in event.batches if batch in bench.room.batches}
    return Objection("different_strains", "hybrid", sorted(strains)) if len(strains) > 1 and not event.hybrid else None


def objection_to_undoing(before: Fishroom, after: Fishroom, now: Now, *, by_keeper: bool) -> Objection | None:
    """What speaks against taking back a decision about promises: the fish it would promise again may be promised to others by now.

    `after` is the fishroom with the decision taken back. A promise that would stand again is looked at like one made now.
    """
    for number, found in after.reservations.items():
        if not found.open_at(now.moment) or found.batch not in before.batches:
            continue
        known = before.reservations.get(number)
        if known is None or not known.open_at(now.moment):
            batch = before.batches[found.batch]
            decision = decide_reserve(before, batch, ask_of(found), now, member=found.member, by_keeper=by_keeper)
        elif known != found:
            decision = decide_change(before, number, found, now, by_keeper=by_keeper)
        else:
            continue
        if isinstance(decision, TooMany):
            return Objection("too_many", "count", decision)
    return None


def objection_to_replacing(
    before: Fishroom, without: Fishroom, after: Fishroom, said: Collection[int], now: Now, *, by_keeper: bool
) -> Objection | None:
    """What speaks against replacing a message about promises by another one: promises that would stand again must fit.

    `without` is the fishroom as if the message had not been said, `after` is that with what is said instead; the reservations that
    are `said` to be something now are checked as such.
    """
    for number, found in without.reservations.items():
        known, kept = before.reservations.get(number), after.reservations.get(number)
        if number in said or kept is None or found == known or not found.open_at(now.moment) or found.batch not in after.batches:
            continue
        others = after.fork()
        del others.reservations[number]
        batch = others.batches[found.batch]
        decision = decide_reserve(others, batch, ask_of(found), now, member=found.member, by_keeper=by_keeper)
        if isinstance(decision, TooMany):
            return Objection("stands_again", "reservation", (number, decision))
    return None


ABOUT_PROMISES = (e.Reserved, e.Confirmed, e.Declined, e.ReservationChanged, e.PickupSet, e.PickupAgreed, e.Cancelled, e.NoShow)
"""Decisions that, taken back (or put back), can promise fish again."""
CHECKS: Mapping[type[e.Event], Callable[[Any, Bench], Objection | None]] = {
    e.Reserved: _reserved,
    e.Confirmed: _confirmed,
    e.Declined: _open,
    e.ReservationChanged: _changed,
    e.PickupSet: _pickup_set,
    e.PickupAgreed: _agreed,
    e.PickupRefused: _open,
    e.Cancelled: _open,
    e.Deposit: _open,
    e.NoShow: _open,
    e.Offered: _offered,
    e.Merged: _merged,
}
