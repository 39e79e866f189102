"""Growth: an independent integration and regression, forecasts that keep their word, and the facts of a cohort."""

from math import inf, log

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology import growth
from core.biology.days import Temperatures, degree_days
from core.biology.growth import MODEL_ERROR, Growth, Part
from core.species import profile
from tests.biology.published import PRACTICE, VERIFIED, Published

LAB = profile("yellow lab")
FRESH = growth.prior(LAB)

TABLE = [
    Published(
        "spread of graded fry, %",
        lambda: 100 * profile("any").growth.spread.likely,
        12.5,
        0.5,
        "Grading-frequency study on GIFT tilapia fry (abstract seen)",
        VERIFIED,
    ),
    Published(
        "2 in reached after 5-8 months of life at 26 °C, months after release at three weeks",
        lambda: FRESH.reaches(50.8, 0.5, Temperatures(26.0), 0).likely / 30.4 + 0.7,
        [5, 8],
        0.3,
        "Hobby range for mbuna",
        PRACTICE,
        within=True,
    ),
    Published(
        "farmed kenyi, 4.51 cm at three months, lies in the range for the species",
        lambda: growth.prior(profile("kenyi")).mean_mm(9.0 * 70).high,
        [45.1, 60.0],
        0,
        "Karadal et al. 2017, Aquaculture International 25:121-134 (abstract seen; farm stock, 27 °C assumed)",
        VERIFIED,
        within=True,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_growth_agrees_with_what_is_published(published: Published) -> None:
    published.check()


def test_the_curve_is_the_solution_of_von_bertalanffys_equation_on_warmth() -> None:
    """dL/dτ = k (Linf - L) from the length at release, integrated by scipy."""
    start = LAB.growth.start_mm.likely
    solved = scipy.integrate.solve_ivp(lambda _, mm: FRESH.rate * (FRESH.asymptote_mm - mm), (0, 900), [start], rtol=1e-10, atol=1e-10)
    assert FRESH.mean_mm(900).likely == pytest.approx(solved.y[0, -1], rel=1e-6)


def test_learning_is_bayesian_regression() -> None:
    """Against the closed form of the posterior, (Σ0⁻¹ + XᵀWX)⁻¹ (Σ0⁻¹ β0 + XᵀWy), solved in one go by numpy."""
    seen = [(200.0, 16.0, 8), (500.0, 27.0, 6), (800.0, 35.5, 10)]
    batch = FRESH
    for warmth, mean, fish in seen:
        batch = batch.measured(warmth, mean, fish)
    design = np.array([[1.0, warmth] for warmth, _, _ in seen])
    end = FRESH.asymptote_mm
    y = np.array([-log(1 - mean / end) for _, mean, _ in seen])
    noise = np.array([(FRESH.spread**2 / n + MODEL_ERROR**2) * (mm / (end - mm)) ** 2 for _, mm, n in seen])
    before = np.diag([1 / FRESH.start_variance, 1 / FRESH.rate_variance])
    precision = before + design.T @ (design / noise[:, None])
    posterior = np.linalg.solve(precision, before @ [FRESH.start, FRESH.rate] + design.T @ (y / noise))
    covariance = np.linalg.inv(precision)
    assert [batch.start, batch.rate] == pytest.approx(posterior.tolist())
    assert [batch.start_variance, batch.covariance, batch.rate_variance] == pytest.approx(
        [covariance[0, 0], covariance[0, 1], covariance[1, 1]]
    )


def test_the_order_of_measuring_does_not_matter() -> None:
    one = FRESH.measured(300, 20, 6).measured(600, 30, 8)
    other = FRESH.measured(600, 30, 8).measured(300, 20, 6)
    assert (one.start, one.rate, one.rate_variance) == pytest.approx((other.start, other.rate, other.rate_variance))


def drawn_batches(count: int, seed: int) -> list[tuple[Growth, float, np.ndarray[tuple[int], np.dtype[np.float64]]]]:
    """Batches drawn from the priors: the belief after one measuring, the true mean at 900, true fish at 900."""
    rng, of, end = np.random.default_rng(seed), LAB.growth, FRESH.asymptote_mm
    drawn = []
    for _ in range(count):
        start, rate = rng.normal(FRESH.start, FRESH.start_variance**0.5), rng.normal(FRESH.rate, FRESH.rate_variance**0.5)
        spread = of.spread.likely * (of.spread_worth.likely / rng.chisquare(of.spread_worth.likely)) ** 0.5

        def fish(warmth: float, n: int, c: float = start, k: float = rate, cv: float = spread) -> tuple[float, list[float]]:
            mean = end * (1 - np.exp(-(c + k * warmth))) * (1 + rng.normal(0, MODEL_ERROR))
            return float(mean), (mean * (1 + rng.normal(0, cv, n))).tolist()

        belief = FRESH.measured_lengths(400, fish(400, 8)[1])
        mean, siblings = fish(900, 20)
        drawn.append((belief, mean, np.array(siblings)))
    return drawn


def test_ninety_percent_intervals_hold_nine_times_in_ten() -> None:
    batches = drawn_batches(400, 3)
    ranges = [belief.mean_mm(900) for belief, _, _ in batches]
    held = np.mean([each.low <= mean <= each.high for each, (_, mean, _) in zip(ranges, batches, strict=True)])
    assert 0.85 <= held <= 0.95


def test_the_interval_of_a_single_fish_holds_too() -> None:
    held = []
    for belief, _, siblings in drawn_batches(150, 4):
        fish = belief.fish_mm(900)
        held.append(np.mean((siblings >= fish.low) & (siblings <= fish.high)))
    assert 0.85 <= np.mean(held) <= 0.95


def test_the_share_at_a_size_is_the_share_that_is_there() -> None:
    batches = drawn_batches(300, 5)
    said = np.mean([belief.share_at_least(45, 900) for belief, _, _ in batches])
    there = np.mean([np.mean(siblings >= 45) for _, _, siblings in batches])
    assert said == pytest.approx(there, abs=0.04)


@given(st.floats(10, 80), st.floats(50, 2000))
@settings(max_examples=20, deadline=None)
def test_scenarios_average_to_the_share(size: float, warmth: float) -> None:
    """Against the same integral over the curve by scipy, fish by Student's t."""
    middle, deviation = FRESH._line(warmth)

    scores = np.linspace(-6, 6, 2001)
    mean = FRESH.asymptote_mm * (1 - np.exp(-np.maximum(middle + scores * deviation, 0.01)))
    shares = scipy.stats.t.cdf((1 - size / mean) / FRESH.spread, FRESH.spread_worth)
    expected = np.trapezoid(shares * scipy.stats.norm.pdf(scores), scores)
    assert FRESH.share_at_least(size, warmth) == pytest.approx(expected, abs=0.01)


def test_measuring_narrows_the_forecast() -> None:
    water = Temperatures(26.0)
    before, after = (each.reaches(38, 0.5, water, 0) for each in (FRESH, FRESH.measured(400, 23.0, 10)))
    assert after.latest - after.earliest < before.latest - before.earliest


def test_a_batch_found_smaller_than_thought_sells_later() -> None:
    water, warmth = Temperatures(26.0), 400.0
    small = FRESH.measured(warmth, FRESH.mean_mm(warmth).low, 10)
    assert small.reaches(38, 0.5, water, 0).likely > FRESH.reaches(38, 0.5, water, 0).likely


def test_nine_in_ten_take_longer_than_half() -> None:
    water = Temperatures(26.0)
    assert FRESH.reaches(38, 0.9, water, 0).likely > FRESH.reaches(38, 0.5, water, 0).likely


def test_the_day_half_reach_a_size_is_the_day_the_curve_crosses_it() -> None:
    """26 °C is 8 degrees a day above the base, so the day follows from the curve by hand."""
    by_hand = (-log(1 - 38 / FRESH.asymptote_mm) - FRESH.start) / FRESH.rate / 8
    assert FRESH.reaches(38, 0.5, Temperatures(26.0), 5).likely == pytest.approx(5 + by_hand, abs=1)


def test_a_size_beyond_the_species_is_never_reached() -> None:
    window = FRESH.reaches(200, 0.5, Temperatures(26.0), 0)
    assert (window.earliest, window.likely, window.latest) == (inf, inf, inf)


def test_in_cold_water_nothing_grows() -> None:
    assert FRESH.reaches(38, 0.5, Temperatures(17.0), 0).likely == inf
    assert degree_days(np.array([17.0, 20.0, 35.0]), 18.0, 29.0).tolist() == [0.0, 2.0, 13.0]


def test_single_lengths_teach_the_spread() -> None:
    wide = FRESH.measured_lengths(400, [14, 18, 23, 28, 32, 20, 26, 17])
    narrow = FRESH.measured_lengths(400, [22, 23, 23, 24, 22, 23, 23, 24])
    assert narrow.spread < FRESH.spread < wide.spread
    assert wide.spread_worth == FRESH.spread_worth + 7


def test_a_mean_of_many_fish_weighs_more_than_one_fish() -> None:
    assert FRESH.measured(400, 20, 20).rate_variance < FRESH.measured(400, 20, 1).rate_variance


def test_a_mixed_stock_is_its_parts_by_their_shares() -> None:
    parts = [Part(0.25, FRESH, 1200.0), Part(0.75, FRESH, 500.0)]
    expected = 0.25 * FRESH.share_at_least(35, 1200) + 0.75 * FRESH.share_at_least(35, 500)
    assert growth.mixed_share_at_least(parts, 35) == pytest.approx(expected)
    weights, shares = growth.mixed_scenarios(parts, 35)
    assert weights @ shares == pytest.approx(expected)
    mixed = growth.mixed_fish_mm(parts)
    assert mixed.low < mixed.likely < mixed.high
    assert mixed.high > FRESH.fish_mm(500).high


def test_warmth_counts_from_release() -> None:
    assert growth.warmth_by(LAB, Temperatures(26.0), 10, 20) == pytest.approx(80)
    assert growth.warmth_by(LAB, Temperatures(26.0), 10, 8) == 0


def test_a_batch_weighs_what_its_lengths_say() -> None:
    """0.021 × 4³ is 1.34 g; siblings spread by 12.5 % weigh 4.7 % more on average."""
    batch = FRESH.measured(900, 40.0, 2000).measured(905, 40.0, 2000)
    assert batch.mean_g(902).likely == pytest.approx(0.021 * (batch.mean_mm(902).likely / 10) ** 3 * 1.047, rel=0.01)


def test_a_fishroom_that_grows_fish_fast_expects_the_next_batch_to_grow_fast() -> None:
    fast = FRESH.measured(500, FRESH.mean_mm(500).high, 10)
    taught = growth.taught_by(FRESH, [fast, fast, fast])
    assert FRESH.rate < taught.rate < fast.rate
    assert taught.rate_variance < FRESH.rate_variance


def test_batches_never_measured_teach_nothing() -> None:
    assert growth.taught_by(FRESH, [FRESH, FRESH]) == FRESH


def test_what_other_batches_teach_is_as_sure_as_it_says() -> None:
    """Fishrooms drawn with a rate of their own: nine in ten of the fifth batch's rates lie in the range taught by four."""
    rng, sd = np.random.default_rng(8), (FRESH.rate_variance / 2) ** 0.5
    held = []
    for _ in range(400):
        room = rng.normal(FRESH.rate, sd)
        earlier = []
        for warmth in (300.0, 500.0, 700.0, 900.0):
            y = rng.normal(FRESH.start, FRESH.start_variance**0.5) + rng.normal(room, sd) * warmth
            mean = FRESH.asymptote_mm * (1 - np.exp(-y))
            noise = np.hypot(MODEL_ERROR, FRESH.spread / 8**0.5)
            earlier.append(FRESH.measured(warmth, float(mean * (1 + rng.normal(0, noise))), 8))
        taught = growth.taught_by(FRESH, earlier)
        held.append(abs(rng.normal(room, sd) - taught.rate) < growth.Z90 * taught.rate_variance**0.5)
    assert 0.85 <= np.mean(held) <= 0.95
