"""How a batch stands: what it has promised, to what day each promise must last, and what may be added.

A promise is kept when *everything promised up to every day, males, females and all, is there together*; a number can be promised
when that stays as likely as the club's promise level with the number added (`core.planning.together`). So a promise for April
never eats what was promised for May, and a fish too small in April may be right in May.

Days of promises: a pickup that has passed is still owed today. A promise without a day may be called in any time, so its fish
must outlast the usual wait: it is taken to be fetched four weeks from now, or once nine in ten of the batch have the size asked
for (or, for a sex asked of unsexed fish, the size at which it shows), whichever is later.

Batches in whose water deaths were found that nobody could assign are in one boat: whatever they promise together must be there
together too, over the unknown survival they share.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

import numpy as np

from core.events import BatchId, Sex
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.prospects import BY_SEX, IN_TOTAL, Fineness, Prospect, Prospects, prospect_of
from core.planning.stock import stock_of
from core.planning.tally import Memory, Need, Stock
from core.planning.together import ROUNDING, kept, most

USUAL_WAIT = timedelta(days=28)
"""How long somebody who named no day may take to come (common practice, no source)."""
FROM_THE_UNSEXED = (1.0, 0.9, 0.75, 0.5, 0.25, 0.0)
"""Shares that are tried of the most fish of either sex that the unsexed could serve."""
SURE_ENOUGH = 0.999
"""No club's level is higher: nothing better is looked for."""
LOOKAHEAD_DAYS = 365
"""Days searched for a day when a number could be had."""


@dataclass(frozen=True, slots=True)
class Promise:
    """What one reservation (or somebody who asks) needs of a batch, and when."""

    day: date
    males: int = 0
    females: int = 0
    either: int = 0
    min_mm: float | None = None
    reservation: int | None = None
    made: datetime | None = None
    dated: bool = True

    @property
    def count(self) -> int:
        """All fish of it."""
        return self.males + self.females + self.either

    def of(self, count: int) -> Promise:
        """The same promise for another number: males, females and the others in proportion, the largest remainders rounded up."""
        shares = [number * count / self.count if self.count else 0.0 for number in (self.males, self.females, self.either)]
        whole = [int(share) for share in shares]
        if not self.count:
            whole[2] = count
        by_remainder = sorted(range(3), key=lambda kind: whole[kind] - shares[kind])
        for kind in by_remainder[: count - sum(whole)]:
            whole[kind] += 1
        return replace(self, males=whole[0], females=whole[1], either=whole[2])


@dataclass(frozen=True, slots=True)
class Ask:
    """What somebody would like of a batch or a strain: a number of a sex (or a mix), a size, a day."""

    count: int = 1
    sex: Sex | None = None
    males: int | None = None
    females: int | None = None
    min_mm: float | None = None
    day: date | None = None

    @property
    def by_sex(self) -> tuple[int, int, int]:
        """Males, females and fish of either sex that are asked for."""
        return in_sexes(self.count, self.sex, self.males or 0, self.females or 0)


@dataclass(frozen=True, slots=True)
class Standing:
    """A batch with everything that bears on its promises, as of a day."""

    batch: Batch
    stock: Stock
    prospect: Prospect
    promises: tuple[Promise, ...]
    unassigned: tuple[tuple[int, int], ...] = ()
    """Deaths that may have been its fish: (entry of the journal, how many)."""
    boat: tuple[Standing, ...] = ()
    """Other batches with which it shares unassigned deaths."""
    memory: Memory = field(default_factory=Memory)

    @property
    def today(self) -> date:
        """The day it is looked at."""
        return self.prospect.today

    @property
    def promised(self) -> int:
        """Fish promised and not yet fetched."""
        return sum(promise.count for promise in self.promises)

    def chance(self, promises: Iterable[Promise]) -> float:
        """P(all these promises are kept together); never above the truth."""
        wanted = tuple(promises)
        own = self._chance(self.stock, wanted)
        if own < SURE_ENOUGH and _by_sex(wanted) and self.stock.unsexed and self.stock.males + self.stock.females:
            own = max(own, self._chance_apart(wanted))
        return min(own, self._chance_of_boat(wanted)) if self.boat else own

    def _chance(self, stock: Stock, promises: Sequence[Promise]) -> float:
        fineness = BY_SEX if _by_sex(promises) else IN_TOTAL
        return kept(stock, self._needs(stock, promises, fineness), self.prospect.scenarios(fineness), self.memory)

    def _chance_apart(self, promises: Sequence[Promise]) -> float:
        """As if those asked by sex came from the sexed fish alone, and so many of the others from the unsexed: the best such way.

        Each is one way to serve them, so a lower bound; both parts rise with the same scenarios, so their product is one too.
        """
        if self.stock.missing != _all_there():
            return 0.0
        known = replace(self.stock, unsexed=0, held=self.stock.held_males + self.stock.held_females, missing=_all_there())
        rest = Stock(unsexed=self.stock.unsexed, held=self.stock.held - known.held, missing=self.stock.missing)
        at_most = max(0, min(sum(promise.either for promise in promises), rest.unsexed - rest.held))
        best = 0.0
        for number in sorted({int(at_most * share) for share in FROM_THE_UNSEXED}, reverse=True):
            of_known, of_rest = _apart(promises, number)
            best = max(best, self._chance(known, of_known) * self._chance(rest, of_rest))
            if best >= SURE_ENOUGH:
                break
        return best

    def _chance_of_boat(self, promises: Sequence[Promise]) -> float:
        """P(all promises of the batches in one boat, numbers only, are there together)."""
        crew = (self, *self.boat)
        lost = sum(count for _, count in {deaths for one in crew for deaths in one.unassigned})
        stock = Stock(
            unsexed=sum(one.stock.count for one in crew),
            held=sum(one.stock.held for one in crew),
            missing=((1.0, 0, 0, lost),),
        )
        others = [promise for one in self.boat for promise in one.promises]
        return self._chance(stock, [replace(p, males=0, females=0, either=p.count, min_mm=None) for p in (*promises, *others)])

    def _needs(self, stock: Stock, promises: Sequence[Promise], fineness: Fineness) -> list[Need]:
        """The promises as a walk along their days, the longest fish of a day first."""
        together: dict[tuple[date, float], list[Promise]] = {}
        for promise in promises:
            together.setdefault((max(promise.day, self.today), -(promise.min_mm or 0.0)), []).append(promise)
        needs, alive = [], np.ones(fineness.survival)
        for (day, minus_mm), group in sorted(together.items()):
            then = self.prospect.alive(day, fineness)
            sexable = max(-minus_mm, self.prospect.sexable_mm if stock.unsexed else 0.0)
            needs.append(
                Need(
                    sum(promise.males for promise in group),
                    sum(promise.females for promise in group),
                    sum(promise.either for promise in group),
                    np.divide(then, alive, out=np.zeros_like(then), where=alive > 0),
                    self.prospect.long(-minus_mm, day, fineness),
                    self.prospect.long(sexable, day, fineness),
                )
            )
            alive = then
        return needs

    def firm(self, level: float) -> tuple[Promise, ...]:
        """Its promises as new ones must respect them.

        Where they are already in doubt, all their fish stay set aside, but a size or a sex that will be missed anyhow no longer
        blocks the fish that nobody is waiting for.
        """
        if not self.promises or self.chance(self.promises) >= level - ROUNDING:
            return self.promises
        firm: tuple[Promise, ...] = ()
        for promise in self.promises:
            any_size = replace(promise, min_mm=None)
            any_fish = replace(any_size, males=0, females=0, either=promise.count)
            ways = (promise, any_size, any_fish)
            firm += (next((way for way in ways if self.chance((*firm, way)) >= level - ROUNDING), any_fish),)
        return firm

    def fits(self, promise: Promise, level: float) -> bool:
        """Whether the promise can be added."""
        return self.chance((*self.firm(level), promise)) >= level - ROUNDING

    def promisable(self, promise: Promise, level: float, up_to: int | None = None) -> int:
        """The largest number that can be added in the kind, size and day of `promise` (its own number does not matter)."""
        firm = self.firm(level)
        free = max(0, self.stock.count - self.stock.held - self.promised)
        limit = free if up_to is None else min(free, up_to)
        return most(lambda count: self.chance((*firm, promise.of(count))) if count else 1.0, limit, level)

    def first_day(self, promise: Promise, level: float) -> date | None:
        """The first day, from its own on, on which the promise could be added (looked for by months, then weeks, then days)."""
        start, firm = max(promise.day, self.today), self.firm(level)
        sexed = _by_sex([promise]) and self.stock.unsexed == self.stock.count
        size = max(promise.min_mm or 0.0, self.prospect.sexable_mm if sexed else 0.0)

        def fits(after: int) -> bool:
            day = start + timedelta(days=after)
            expected = self.stock.count * self.prospect.expected_alive(day) * self.prospect.expected_long(size, day)
            return expected >= promise.count and self.chance((*firm, replace(promise, day=day))) >= level - ROUNDING

        found = next((after for after in range(0, LOOKAHEAD_DAYS + 1, 28) if fits(after)), None)
        for step in (7, 1):
            if found:
                found = next(after for after in range(max(0, found - 4 * step), found + 1, step) if after == found or fits(after))
        return None if found is None else start + timedelta(days=found)


def best_handed_over(stock: Stock, promise: Promise, others: Sequence[Promise]) -> tuple[int, int, int]:
    """Males, females and unsexed fish to hand over for a promise, so that the other promises stay as safe as they can be.

    Fish of either sex are taken from the unsexed first, then from the sex with more to spare over what is promised and held back.
    """
    unsexed = min(stock.unsexed, promise.either)
    rest = promise.either - unsexed
    males, females = stock.males - promise.males, stock.females - promise.females
    spare_males = males - stock.held_males - sum(other.males for other in others)
    spare_females = females - stock.held_females - sum(other.females for other in others)
    from_males = (rest + spare_males - spare_females + 1) // 2
    from_males = max(0, rest - females, min(from_males, rest, males))
    return promise.males + from_males, promise.females + rest - from_males, unsexed


def in_sexes(count: int, sex: Sex | None, males: int, females: int) -> tuple[int, int, int]:
    """(males, females, either) of a number with a sex, or with a mix of which the rest is either."""
    match sex:
        case "male":
            return count, 0, 0
        case "female":
            return 0, count, 0
        case _:
            males = min(males, count)
            females = min(females, count - males)
            return males, females, count - males - females


def day_of_promise(prospect: Prospect, day: date | None, min_mm: float | None) -> date:
    """The day a promise must last to: its own, or for one without a day as the module says."""
    if day is not None:
        return max(day, prospect.today)
    usual = prospect.today + USUAL_WAIT
    weeks = (prospect.today + timedelta(days=after) for after in range(0, LOOKAHEAD_DAYS + 1, 7))
    ready = next((week for week in weeks if prospect.expected_long(min_mm, week) >= 0.9), prospect.today)
    return max(usual, ready)


def parts_of(reservation: Reservation) -> tuple[int, int, int]:
    """Males, females and fish of either sex still to be handed over."""
    males = max(0, (reservation.males or 0) - reservation.collected_males)
    females = max(0, (reservation.females or 0) - reservation.collected_females)
    return in_sexes(reservation.left, reservation.sex, males, females)


def in_proportion(reservation: Reservation, count: int) -> tuple[int, int, int]:
    """Males, females and fish of either sex in `count` fish mixed like what is still to be handed over, to the nearest fish."""
    males, females, either = parts_of(reservation)
    mixed = Promise(date.min, males, females, either).of(count)
    return mixed.males, mixed.females, mixed.either


def promise_of(reservation: Reservation, prospect: Prospect, stock: Stock) -> Promise:
    """What an open reservation still needs."""
    parts = parts_of(reservation)
    day = day_of_promise(prospect, reservation.pickup, _size_to_wait_for(prospect, stock, parts, reservation.min_mm))
    return Promise(day, *parts, reservation.min_mm, reservation.number, reservation.made, reservation.pickup is not None)


def promise_asked(ask: Ask, prospect: Prospect, stock: Stock) -> Promise:
    """What would be needed if the ask became a reservation."""
    day = day_of_promise(prospect, ask.day, _size_to_wait_for(prospect, stock, ask.by_sex, ask.min_mm))
    return Promise(day, *ask.by_sex, ask.min_mm, dated=ask.day is not None)


def _size_to_wait_for(prospect: Prospect, stock: Stock, parts: tuple[int, int, int], min_mm: float | None) -> float | None:
    """The size asked for; where a sex is asked of fish that are not sexed, at least the size at which they can be."""
    males, females, _ = parts
    unsexed = males > stock.males or females > stock.females
    return max(min_mm or 0.0, prospect.sexable_mm) if unsexed and (males or females) else min_mm


def open_reservations(room: Fishroom, batch: BatchId, moment: datetime) -> list[Reservation]:
    """Reservations that bind fish of the batch at the moment, the earliest promise first."""
    mine = (r for r in room.reservations.values() if r.batch == batch and r.open_at(moment) and r.left > 0)
    return sorted(mine, key=lambda reservation: (reservation.made, reservation.number))


def _by_sex(promises: Iterable[Promise]) -> bool:
    return any(promise.males or promise.females for promise in promises)


def _apart(promises: Sequence[Promise], number: int) -> tuple[list[Promise], list[Promise]]:
    """The promises with so many of the fish of either sex taken out of them, in their order; and those that were taken out."""
    kept, out = [], []
    for promise in promises:
        taken = min(number, promise.either)
        number -= taken
        out += [replace(promise, males=0, females=0, either=taken)] if taken else []
        rest = replace(promise, either=promise.either - taken)
        kept += [rest] if rest.count else []
    return kept, out


def _all_there() -> tuple[tuple[float, int, int, int], ...]:
    return ((1.0, 0, 0, 0),)


def standing(
    room: Fishroom,
    batch: Batch,
    today: date,
    moment: datetime,
    *,
    without: int | None = None,
    prospects: Prospects = prospect_of,
) -> Standing:
    """How the batch stands at the moment (`today` there), one reservation left out where asked (to weigh it anew)."""
    crew = (batch, *in_one_boat(room, batch))
    alone, *boat = (_alone(room, one, prospects(room, one, today), moment, without) for one in crew)
    return replace(alone, boat=tuple(boat))


def in_one_boat(room: Fishroom, batch: Batch) -> list[Batch]:
    """Other live batches that share unassigned deaths with it, directly or through a third."""
    found, ahead = {batch.id}, [batch.id]
    while ahead:
        here = ahead.pop()
        mates = {mate for deaths in room.unassigned if here in deaths.batches for mate in deaths.batches} - found
        found |= mates
        ahead += sorted(mates)
    return [mate for mate in room.live_batches() if mate.id in found and mate.id != batch.id]


def _alone(room: Fishroom, batch: Batch, prospect: Prospect, moment: datetime, without: int | None) -> Standing:
    reservations = [r for r in open_reservations(room, batch.id, moment) if r.number != without]
    stock = stock_of(room, batch)
    promises = tuple(promise_of(reservation, prospect, stock) for reservation in reservations)
    unassigned = tuple((deaths.entry, deaths.count) for deaths in room.unassigned if batch.id in deaths.batches)
    return Standing(batch, stock, prospect, promises, unassigned)
