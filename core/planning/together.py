"""Whether everything promised of one stock of fish is there together: one probability for all days, sizes and sexes.

The model. All that is not known of the batch as a whole is a *scenario*: how well it survives, how fast it grows, how many of its
unsexed fish are males. Within a scenario the fish are independent, so the number alive from one promised day to the next is a
chain of binomials, and the probability is a walk along that chain: thin by survival, ask for what is needed on the day, take
away what is handed over, go on to the next day. Mixing over Gauss scenarios of a beta belief makes it beta-binomial (see
`core.biology.chance.Beta.scenarios`). No fish is drawn by lot.

What is exact: promises of any sex without a size, and promises by sex of a sexed stock, given that fish of any sex are handed
over from the sex with more to spare. What is a bound, never above the truth:

* Sizes. Given the path of numbers, "enough are long enough" on one day and on another rise with the same lengths, so together
  they are at least as likely as their product (Harris's inequality; Harris 1960, from memory). Whoever came earlier for fish of
  a size is taken to have had the longest of them; whoever asked for no size gets fish not chosen by size.
* Sexes. Until the first fish are promised by sex, unsexed fish leave without regard to their sex; from that day on the keeper
  knows the sexes and hands over those there are more of. On one day, the three demands (males, females, all) are again
  multiplied given the numbers of each.
* Fish held back count as among the longest and are asked for on every promised day.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.biology.chance import Beta, Floats, beta_binomial
from core.planning.apart import kept_apart
from core.planning.tally import Memory, Need, Scenarios, Stock, enough

Integers = NDArray[np.int_]
ROUNDING = 1e-9
"""A probability this little below the level still keeps it."""
LARGE = 128
"""Promises by sex of more fish than this are reckoned in separate pools (`core.planning.apart`): milliseconds, and on the safe side."""


def kept(stock: Stock, needs: Sequence[Need], scenarios: Scenarios, memory: Memory | None = None) -> float:
    """P(everything of `needs`, in the order of their days, is there together): exact, or a lower bound as the module says."""
    if not needs:
        return 1.0
    if sum(need.count for need in needs) + stock.held > stock.count:
        return 0.0
    needs, scenarios = _without_idle_growth(needs, scenarios)
    walk = _kept_in_total
    if any(need.by_sex for need in needs):
        walk = _kept_by_sex if stock.count <= LARGE else kept_apart
    return float(min(1.0, walk(stock, needs, scenarios, memory or Memory())))


def most(chance: Callable[[int], float], limit: int, level: float) -> int:
    """The largest number up to `limit` whose chance (falling as the number rises) is at least `level`; 0 when none is."""
    if limit <= 0 or chance(limit) >= level - ROUNDING:
        return max(0, limit)
    low, high = 0, limit
    while high - low > 1:
        middle = (low + high) // 2
        if chance(middle) >= level - ROUNDING:
            low = middle
        else:
            high = middle
    return low


def _without_idle_growth(needs: Sequence[Need], scenarios: Scenarios) -> tuple[Sequence[Need], Scenarios]:
    """Where every fish is long enough in every scenario, one growth scenario says it all."""
    if any(np.any(size < 1.0) for need in needs for size in (need.long, need.long_by_sex)):
        return needs, scenarios
    sure = np.ones(1)
    plain = [Need(need.males, need.females, need.either, need.survive, sure, sure) for need in needs]
    return plain, Scenarios(scenarios.survival, sure, scenarios.male_share)


def _kept_in_total(stock: Stock, needs: Sequence[Need], scenarios: Scenarios, memory: Memory) -> float:
    """The walk over one number: fish alive and not yet handed over."""
    state = np.zeros((len(scenarios.survival), len(scenarios.growth), stock.count + 1))
    for probability, *gone in stock.missing:
        state[..., max(0, stock.count - sum(gone))] += probability
    taken_by_size = 0
    for need in needs:
        state = state @ memory.thinning(stock.count, need.survive)
        state = state * enough(stock.count, taken_by_size, need.count + stock.held, need.long)
        state = _handed_over(state, need.count, -1)
        taken_by_size += need.count if _asks_for_size(need) else 0
    return float(np.einsum("sgn,s,g->", state, scenarios.survival, scenarios.growth))


def _kept_by_sex(stock: Stock, needs: Sequence[Need], scenarios: Scenarios, memory: Memory) -> float:
    """The walk over two numbers: males and females alive and not yet handed over, the unsexed ones being one or the other."""
    males, females = stock.males + stock.unsexed, stock.females + stock.unsexed
    start = _start_by_sex(stock, scenarios.male_share)
    state = np.broadcast_to(start, (len(scenarios.survival), len(scenarios.growth), *start.shape))
    known = stock.unsexed == 0
    by_size = _Taken()
    for index, need in enumerate(needs):
        state = np.swapaxes(memory.thinning(males, need.survive), 1, 2)[:, None] @ state
        state = state @ memory.thinning(females, need.survive)[:, None]
        state = state * _enough_by_sex(stock, need, by_size, males, females)
        state = _handed_over(_handed_over(state, need.males, -2), need.females, -1)
        known = known or need.by_sex
        later = needs[index + 1 :]
        spare = (sum(n.males for n in later) + stock.held_males, sum(n.females for n in later) + stock.held_females)
        state = _either_handed_over(state, need.either, spare if known else None)
        by_size.add(need)
    return float(np.einsum("sgmf,s,g->", state, scenarios.survival, scenarios.growth))


@dataclass(slots=True)
class _Taken:
    """Fish already handed over to people who asked for a size."""

    males: int = 0
    females: int = 0
    either: int = 0

    def add(self, need: Need) -> None:
        if _asks_for_size(need):
            self.males += need.males
            self.females += need.females
            self.either += need.either


def _asks_for_size(need: Need) -> bool:
    sizes = need.long_by_sex if need.by_sex else need.long
    return bool(np.any(sizes < 1.0))


def _start_by_sex(stock: Stock, male_share: Beta) -> Floats:
    """P(so many males, so many females now): nothing later depends on the share itself, so it is mixed in here, exactly."""
    start = np.zeros((stock.males + stock.unsexed + 1, stock.females + stock.unsexed + 1))
    for probability, gone_males, gone_females, gone_unsexed in stock.missing:
        unsexed = stock.unsexed - gone_unsexed
        among = np.arange(unsexed + 1)
        rows, columns = stock.males - gone_males + among, stock.females - gone_females + unsexed - among
        start[rows, columns] += probability * beta_binomial(unsexed, male_share)
    return start


def _enough_by_sex(stock: Stock, need: Need, taken: _Taken, males: int, females: int) -> Floats:
    """P(enough males, enough females, enough in all) given the numbers of each: growth scenario × males × females."""
    of_all = enough(males + females, taken.males + taken.females + taken.either, need.count + stock.held, need.long)
    numbers = np.add.outer(np.arange(males + 1), np.arange(females + 1))
    together = of_all[:, numbers]
    if need.males:
        gone = taken.males + taken.either
        together = together * enough(males, gone, need.males + stock.held_males, need.long_by_sex)[:, :, None]
    if need.females:
        gone = taken.females + taken.either
        together = together * enough(females, gone, need.females + stock.held_females, need.long_by_sex)[:, None, :]
    return np.asarray(together)


def _handed_over(state: Floats, count: int, axis: int) -> Floats:
    """The numbers along an axis fall by `count`; whoever had fewer has failed already."""
    if count == 0:
        return state
    moved = np.zeros_like(state)
    size = state.shape[axis]
    if count < size:
        to, source = [slice(None)] * state.ndim, [slice(None)] * state.ndim
        to[axis], source[axis] = slice(0, size - count), slice(count, size)
        moved[tuple(to)] = state[tuple(source)]
    return moved


def _either_handed_over(state: Floats, count: int, to_keep: tuple[int, int] | None) -> Floats:
    """`count` fish of any sex leave: blindly, or (sexes known) from the sex with more to spare over those `to_keep` for later."""
    if count == 0:
        return state
    rows, columns = state.shape[-2:]
    ways = _blindly(rows, columns, count) if to_keep is None else _from_the_spare(rows, columns, count, *to_keep)
    moved = np.zeros_like(state)
    for males, way in enumerate(ways):
        females = count - males
        if males < rows and females < columns:
            stay = state[..., males:, females:] * way[males:, females:]
            moved[..., : rows - males, : columns - females] += stay
    return moved


@lru_cache(maxsize=64)
def _blindly(rows: int, columns: int, count: int) -> Floats:
    """P(0..count males among `count` fish taken blindly from m males and f females): males taken × m × f."""
    males, females = np.arange(rows)[:, None], np.arange(columns)[None, :]
    taken = np.arange(count + 1)[:, None, None]
    possible = (taken <= males) & (count - taken <= females)
    log = _choose(males, taken) + _choose(females, count - taken) - _choose(males + females, count)
    return np.where(possible, np.exp(np.where(possible, log, 0.0)), 0.0)


def _choose(n: Integers, k: Integers | int) -> Floats:
    """ln of n over k, where 0 ≤ k ≤ n."""
    from scipy.special import gammaln

    inside = np.clip(k, 0, n)
    return np.asarray(gammaln(n + 1) - gammaln(inside + 1) - gammaln(n - inside + 1))


def _from_the_spare(rows: int, columns: int, count: int, keep_males: int, keep_females: int) -> Floats:
    """As `_blindly`, when the keeper evens out what both sexes have to spare: in each place of the table one way is sure."""
    males, females = np.arange(rows)[:, None], np.arange(columns)[None, :]
    wished = (count + (males - keep_males) - (females - keep_females) + 1) // 2
    taken = np.clip(wished, np.maximum(0, count - females), np.minimum(count, males))
    possible = males + females >= count
    sure: Floats = ((np.arange(count + 1)[:, None, None] == taken) & possible).astype(float)
    return sure
