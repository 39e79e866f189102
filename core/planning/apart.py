"""A quick lower bound for large stocks: as if fish promised by sex and fish promised of either sex swam in separate pools.

The exact walk of `core.planning.together` over males and females grows with the fourth power of the fish. Here some fish are
set apart for those who take either sex: for promises that come before the sexes are known, unsexed fish, blindly; for later
ones, once the sexes are known, fish of the sex with more to spare. The others serve the promises by sex. Setting fish apart is
one way to keep the promises, so its probability is never above that of the best way; and given a scenario and the sexes the
pools are independent, so each is a walk over one number, done backward: what is it worth to have n fish now? How many are set
apart is the best of those tried. An extra fish in one pool is one that the others cannot use, which costs a large stock little.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from core.biology.chance import Floats, beta_binomial
from core.planning.tally import Memory, Need, Scenarios, Stock, enough

Integers = NDArray[np.int_]
MARGINS = (0, 1, 2, 4, 7, 11, 16)
"""Fish set apart beyond what was promised of either sex."""


@dataclass(frozen=True, slots=True)
class Pools:
    """What n fish in each pool are worth: P(it keeps its promises), as survival scenario × growth scenario × n."""

    blind: Floats
    """Either sex, before the sexes are known."""
    either: Floats
    """Either sex, afterwards."""
    males: Floats
    females: Floats


def kept_apart(stock: Stock, needs: Sequence[Need], scenarios: Scenarios, memory: Memory) -> float:
    """P(everything is there together) when the pools are separate: a lower bound."""
    known_from = 0 if stock.unsexed == 0 else next(index for index, need in enumerate(needs) if need.by_sex)
    rest = stock.held - stock.held_males - stock.held_females
    blind = [need.either if index < known_from else 0 for index, need in enumerate(needs)]
    either = [need.either - before for need, before in zip(needs, blind, strict=True)]
    pools = Pools(
        blind=_worth(stock.count, needs, blind, 0, lambda need: need.long, memory),
        either=_worth(stock.count, needs, either, rest, lambda need: need.long, memory),
        males=_worth(stock.count, needs, [need.males for need in needs], stock.held_males, lambda need: need.long_by_sex, memory),
        females=_worth(
            stock.count, needs, [need.females for need in needs], stock.held_females, lambda need: need.long_by_sex, memory
        ),
    )
    best = 0.0
    tried = product(_sizes(sum(blind)), _sizes(sum(either) + rest))
    for set_apart in (sizes for sizes in tried if sum(sizes) <= stock.count):
        ways = ((probability, _together(stock, way, set_apart, needs, scenarios, pools)) for probability, *way in stock.missing)
        best = max(best, sum(probability * chance for probability, chance in ways))
    return best


def _sizes(needed: int) -> list[int]:
    return [needed + margin for margin in MARGINS] if needed else [0]


def _worth(
    most: int, needs: Sequence[Need], counts: Sequence[int], held: int, size: Callable[[Need], Floats], memory: Memory
) -> Floats:
    """What n fish in a pool are worth now, worked out from the last day back; those held back are asked for every day."""
    taken_by_size = [0]
    for need, count in zip(needs, counts, strict=True):
        taken_by_size.append(taken_by_size[-1] + (count if np.any(size(need) < 1.0) else 0))
    worth = np.ones((len(needs[0].survive), len(needs[0].long), most + 1))
    for need, count, taken in reversed(list(zip(needs, counts, taken_by_size, strict=False))):
        if count or held:
            left = np.zeros_like(worth)
            left[..., count:] = worth[..., : most + 1 - count]
            worth = left * enough(most, taken, count + held, size(need))
        worth = worth @ np.swapaxes(memory.thinning(most, need.survive), 1, 2)
    return worth


def _together(
    stock: Stock, missing: Sequence[int], set_apart: tuple[int, int], needs: Sequence[Need], scenarios: Scenarios, pools: Pools
) -> float:
    """P(all pools keep their promises) with so many fish set apart blindly, and so many once the sexes are known."""
    blind, either = set_apart
    males, females, unsexed = stock.males - missing[0], stock.females - missing[1], stock.unsexed - missing[2]
    from_known = max(0, blind - unsexed)
    unsexed -= blind - from_known
    among = np.arange(unsexed + 1)
    now_males, now_females = males + among, females + unsexed - among
    take = from_known + either
    from_males = _evened_out(stock, now_males, now_females, take, needs)
    left_males, left_females = now_males - from_males, now_females - (take - from_males)
    possible = (left_males >= stock.held_males) & (left_females >= stock.held_females)
    sexes = np.where(possible, beta_binomial(unsexed, scenarios.male_share), 0.0)
    by_sex = pools.males[..., np.maximum(left_males, 0)] * pools.females[..., np.maximum(left_females, 0)]
    chance = pools.blind[..., blind] * pools.either[..., either] * (by_sex @ sexes)
    return float(np.einsum("sg,s,g->", chance, scenarios.survival, scenarios.growth))


def _evened_out(stock: Stock, males: Integers, females: Integers, count: int, needs: Sequence[Need]) -> Integers:
    """Males among `count` fish of either sex that leave both sexes with as much to spare."""
    spare_males = males - stock.held_males - sum(need.males for need in needs)
    spare_females = females - stock.held_females - sum(need.females for need in needs)
    evened: Integers = np.clip((count + spare_males - spare_females + 1) // 2, 0, count)
    return evened
