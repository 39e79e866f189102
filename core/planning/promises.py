"""Who is promised what: earliest promise first, and never more than will be there.

A decision (reserve, change, confirm late) is checked with itself added: it is refused where it would make what was promised
earlier less likely to be there than the club's level. A fact is never refused; when it leaves less than was promised, the
earliest promises keep their fish and the later ones are short, each with its ways out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Literal

from core.events import BatchId, PersonId, Sex, StrainKey
from core.fishroom.choices import DEFAULT_LEVEL, buyer_limit, hold_days
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.availability import Availability, available, can_promise, promise_for
from core.planning.prospects import Prospects, prospect_of
from core.planning.standing import Ask, Promise, Standing, promise_asked, standing

MONTH_DAYS = 28
COMING_DAYS = 140
"""How far ahead is looked for fish that come, when there are none now."""
IN_TROUBLE = 0.5
"""A promise less likely than this to be kept is short: the people concerned are told."""

Reason = Literal[
    "gone",
    "too_many",
    "too_small",
    "not_sexable",
    "other_sex",
    "at_risk",
    "not_offered",
    "not_yet",
    "offered_number",
    "buyer_limit",
]
"""Why not. gone: none is free; too_many: fewer are free; too_small: not that long by then; not_sexable: too small to be told
apart by then; other_sex: not enough of that sex; at_risk: earlier promises would become less sure than the level; the others as
the offer or the keeper's limit say."""


@dataclass(frozen=True, slots=True)
class Other:
    """Fish of the same strain elsewhere: a fishroom, a batch, and how many can be had there on the day asked for."""

    room: str
    batch: BatchId
    count: int
    day: date


@dataclass(frozen=True, slots=True)
class Fits:
    """It can be promised."""

    availability: Availability


@dataclass(frozen=True, slots=True)
class TooMany:
    """It cannot be promised: why, and what could be instead."""

    reason: Reason
    availability: Availability
    fewer: int
    """How many can be had of the same kind on the same day."""
    first_day: date | None = None
    """The first later day on which all could be had of this batch."""
    others: tuple[Other, ...] = ()
    """Other batches on offer that have some, those that have all first."""
    coming: Other | None = None
    """Where nothing of the above has all: the first later day on which more can be had of a batch on offer here, and how many."""
    limit: int | None = None
    """The keeper's limit per buyer, where that is the reason."""


Decision = Fits | TooMany


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A promise that can no longer be kept in full, and the ways out."""

    reservation: Reservation
    day: date
    missing: int
    can: int
    """How many of it are still more likely there than not, after the earlier promises."""
    certainty: float
    """How likely all of it is, together with all earlier promises."""
    cause: Literal["number", "size", "sex"]
    held_back: int
    """Fish held back in the batch: the keeper could give up some of them."""
    later: date | None
    """The first day on which all of it could be had here."""
    others: tuple[Other, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """Part of what was asked, from one batch."""

    room: str
    batch: BatchId
    ask: Ask


@dataclass(frozen=True, slots=True)
class Proposal:
    """The best fit for an ask by strain: parts from as few batches as possible, and what could not be found."""

    parts: tuple[Part, ...]
    missing: int


@dataclass(frozen=True, slots=True)
class Now:
    """The day and the moment something is decided, and the promise level that holds."""

    today: date
    moment: datetime
    level: float = DEFAULT_LEVEL
    prospects: Prospects = prospect_of


def how_it_stands(room: Fishroom, batch: Batch, now: Now, without: int | None = None) -> Standing:
    """The batch with its promises at that moment."""
    return standing(room, batch, now.today, now.moment, without=without, prospects=now.prospects)


def decide_reserve(
    room: Fishroom, batch: Batch, ask: Ask, now: Now, *, member: PersonId | None = None, by_keeper: bool = False
) -> Decision:
    """Whether the ask can become a promise. The keeper need not have offered the batch, but is held to the level too."""
    how = how_it_stands(room, batch, now)
    found = available(how, ask, now.level, by_keeper=by_keeper, up_to=ask.count)
    limit = None if by_keeper or member is None else left_for(room, member, now.moment)
    if found.enough and (limit is None or ask.count <= limit):
        return Fits(found)
    if found.enough and limit is not None:
        return TooMany("buyer_limit", found, max(0, limit), limit=buyer_limit(room))
    return _refused(room, batch, how, found, now)


def decide_change(room: Fishroom, number: int, changed: Reservation, now: Now, *, by_keeper: bool = False) -> Decision:
    """Whether reservation `number` can become `changed` (another number, sex, size, day or batch).

    What asks for less of the same can always be had; more, or others, only as the offer and the keeper's limit allow.
    """
    before, batch = room.reservations[number], room.batches[changed.batch]
    how = how_it_stands(room, batch, now, without=number)
    ask = ask_of(changed)
    as_promised = _same_fish(before, changed) and changed.count <= before.count
    found = available(how, ask, now.level, by_keeper=by_keeper or as_promised, up_to=ask.count)
    more = changed.count - before.count
    limit = None if by_keeper or more <= 0 else left_for(room, before.member, now.moment)
    if limit is not None and more > limit:
        return TooMany("buyer_limit", found, limit, limit=buyer_limit(room))
    if found.enough or _asks_less(before, changed):
        return Fits(found)
    return _refused(room, batch, how, found, now)


def is_safe(room: Fishroom, number: int, now: Now) -> bool:
    """Whether the reservation, as it is, could be promised anew."""
    one = room.reservations[number]
    how = how_it_stands(room, room.batches[one.batch], now, without=number)
    ask = ask_of(one)
    return available(how, ask, now.level, by_keeper=True, up_to=ask.count).enough


def _same_fish(before: Reservation, after: Reservation) -> bool:
    """Whether the batch, the sex and the mix stay."""
    return (before.batch, before.sex, before.males, before.females) == (after.batch, after.sex, after.males, after.females)


def decide_confirm(room: Fishroom, number: int, now: Now) -> Decision:
    """Whether the keeper can confirm: a hold that lapsed has lost its place and must fit anew."""
    reservation = room.reservations[number]
    how = how_it_stands(room, room.batches[reservation.batch], now, without=number)
    ask = ask_of(reservation)
    found = available(how, ask, now.level, by_keeper=True, up_to=ask.count)
    if reservation.open_at(now.moment) or found.enough:
        return Fits(found)
    return _refused(room, room.batches[reservation.batch], how, found, now)


def ask_of(reservation: Reservation) -> Ask:
    """What the reservation still asks for."""
    males = max(0, (reservation.males or 0) - reservation.collected_males)
    females = max(0, (reservation.females or 0) - reservation.collected_females)
    return Ask(reservation.left, reservation.sex, males, females, reservation.min_mm, reservation.pickup)


def held_until(room: Fishroom, moment: datetime) -> datetime:
    """Until when a reservation made at the moment holds its fish without being confirmed: the keeper's days, else three."""
    return moment + timedelta(days=hold_days(room))


def left_for(room: Fishroom, member: PersonId, moment: datetime) -> int | None:
    """How many more the member may reserve here (None: no limit)."""
    limit = buyer_limit(room)
    if limit is None:
        return None
    return max(0, limit - sum(r.left for r in room.reservations.values() if r.member == member and r.open_at(moment)))


def on_offer(room: Fishroom, strain: StrainKey) -> list[Batch]:
    """Batches of the strain that are for sale; a hybrid is no strain's."""
    return [b for b in room.live_batches() if b.strain == strain and b.offer is not None and not b.hybrid]


def shortfalls(room: Fishroom, now: Now) -> tuple[Shortfall, ...]:
    """Promises of the fishroom that can no longer be kept in full, batch by batch, in the order of the promises."""
    promised = {r.batch for r in room.reservations.values() if r.open_at(now.moment) and r.left > 0}
    live = (batch for key, batch in room.batches.items() if key in promised)
    gone = [r for r in room.reservations.values() if r.batch in promised - room.batches.keys() and r.open_at(now.moment) and r.left > 0]
    return (*(short for batch in live for short in _shortfalls_of(room, batch, now)), *(_of_nothing(one, now) for one in gone))


def _of_nothing(reservation: Reservation, now: Now) -> Shortfall:
    """A promise of a batch that was taken back: none of it can be kept."""
    day = reservation.pickup or now.today
    return Shortfall(reservation, day, missing=reservation.left, can=0, certainty=0.0, cause="number", held_back=0, later=None, others=())


def _shortfalls_of(room: Fishroom, batch: Batch, now: Now) -> list[Shortfall]:
    how = how_it_stands(room, batch, now)
    if how.chance(how.promises) >= IN_TROUBLE:
        return []
    kept: list[Promise] = []
    short = []
    for promise in how.promises:
        certainty = how.chance((*kept, promise))
        if certainty >= IN_TROUBLE:
            kept.append(promise)
            continue
        can = max((n for n in range(promise.count) if how.chance((*kept, promise.of(n))) >= IN_TROUBLE), default=0)
        short.append(_shortfall(room, how, tuple(kept), promise, can, certainty, now))
        if can:
            kept.append(promise.of(can))
    return short


def _shortfall(
    room: Fishroom, how: Standing, kept: tuple[Promise, ...], promise: Promise, can: int, certainty: float, now: Now
) -> Shortfall:
    reservation = room.reservations[promise.reservation or 0]
    before = replace(how, promises=kept)
    later = before.first_day(promise, now.level) if promise.count <= how.stock.count - how.stock.held - before.promised else None
    return Shortfall(
        reservation=reservation,
        day=promise.day,
        missing=promise.count - can,
        can=can,
        certainty=certainty,
        cause=_cause(how, kept, promise),
        held_back=how.stock.held,
        later=later,
        others=others_with(room, how.batch, ask_of(reservation), now),
    )


def _cause(how: Standing, kept: Sequence[Promise], promise: Promise) -> Literal["number", "size", "sex"]:
    if promise.min_mm and how.chance((*kept, replace(promise, min_mm=None))) >= IN_TROUBLE:
        return "size"
    either = replace(promise, males=0, females=0, either=promise.count)
    return "sex" if either != promise and how.chance((*kept, either)) >= IN_TROUBLE else "number"


def others_with(room: Fishroom, batch: Batch, ask: Ask, now: Now) -> tuple[Other, ...]:
    """Other batches of the strain on offer in this fishroom that have some of what is asked."""
    others = (other for other in on_offer(room, batch.strain) if other.id != batch.id)
    found = [(other.id, how_it_stands(room, other, now)) for other in others]
    some = [
        Other(room.id, key, count, promise_for(how, ask).day)
        for key, how in found
        if (count := can_promise(how, ask, now.level, up_to=ask.count))
    ]
    return tuple(sorted(some, key=lambda other: -other.count))


def propose_parts(rooms: Mapping[str, Fishroom], strain: StrainKey, ask: Ask, now: Now) -> Proposal:
    """The best fit for an ask by strain across fishrooms, in parts where no single batch has it all.

    One batch that has it all is best, and of several the one with the least to spare (larger asks keep their chance). Else the
    batches that have most come first, so the parts are few. A mix of sexes is kept together if it can be, else its
    males, its females and the others are looked for in turn.
    """
    stands = {(key, batch.id): how_it_stands(room, batch, now) for key, room in rooms.items() for batch in on_offer(room, strain)}
    whole = _in_one(stands, ask, now.level)
    if whole is not None:
        return Proposal((whole,), 0)
    parts: list[Part] = []
    for piece in _pieces(ask):
        parts += _in_parts(stands, piece, now.level)
    merged = tuple(parts)
    return Proposal(merged, ask.count - sum(part.ask.count for part in merged))


Stands = dict[tuple[str, BatchId], Standing]


def _in_one(stands: Stands, ask: Ask, level: float) -> Part | None:
    found = [(count, key) for key, how in stands.items() if (count := can_promise(how, ask, level)) >= ask.count]
    return Part(*min(found)[1], ask) if found else None


def _in_parts(stands: Stands, ask: Ask, level: float) -> list[Part]:
    """Parts of an ask for one sex, the batch with most first; `stands` learns what was taken."""
    parts, left = [], ask
    while left.count:
        found = [(can_promise(how, left, level), key) for key, how in stands.items()]
        count, key = max(found, default=(0, ("", "")))
        if not count:
            break
        parts.append(Part(*key, replace(left, count=min(count, left.count))))
        taken = promise_asked(parts[-1].ask, stands[key].prospect, stands[key].stock)
        stands[key] = replace(stands[key], promises=(*stands[key].promises, taken))
        left = replace(left, count=left.count - parts[-1].ask.count)
    return parts


def _pieces(ask: Ask) -> list[Ask]:
    males, females, either = ask.by_sex
    kinds: tuple[tuple[int, Sex | None], ...] = ((males, "male"), (females, "female"), (either, None))
    return [Ask(count, sex, None, None, ask.min_mm, ask.day) for count, sex in kinds if count]


def _refused(room: Fishroom, batch: Batch, how: Standing, found: Availability, now: Now) -> TooMany:
    others = others_with(room, batch, found.ask, now)
    reason = _reason(how, found, now.level)
    mix = bool(found.ask.males and found.ask.females)
    elsewhere = any(other.count >= found.ask.count for other in others)
    settled = mix or elsewhere or found.first_day is not None or reason in ("not_offered", "other_sex")
    coming = None if settled else coming_here(room, batch, found, now)
    return TooMany(reason, found, found.can_promise, found.first_day, others, coming)


def coming_here(room: Fishroom, batch: Batch, found: Availability, now: Now) -> Other | None:
    """The most that can be had later of one batch of the strain on offer here, and when (looking four weeks at a time)."""
    stands = [how_it_stands(room, one, now) for one in on_offer(room, batch.strain)]
    best: Other | None = None
    for ahead in range(MONTH_DAYS, COMING_DAYS + 1, MONTH_DAYS):
        day = found.day + timedelta(days=ahead)
        for how in stands:
            least = best.count if best else found.can_promise
            count = can_promise(how, replace(found.ask, day=day), now.level, more_than=least, up_to=found.ask.count)
            if count > least:
                best = Other(room.id, how.batch.id, min(count, found.ask.count), day)
        if best is not None and best.count == found.ask.count:
            break
    return best


def _reason(how: Standing, found: Availability, level: float) -> Reason:
    """The first that explains it: the offer, the bare numbers, the size, the sex, else the risk to earlier promises."""
    if found.hindrance is not None:
        return found.hindrance
    free = how.stock.count - how.stock.held - how.promised
    if free < found.ask.count:
        return "too_many" if free > 0 else "gone"
    promise = promise_asked(found.ask, how.prospect, how.stock)
    if promise.min_mm and how.fits(replace(promise, min_mm=None), level):
        return "too_small"
    if replace(how, prospect=replace(how.prospect, sexable_mm=0.0)).fits(promise, level):
        return "not_sexable"
    either = replace(promise, males=0, females=0, either=promise.count)
    return "other_sex" if either != promise and how.fits(either, level) else "at_risk"


def _asks_less(before: Reservation, after: Reservation) -> bool:
    """Whether nothing but the number changes, and that falls."""
    same = replace(after, count=before.count, males=before.males, females=before.females) == before
    fewer = after.count <= before.count and (after.males or 0) <= (before.males or 0)
    return same and fewer and (after.females or 0) <= (before.females or 0)
