"""The tub of a season under one rule of promising: what truly swims in it, what the book says, who was promised what."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.events import Sex
from core.fishroom.state import (
    Batch,
    Change,
    ChangeKind,
    CountSaid,
    Fishroom,
    Group,
    Measurement,
    Offer,
    Place,
    Reservation,
    SexingSaid,
    Stay,
    Strain,
)
from core.planning.standing import Promise, best_handed_over
from core.planning.tally import Stock
from tests.bench.season import PROFILE, SEXED_FROM_MM, TEMPERATURE_C, Buyer, Season

Fish = NDArray[np.bool_]
"""One truth value per fish."""
SEXABLE_MM = PROFILE.ready_mm.sexable.likely
STAYS = 100_000
"""Day on which a fish is taken out that never is."""
START = date(2026, 3, 1)


def day_of(day: int) -> date:
    """A day of the season."""
    return START + timedelta(days=day)


def moment_of(day: int) -> datetime:
    """Noon of it."""
    return datetime.combine(day_of(day), time(12), UTC)


@dataclass(slots=True)
class Promised:
    """A promise a rule has made."""

    number: int
    buyer: Buyer
    count: int
    warned: bool = False
    handed_over: int | None = None

    @property
    def kept(self) -> bool:
        """Handed over in full."""
        return self.handed_over == self.count


@dataclass(slots=True)
class Tub:
    """The tub under one rule: what is truly there, what the book says, what was promised."""

    season: Season
    gone: NDArray[np.int_] = field(init=False)
    """Day on which each fish left the water by hand (beyond the season where it did not)."""
    told: Fish = field(init=False)
    """Which dead fish the book knows of."""
    sexed: Fish = field(init=False)
    promised: list[Promised] = field(default_factory=list)
    batch: Batch = field(init=False)

    def __post_init__(self) -> None:
        fish = len(self.season.dies_on)
        self.gone = np.full(fish, STAYS)
        self.told, self.sexed = np.zeros(fish, dtype=bool), np.zeros(fish, dtype=bool)
        began, born = day_of(0), day_of(-self.season.age)
        self.batch = Batch(
            "A",
            "A",
            "labs",
            began=began,
            spawned=born - timedelta(days=round(PROFILE.development.release_days.likely)),
            groups=(Group("tub", "unsexed", fish),),
            stays=(Stay(born, "tub"),),
            changes=(Change(began, "bought", fish, 1),),
            offer=Offer(began),
            counts=(CountSaid(began, fish, fish),),
        )

    def there(self, day: int) -> Fish:
        """The fish that are alive in the tub."""
        return (self.season.dies_on > day) & (self.gone > day)

    def in_book(self) -> Fish:
        """The fish the book believes in."""
        return ~self.told & (self.gone >= STAYS)

    def look(self, day: int) -> bool:
        """Some of the dead are found and told; whether any were."""
        dead = (self.season.dies_on <= day) & self.in_book() & self.season.is_found
        return self._tell(dead, "died", day)

    def count(self, day: int) -> None:
        """Everything is counted, some fish are measured, those large enough are sexed."""
        book = int(self.in_book().sum())
        missing = (self.season.dies_on <= day) & self.in_book()
        self._tell(missing, "unexplained", day)
        there = np.flatnonzero(self.there(day))
        lengths = self.season.lengths(day)
        sample = tuple(float(lengths[fish]) for fish in there[:8])
        self.sexed[there] |= lengths[there] >= SEXED_FROM_MM
        said = CountSaid(day_of(day), len(there), book)
        self._revise(counts=(*self.batch.counts, said))
        if sample:
            self._revise(measurements=(*self.batch.measurements, Measurement(day_of(day), sample)))
        males, females, unsexed = self._by_sex()
        if males + females:
            self._revise(sexings=(SexingSaid(day_of(day), males, females, unsexed),))

    def hand_over(self, promise: Promised, day: int) -> None:
        """The buyer comes and is handed fish that fit, in the sexes that keep the other promises safest."""
        others = [Promise(START, *split(p.buyer, p.count)) for p in self.promised if p.handed_over is None and p is not promise]
        asked = Promise(START, *split(promise.buyer, promise.count))
        best = best_handed_over(Stock(*self._by_sex()), asked, others)
        fits = self.there(day) & (self.season.lengths(day) >= promise.buyer.min_mm)
        male, female = self._known(day) & self.season.is_male, self._known(day) & ~self.season.is_male
        taken = self._net(fits & male, asked.males) + self._net(fits & female, asked.females)
        wishes = ((male, best[0] - asked.males), (female, best[1] - asked.females), (~self.sexed, asked.either))
        for which, count in (*wishes, (fits, asked.either)):
            left = asked.count - len(taken)
            free = fits & which
            free[taken] = False
            taken += self._net(free, min(count, left)) if asked.either else []
        self.gone[taken] = day
        promise.handed_over = len(taken)
        if taken:
            self._revise(changes=(*self.batch.changes, Change(day_of(day), "collected", -len(taken), day + 2)))

    def _known(self, day: int) -> Fish:
        """Fish whose sex the keeper can tell."""
        return self.sexed | (self.season.lengths(day) >= SEXABLE_MM)

    def _net(self, fits: Fish, count: int) -> list[int]:
        """So many of these fish, whichever swim into the net."""
        found = sorted(np.flatnonzero(fits), key=lambda fish: self.season.order[fish])
        return [int(fish) for fish in found[: max(0, count)]]

    def _by_sex(self) -> tuple[int, int, int]:
        book = self.in_book()
        males = int((book & self.sexed & self.season.is_male).sum())
        females = int((book & self.sexed & ~self.season.is_male).sum())
        return males, females, int(book.sum()) - males - females

    def _tell(self, dead: Fish, kind: ChangeKind, day: int) -> bool:
        if dead.any():
            self.told |= dead
            change = Change(day_of(day), kind, -int(dead.sum()), day + 2)
            self._revise(changes=(*self.batch.changes, change))
        return bool(dead.any())

    def _revise(self, **changed: Any) -> None:
        counts: list[tuple[Sex, int]] = list(zip(("male", "female", "unsexed"), self._by_sex(), strict=True))
        groups = tuple(Group("tub", sex, count) for sex, count in counts if count)
        self.batch = replace(self.batch, groups=groups, **changed)

    def room(self) -> Fishroom:
        """The fishroom as the book has it."""
        room = Fishroom("north")
        room.strains["labs"] = Strain("labs", "labs", PROFILE.key)
        room.places["tub"] = Place("tub", "tub", 400.0, TEMPERATURE_C)
        room.batches["A"] = self.batch
        for one in self.promised:
            if one.handed_over is None:
                room.reservations[one.number] = as_reservation(one)
        return room


def split(buyer: Buyer, count: int) -> tuple[int, int, int]:
    """Males, females and others of a promise for fewer than the buyer asked, as the order book would split it."""
    part = Promise(START, buyer.males, buyer.females, buyer.either).of(count)
    return part.males, part.females, part.either


def as_reservation(promise: Promised) -> Reservation:
    males, females, _ = split(promise.buyer, promise.count)
    buyer = promise.buyer
    return Reservation(
        promise.number, f"buyer {promise.number}", "A", promise.count, moment_of(buyer.asks_on), "confirmed",
        males=males or None, females=females or None, pickup=day_of(buyer.fetches_on), min_mm=buyer.min_mm or None,
    )  # fmt: skip
