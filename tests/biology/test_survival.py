"""Survival: counts and losses move the belief, and what is said of a day to come is exact."""

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology import survival
from core.biology.chance import Beta, at_least
from core.biology.survival import Stage
from core.species import profile
from tests.biology.published import FORMULA, VERIFIED, Published

GENERAL = profile("general")

TABLE = [
    Published(
        "Cyprichromis coloratus from egg to independence",
        lambda: [(1 - 0.228) * (1 - 0.116), survival.prior(GENERAL, Stage.MOUTH).mean],
        [0.6824, 0.68],
        0.001,
        "Hydrobiologia 2022, doi 10.1007/s10750-022-05023-3: eggs lost 22.8 %, larvae 11.6 %",
        FORMULA,
    ),
    Published(
        "thirty days of fry in a box, %",
        lambda: 100 * survival.over_days(survival.prior(GENERAL, Stage.BOX), 30).mean,
        92,
        0.5,
        "Grading-frequency study on GIFT tilapia fry (abstract seen)",
        VERIFIED,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_survival_agrees_with_what_is_published(published: Published) -> None:
    published.check()


@pytest.mark.parametrize("stage", [Stage.BOX, Stage.GROW_OUT])
def test_thirty_days_of_a_stage_are_survived_as_the_species_says(stage: Stage) -> None:
    month = survival.over_days(survival.prior(GENERAL, stage), 30)
    assert month.mean == pytest.approx(getattr(GENERAL.survival, stage).share.likely, abs=0.003)


@given(st.integers(1, 60), st.floats(1, 120), st.integers(0, 8))
@settings(max_examples=12, deadline=None)
def test_the_number_alive_has_the_moments_of_the_daily_chance(fish: int, days: float, lost: int) -> None:
    """Mean and variance of a mixture of binomials over p^d, integrated by scipy from the daily beta."""
    daily = survival.learned(survival.prior(GENERAL, Stage.BOX), lost, 600)
    alive = survival.alive(fish, survival.over_days(daily, days))
    belief = scipy.stats.beta(daily.yes, daily.no)
    first = float(belief.expect(lambda p: p**days))
    second = float(belief.expect(lambda p: p ** (2 * days)))
    count = np.arange(fish + 1)
    mean = alive @ count
    assert mean == pytest.approx(fish * first, rel=1e-4)
    expected = fish * (first - second) + fish**2 * (second - first**2)
    assert alive @ (count - mean) ** 2 == pytest.approx(expected, rel=1e-2, abs=1e-4)


def test_the_matched_beta_is_close_to_the_exact_mixture() -> None:
    """Against the exact mixture of binomials over the daily belief, by quadrature: 24 fry, 45 days."""
    daily = survival.prior(GENERAL, Stage.BOX)
    grid = scipy.stats.beta(daily.yes, daily.no).ppf((np.arange(4000) + 0.5) / 4000)
    exact = scipy.stats.binom.pmf(np.arange(25)[:, None], 24, grid[None, :] ** 45).mean(axis=1)
    assert np.abs(survival.alive(24, survival.over_days(daily, 45)) - exact).max() < 0.006


def test_stretches_multiply() -> None:
    box, out = survival.prior(GENERAL, Stage.BOX), survival.prior(GENERAL, Stage.GROW_OUT)
    both = survival.along([(box, 30), (out, 60)])
    assert both.mean == pytest.approx(survival.over_days(box, 30).mean * survival.over_days(out, 60).mean)


def test_losses_lower_and_quiet_weeks_raise_the_belief() -> None:
    before = survival.prior(GENERAL, Stage.BOX)
    assert survival.learned(before, 5, 300).mean < before.mean < survival.learned(before, 0, 300).mean


def test_fish_lost_along_the_way_lived_half_of_it() -> None:
    assert survival.fish_days(20, 4, 10) == 180


def test_a_whole_stage_learns_from_its_counts() -> None:
    assert survival.learned_whole(Beta(6.8, 3.2), 20, 30) == Beta(26.8, 13.2)


def test_other_batches_teach_a_new_one_only_so_much() -> None:
    start = survival.prior(GENERAL, Stage.GROW_OUT)
    taught = survival.from_other_batches(start, [(3, 40_000), (0, 60_000)])
    assert taught.mean > start.mean
    assert taught.worth == pytest.approx(survival.BETWEEN_BATCHES * 30)


@given(st.integers(0, 20), st.integers(0, 20), st.integers(0, 15), st.integers(0, 15))
@settings(max_examples=20, deadline=None)
def test_batches_that_share_water_keep_their_needs_together(one: int, other: int, need: int, also: int) -> None:
    """Against scipy's integral of the product of two binomial tails over the shared chance."""
    belief = Beta(18.0, 2.5)

    def both(share: float) -> float:
        tails = scipy.stats.binom.sf(need - 1, one, share) * scipy.stats.binom.sf(also - 1, other, share)
        return float(tails * scipy.stats.beta.pdf(share, belief.yes, belief.no))

    expected = scipy.integrate.quad(both, 0, 1, epsabs=1e-9)[0]
    assert survival.all_there([one, other], [need, also], belief) == pytest.approx(expected, abs=1e-6)


def test_deaths_that_nobody_could_assign_may_be_of_either_batch() -> None:
    """Against every way of choosing the dead, by scipy's hypergeometric and the same integral."""
    belief, dead = Beta(18.0, 2.5), 3

    def both(share: float) -> float:
        kept = sum(
            scipy.stats.hypergeom.pmf(gone, 20, 12, dead)
            * scipy.stats.binom.sf(9 - 1, 12 - gone, share)
            * scipy.stats.binom.sf(5 - 1, 8 - (dead - gone), share)
            for gone in range(dead + 1)
        )
        return float(kept * scipy.stats.beta.pdf(share, belief.yes, belief.no))

    expected = scipy.integrate.quad(both, 0, 1, epsabs=1e-9)[0]
    assert survival.all_there([12, 8], [9, 5], belief, unassigned=dead) == pytest.approx(expected, abs=1e-6)


def test_all_dead_keep_nothing_but_no_need() -> None:
    assert survival.all_there([3], [0], Beta(9, 1), unassigned=3) == pytest.approx(1)
    assert survival.all_there([3], [1], Beta(9, 1), unassigned=5) == pytest.approx(0)


def test_the_number_that_can_be_counted_on_is_the_largest() -> None:
    belief = Beta(24, 2.6)
    kept = survival.count_kept(24, belief, 0.9)
    tail = scipy.stats.betabinom(24, belief.yes, belief.no).sf
    assert tail(kept - 1) >= 0.9 > tail(kept)
    assert at_least(survival.alive(24, belief), 0) == 1
