"""Whether everything promised is there together: checked against scipy's distributions, integrals and drawn worlds."""

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology.chance import Beta, Floats, normal_cdf, normal_scenarios
from core.planning.apart import kept_apart
from core.planning.tally import Memory, Need, Scenarios, Stock
from core.planning.together import kept, most

SURE = np.ones(1)
SURVIVAL = Beta(57.0, 3.0)
MALES = Beta(5.0, 5.0)
EVEN = Beta(1e7, 1e7)
"""Half and half, known for sure."""


def scenarios(survival: int = 12, growth: int = 1) -> tuple[Floats, Scenarios]:
    weights, shares = SURVIVAL.scenarios(survival)
    return shares, Scenarios(weights, normal_scenarios(growth)[0], MALES)


def either(count: int, survive: Floats, long: Floats = SURE) -> Need:
    return Need(0, 0, count, survive, long, long)


def test_one_promise_of_any_sex_is_the_beta_binomial_tail() -> None:
    """Reference: scipy.stats.betabinom."""
    shares, known = scenarios()
    for count in (30, 36, 38, 40):
        found = kept(Stock(unsexed=40), [either(count, shares)], known)
        assert found == pytest.approx(scipy.stats.betabinom.sf(count - 1, 40, 57, 3), abs=1e-8)


def test_fish_held_back_and_fish_missing_are_not_there_for_others() -> None:
    """Reference: scipy.stats.betabinom; two fish held back, and one in four books has three fish too many."""
    shares, known = scenarios()
    stock = Stock(unsexed=20, held=2, missing=((0.75, 0, 0, 0), (0.25, 0, 0, 3)))
    expected = 0.75 * scipy.stats.betabinom.sf(15, 20, 57, 3) + 0.25 * scipy.stats.betabinom.sf(15, 17, 57, 3)
    assert kept(stock, [either(14, shares)], known) == pytest.approx(expected, abs=1e-8)


def test_what_is_fetched_in_april_no_longer_has_to_live_until_may() -> None:
    """Reference: scipy's quadrature over the unknown survival of a chain of two binomials."""
    shares, known = scenarios()

    def together(p: float) -> float:
        alive = np.arange(8, 21)
        later = scipy.stats.binom.sf(9 - 1, alive - 8, p)
        return float(scipy.stats.beta.pdf(p, 57, 3) * (scipy.stats.binom.pmf(alive, 20, p) @ later))

    expected = scipy.integrate.quad(together, 0, 1)[0]
    found = kept(Stock(unsexed=20), [either(8, shares), either(9, shares)], known)
    assert found == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("fish", "expected"), [(6, 0.641), (8, 0.852)])
def test_a_mix_of_unsexed_fish_is_there_as_often_as_the_binomial_says(fish: int, expected: float) -> None:
    """At least 1 male and 3 females among 6 and 8 fish at even odds: .641 and .852 (binomial table, three decimals)."""
    known = Scenarios(SURE, SURE, EVEN)
    need = Need(1, 3, 0, SURE, SURE, SURE)
    assert kept(Stock(unsexed=fish), [need], known) == pytest.approx(expected, abs=5e-4)


def test_the_sexes_of_one_brood_are_uncertain_together() -> None:
    """Reference: scipy.stats.betabinom; everybody lives, 12 unsexed fish, 3 males and 4 females asked for."""
    _, known = scenarios(survival=1)
    need = Need(3, 4, 0, SURE, SURE, SURE)
    expected = scipy.stats.betabinom.cdf(8, 12, 5, 5) - scipy.stats.betabinom.cdf(2, 12, 5, 5)
    assert kept(Stock(unsexed=12), [need], known) == pytest.approx(expected, abs=1e-9)


def test_sexed_fish_are_two_separate_stocks() -> None:
    """Reference: product of two scipy binomials at each survival, integrated by scipy."""
    shares, known = scenarios()
    need = Need(7, 9, 0, shares, SURE, SURE)

    def together(p: float) -> float:
        return float(scipy.stats.beta.pdf(p, 57, 3) * scipy.stats.binom.sf(6, 8, p) * scipy.stats.binom.sf(8, 10, p))

    assert kept(Stock(males=8, females=10), [need], known) == pytest.approx(scipy.integrate.quad(together, 0, 1)[0], abs=1e-6)


def test_fish_of_any_sex_come_from_the_sex_with_more_to_spare() -> None:
    """Six males and four females, all sure to live: 4 females later and 6 of any sex now can only be kept that way."""
    known = Scenarios(SURE, SURE, EVEN)
    needs = [either(6, SURE), Need(0, 4, 0, SURE, SURE, SURE)]
    assert kept(Stock(males=6, females=4), needs, known) == 1.0


def test_unsexed_fish_leave_without_regard_to_their_sex() -> None:
    """Four of ten leave at even odds: the males among the six that stay are binomial (scipy.stats.binom)."""
    known = Scenarios(SURE, SURE, EVEN)
    needs = [either(4, SURE), Need(0, 2, 0, SURE, SURE, SURE)]
    assert kept(Stock(unsexed=10), needs, known) == pytest.approx(scipy.stats.binom.sf(1, 6, 0.5), abs=1e-6)


def test_one_size_on_one_day_is_exact() -> None:
    """Reference: scipy.stats.binom at each growth scenario, fish that live for sure."""
    weights, scores = normal_scenarios(9)
    long = normal_cdf(0.8 + 0.5 * scores)
    known = Scenarios(SURE, weights, EVEN)
    expected = weights @ scipy.stats.binom.sf(11, 20, long)
    assert kept(Stock(unsexed=20), [either(12, SURE, long)], known) == pytest.approx(expected, abs=1e-9)


def test_more_than_there_is_can_never_be_promised() -> None:
    shares, known = scenarios()
    assert kept(Stock(unsexed=10, held=2), [either(5, shares), either(4, shares)], known) == 0.0


def test_the_largest_number_that_keeps_the_level_is_found() -> None:
    """Reference: scipy.stats.betabinom, by trying every number."""
    shares, known = scenarios()
    found = most(lambda count: kept(Stock(unsexed=30), [either(count, shares)], known), 30, 0.9)
    assert found == max(count for count in range(31) if scipy.stats.betabinom.sf(count - 1, 30, 57, 3) >= 0.9)


def test_separate_pools_are_exact_where_nobody_takes_either_sex() -> None:
    """Reference: scipy; 80 unsexed fish that all live, 20 males and 25 females promised."""
    _, known = scenarios(survival=1)
    need = Need(20, 25, 0, SURE, SURE, SURE)
    expected = scipy.stats.betabinom.cdf(55, 80, 5, 5) - scipy.stats.betabinom.cdf(19, 80, 5, 5)
    assert kept(Stock(unsexed=80), [need], known) == pytest.approx(expected, abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(
    males=st.integers(0, 8),
    females=st.integers(0, 8),
    unsexed=st.integers(8, 16),
    held=st.integers(0, 2),
    asked=st.lists(st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=3),
)
def test_separate_pools_never_promise_more_than_one_stock(
    males: int, females: int, unsexed: int, held: int, asked: list[tuple[int, int, int]]
) -> None:
    """Neither way of serving them reaches what the promises by sex alone, or the bare numbers alone, allow."""
    shares, known = scenarios(survival=6)
    needs = [Need(*counts, shares, SURE, SURE) for counts in asked if sum(counts)]
    stock = Stock(males, females, unsexed, held=held)
    if any(need.by_sex for need in needs) and stock.count >= held + sum(need.count for need in needs):
        assert kept_apart(stock, needs, known, Memory()) <= drawn_at_best(stock, needs, known) + 1e-9


def drawn_at_best(stock: Stock, needs: list[Need], known: Scenarios) -> float:
    """What no way of handing over can exceed."""
    by_sex = [Need(n.males, n.females, 0, n.survive, n.long, n.long_by_sex) for n in needs]
    either = [Need(0, 0, n.either, n.survive, n.long, n.long_by_sex) for n in needs]
    bounds = (kept(stock, by_sex, known), kept(Stock(unsexed=stock.count, held=stock.held), either, known))
    return min(bounds)


# --- drawn worlds: the answer is never above what really happens ------------------------------------------------------

WORLDS = 4000


Steps = list[tuple[int, float, float]]


def worlds_kept(fish: int, held: int, steps: Steps, survive: list[float], rng: np.random.Generator) -> float:
    """Share of drawn worlds in which every step (count, size score) is met; of those long enough the longest leave first."""
    length = rng.normal(size=(WORLDS, fish))
    daily = rng.beta(57, 3, size=WORLDS)
    there, good = np.ones((WORLDS, fish), dtype=bool), np.ones(WORLDS, dtype=bool)
    for (count, threshold, _), power in zip(steps, survive, strict=True):
        there &= rng.random((WORLDS, fish)) < daily[:, None] ** power
        fits = there & (length >= threshold)
        good &= fits.sum(axis=1) >= count + held
        order = np.argsort(np.where(fits, -length, 99.0), axis=1)[:, :count]
        there[np.arange(WORLDS)[:, None], order] = False
    return float(good.mean())


@settings(max_examples=15, deadline=None)
@given(
    fish=st.integers(6, 24),
    held=st.integers(0, 2),
    steps=st.lists(st.tuples(st.integers(1, 5), st.floats(-2.0, 0.5), st.floats(0.2, 2.0)), min_size=1, max_size=3),
    seed=st.integers(0, 10_000),
)
def test_the_chance_is_never_above_what_happens_in_drawn_worlds(fish: int, held: int, steps: Steps, seed: int) -> None:
    shares, known = scenarios(survival=12)
    survive = [power for _, _, power in steps]
    needs = [
        either(count, shares**power, normal_cdf(np.array([-threshold])))
        for (count, threshold, _), power in zip(steps, survive, strict=True)
    ]
    found = kept(Stock(unsexed=fish, held=held), needs, known)
    happened = worlds_kept(fish, held, steps, survive, np.random.default_rng(seed))
    assert found <= happened + 4 * np.sqrt(0.25 / WORLDS)


@settings(max_examples=20, deadline=None)
@given(
    males=st.integers(0, 8),
    females=st.integers(0, 8),
    unsexed=st.integers(0, 10),
    asked=st.lists(st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=3),
)
def test_asking_for_one_more_never_makes_it_likelier(
    males: int, females: int, unsexed: int, asked: list[tuple[int, int, int]]
) -> None:
    shares, known = scenarios(survival=6)
    needs = [Need(*counts, shares, SURE, SURE) for counts in asked]
    stock = Stock(males, females, unsexed)
    before = kept(stock, needs, known)
    last = asked[-1]
    for more in ((1, 0, 0), (0, 1, 0), (0, 0, 1)):
        raised = Need(last[0] + more[0], last[1] + more[1], last[2] + more[2], shares, SURE, SURE)
        assert kept(stock, [*needs[:-1], raised], known) <= before + 1e-9
    assert 0.0 <= before <= 1.0
