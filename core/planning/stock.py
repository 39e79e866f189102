"""The fish of a batch that there are now: by sex, less those held back, and how sure the number is."""

from __future__ import annotations

from itertools import product
from math import comb

import numpy as np

from core.biology.chance import Floats, hypergeometric, normal_cdf
from core.events import SEXES, Sex
from core.fishroom.state import Batch, Fishroom, UnassignedDeaths
from core.planning.tally import Stock

ABOUT = 0.06
"""Relative standard deviation of a number told as "about": within a tenth, nine times in ten (common practice, no source)."""
FORGET_BELOW = 1e-6
"""Losses less likely than this are left out, which counts them as broken promises."""


def stock_of(room: Fishroom, batch: Batch) -> Stock:
    """The batch's fish by the book, with what may be missing: unassigned deaths in its water, a number told as "about"."""
    held = {sex: sum(count for kept, count in batch.held_back if kept == sex) for sex in SEXES}
    males, females, unsexed = (batch.count_of(sex) for sex in SEXES)
    return Stock(
        males,
        females,
        unsexed,
        held_males=held["male"],
        held_females=held["female"],
        held=min(batch.held_back_count, batch.count),
        missing=_missing(room, batch, (males, females, unsexed)),
    )


def _missing(room: Fishroom, batch: Batch, numbers: tuple[int, int, int]) -> tuple[tuple[float, int, int, int], ...]:
    """(probability, males, females, unsexed) that the book has too many."""
    gone = _about(batch) if batch.approx else np.ones(1)
    for deaths in room.unassigned:
        if batch.id in deaths.batches:
            gone = np.convolve(gone, _share_of(room, batch, deaths))
    gone = gone[: batch.count + 1]
    gone[-1] += 1 - gone.sum()
    return _over_sexes(gone, numbers)


def _about(batch: Batch) -> Floats:
    """P(0, 1 … fish fewer than "about" so many); those that may be more are not counted on."""
    deviation = max(ABOUT * batch.count, 1e-9)
    steps = np.arange(int(3 * deviation) + 2, dtype=float)
    return np.diff(normal_cdf((steps + 0.5) / deviation), prepend=0.0)


def _share_of(room: Fishroom, batch: Batch, deaths: UnassignedDeaths) -> Floats:
    """P(0, 1 … of the deaths were this batch's): any fish of the place may have been one of them."""
    there = {each: _count_in(room.batches[each], deaths) for each in deaths.batches if each in room.batches}
    total = sum(there.values())
    return hypergeometric(total, there[batch.id], min(deaths.count, total))


def _count_in(batch: Batch, deaths: UnassignedDeaths) -> int:
    here = sum(group.count for group in batch.groups if group.place == deaths.place)
    return here or batch.count


def _over_sexes(gone: Floats, numbers: tuple[int, int, int]) -> tuple[tuple[float, int, int, int], ...]:
    """The missing spread blindly over males, females and unsexed."""
    likely = [(k, p) for k, p in enumerate(gone) if p >= FORGET_BELOW]
    ways: list[tuple[float, int, int, int]] = []
    for k, probability in likely:
        for males, females in product(range(min(k, numbers[0]) + 1), range(min(k, numbers[1]) + 1)):
            unsexed = k - males - females
            if 0 <= unsexed <= numbers[2]:
                chosen = comb(numbers[0], males) * comb(numbers[1], females) * comb(numbers[2], unsexed)
                ways.append((probability * chosen / comb(sum(numbers), k), males, females, unsexed))
    return tuple(ways)


def fish_of(stock: Stock, sex: Sex | None) -> int:
    """Fish that may be of the sex: the unsexed are counted for either."""
    match sex:
        case "male":
            return stock.males + stock.unsexed
        case "female":
            return stock.females + stock.unsexed
        case _:
            return stock.count
