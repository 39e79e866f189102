"""The development clock: published values, the trade's facts, an independent integration, and honest windows."""

from functools import partial
from math import log

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology.days import Temperatures
from core.biology.development import (
    WATER_ERROR,
    Course,
    DoesNotHold,
    Holding,
    Pace,
    course,
    days_without_food,
    duration,
    duration_over,
    observed_ratio,
    probability_released_by,
    species_pace,
    warmth,
)
from core.species import profile
from tests.biology.published import PRACTICE, VERIFIED, Published

GENERAL = profile("any mouthbrooder at all")
SYNTHESIS = "Synthesis of a Q10 of 3 about 27 °C; the value checks the arithmetic only"


def at(temperature_c: float, still_holding_on: int | None = None) -> Course:
    answer = course(GENERAL, Holding(0), Temperatures(temperature_c), still_holding_on=still_holding_on)
    assert isinstance(answer, Course)
    return answer


def likely_days(temperature_c: float) -> list[float]:
    brood = at(temperature_c)
    return [brood.hatch.likely, brood.yolk.likely, brood.release.likely]


TABLE = [
    Published("release at 25 °C", lambda: duration(25, 21, 3.0), 26.16, 0.02, SYNTHESIS, PRACTICE),
    Published(
        "ten days at 26 °C, then 28 °C",
        lambda: duration_over([26.0] * 10 + [28.0], 21, 3.0),
        20.79,
        0.02,
        SYNTHESIS,
        PRACTICE,
    ),
    *(
        Published(
            f"hatch, yolk absorbed and release at {celsius} °C",
            partial(likely_days, celsius),
            days,
            0.25,
            SYNTHESIS,
            PRACTICE,
        )
        for celsius, days in (
            (25.0, [7.5, 23.7, 26.2]),
            (26.0, [6.7, 21.2, 23.4]),
            (27.0, [6.0, 19.0, 21.0]),
            (29.0, [4.8, 15.3, 16.9]),
        )
    ),
    Published(
        "yolk of L. caeruleus gone, days after hatching",
        lambda: (
            profile("Labidochromis caeruleus").development.yolk_days.likely
            - profile("Labidochromis caeruleus").development.hatch_days.likely
        ),
        13,
        1,
        "Early development of the electric yellow cichlid Labidochromis caeruleus (abstract seen)",
        VERIFIED,
    ),
    Published(
        "mouthbrooders hold 21-32 days",
        lambda: [at(celsius).release.likely for celsius in (24.0, 25.0, 26.0, 27.0)],
        [21, 32],
        1,
        "M. Elieson, hobby article on raising fry (text seen)",
        VERIFIED,
        within=True,
    ),
    Published(
        "the bulge is plain at 10-14 days",
        lambda: at(27.0).bulge.likely,
        [10, 14],
        0,
        "Facts of the trade",
        PRACTICE,
        within=True,
    ),
    Published(
        "stripped from about two weeks on in a usual fishroom (26 °C), by day 18 to 20",
        lambda: [at(26.0).strip_opens, at(26.0).strip_closes],
        [13.9, 20],
        0.11,
        "Facts of the trade",
        PRACTICE,
        within=True,
    ),
    Published(
        "A. burtoni holds about 20 days at 24.4-27.8 °C",
        lambda: duration(26.1, profile("burtoni").development.release_days.likely, 3.0),
        20,
        2,
        "Hobby report on Astatotilapia burtoni (text seen)",
        VERIFIED,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_the_clock_agrees_with_what_is_published(published: Published) -> None:
    published.check()


@given(st.floats(23, 30), st.floats(-2, 2), st.floats(2.0, 4.0), st.floats(5, 28))
@settings(max_examples=20, deadline=None)
def test_days_add_up_like_an_integral(middle: float, swing: float, q10: float, days: float) -> None:
    """Against scipy's adaptive integration of the same rate, with temperature constant within each day."""
    celsius = [middle + swing * np.sin(day / 3) for day in range(90)]
    answer = duration_over(celsius, days, q10)

    def rate(moment: float, _: object) -> float:
        return float(q10 ** ((celsius[min(int(moment), 89)] - 27) / 10) / days)

    done = scipy.integrate.solve_ivp(rate, (0, answer), [0.0], max_step=0.25, rtol=1e-8).y[0, -1]
    assert done == pytest.approx(1, abs=2e-3)


def test_a_window_is_what_many_drawn_broods_do() -> None:
    """Against plain simulation of the same unknowns: Q10, the female, the brood, the day of spawning."""
    rng, of = np.random.default_rng(7), GENERAL.development
    q10 = of.q10.likely * np.exp(rng.normal(0, of.q10.log_spread, 40_000))
    days = of.release_days.likely * np.exp(rng.normal(0, np.hypot(of.release_days.log_spread, WATER_ERROR), 40_000))
    released = rng.integers(-3, 1, 40_000) + days * q10 ** ((27 - 25) / 10)
    answer = course(GENERAL, Holding(0, 3), Temperatures(25.0))
    assert isinstance(answer, Course)
    window = [answer.release.earliest, answer.release.likely, answer.release.latest]
    assert window == pytest.approx(np.quantile(released, [0.05, 0.5, 0.95]).tolist(), abs=0.15)


def test_warmer_water_brings_everything_sooner() -> None:
    assert at(28.0).release.latest < at(25.0).release.latest
    assert at(28.0).hatch.likely < at(25.0).hatch.likely


def test_a_sighting_with_a_doubt_widens_the_window_backwards() -> None:
    seen = course(GENERAL, Holding(0, 5), Temperatures(27.0))
    assert isinstance(seen, Course)
    assert seen.release.earliest < at(27.0).release.earliest
    assert seen.release.latest < at(27.0).release.latest


@pytest.mark.parametrize("celsius", [21.0, 31.5])
def test_outside_its_temperatures_the_model_says_so(celsius: float) -> None:
    answer = course(GENERAL, Holding(0), Temperatures(celsius))
    assert answer == DoesNotHold(celsius, celsius, (22.0, 31.0))


def test_one_cold_day_is_enough_to_say_so() -> None:
    assert isinstance(course(GENERAL, Holding(0), Temperatures(26.0, {5: 18.0})), DoesNotHold)
    assert isinstance(course(GENERAL, Holding(0), Temperatures(26.0, {200: 18.0})), Course)


def test_far_from_27_degrees_the_window_is_marked_as_stretched() -> None:
    assert at(23.0).stretched
    assert not at(26.0).stretched


def test_what_she_did_last_time_narrows_and_moves_her_window() -> None:
    known = species_pace(GENERAL)
    for _ in range(3):
        known = known.after(0.9)
    slow, hers = at(27.0), course(GENERAL, Holding(0), Temperatures(27.0), known)
    assert isinstance(hers, Course)
    assert hers.release.likely < slow.release.likely - 1
    assert hers.release.latest - hers.release.earliest < slow.release.latest - slow.release.earliest


def test_her_pace_is_the_textbook_update() -> None:
    """Normal prior N(0, 4), one observation 3 with variance 12: mean 0.75, variance 3 (Gelman et al., BDA ch. 2)."""
    after = Pace(0.0, 4.0, 12.0).after(float(np.exp(3.0)))
    assert (after.mean, after.variance) == pytest.approx((0.75, 3.0))


def test_a_brood_seen_carelessly_teaches_less() -> None:
    known = species_pace(GENERAL)
    assert abs(known.after(0.9, day_error=4).mean) < abs(known.after(0.9).mean)


def test_holding_exactly_as_expected_teaches_nothing_new() -> None:
    ratio = observed_ratio(GENERAL, Holding(3), 3 + duration(25.0, 21, 3.0), Temperatures(25.0))
    assert log(ratio) == pytest.approx(0, abs=1e-3)


def test_a_female_still_holding_has_not_released_yet() -> None:
    late = at(27.0, still_holding_on=25)
    assert 25 <= late.release.earliest < late.release.likely < late.release.latest


def test_a_female_long_overdue_may_release_any_day() -> None:
    overdue = at(27.0, still_holding_on=60).release
    assert 60 <= overdue.earliest <= overdue.likely < overdue.latest


def test_fry_stripped_early_are_not_fed_while_they_have_yolk() -> None:
    hungry = days_without_food(at(27.0), 15)
    assert hungry.likely == pytest.approx(19 - 15, abs=0.1)
    assert hungry.earliest < hungry.likely < hungry.latest


def test_fry_stripped_late_are_fed_at_once() -> None:
    assert days_without_food(at(27.0), 25).latest == 0


def test_the_chance_of_release_only_grows() -> None:
    chances = [probability_released_by(GENERAL, Holding(0), Temperatures(26.0), day) for day in range(15, 35)]
    assert chances == sorted(chances)
    assert chances[0] < 0.01
    assert chances[-1] > 0.99


def test_days_at_27_degrees_count_one_each() -> None:
    assert warmth(Temperatures(27.0), 3, 13, 3.0) == pytest.approx(10)


def test_readings_are_joined_by_straight_lines_and_then_carried() -> None:
    water = Temperatures.from_readings({0: 24.0, 4: 26.0, 30: 28.0}, otherwise=25.0, carry_days=7)
    assert [water.on(day) for day in (-1, 2, 4, 10, 33, 37, 38)] == [25.0, 25.0, 26.0, 25.0, 28.0, 28.0, 25.0]
