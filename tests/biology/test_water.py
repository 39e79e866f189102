"""What a reading means: urgency, reasons and how much water to change."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.biology import water
from core.biology.ammonia import Kit
from core.biology.water import Advice, Assessment, Assumption, Finding, Parameter, Reading, Reason, Urgency
from core.species import profile

LAB = profile("yellow lab")


def assessed(reading: Reading) -> Assessment:
    return water.assess(reading, LAB)


def finding(assessment: Assessment, parameter: Parameter) -> Finding:
    return next(each for each in assessment.findings if each.parameter is parameter)


def test_good_water_is_fine() -> None:
    good = assessed(Reading(temperature_c=26, ph=8.0, ammonia=0, ammonia_kit=Kit.NITROGEN, nitrite=0, nitrate=15, oxygen=7))
    assert good.urgency is Urgency.FINE
    assert good.assumed == ()
    assert len(good.findings) == 6


@pytest.mark.parametrize(
    ("total", "ph", "urgency"),
    [
        (0.25, 7.0, Urgency.FINE),  # 0.60 % of 0.25 is 0.0015 mg/L N
        (0.25, 8.0, Urgency.WATCH),  # 5.74 % of 0.25 as NH3 is 0.017 mg/L: below EIFAC's 0.025
        (0.50, 8.0, Urgency.SOON),  # 0.035 mg/L: above 0.025, below the 0.05 that harms (UF/IFAS)
        (1.00, 8.5, Urgency.NOW),  # 16.14 % of 1.0 as NH3 is 0.196 mg/L
    ],
)
def test_the_same_kit_colour_means_more_in_alkaline_water(total: float, ph: float, urgency: Urgency) -> None:
    """Shares at 26 °C from the printed table of Emerson et al. 1975; bounds of EIFAC 1970 (memory) and UF/IFAS (seen)."""
    reading = Reading(temperature_c=26, ph=ph, ammonia=total, ammonia_kit=Kit.NITROGEN)
    assert finding(assessed(reading), Parameter.AMMONIA).urgency is urgency


def test_poisonous_ammonia_asks_for_water_no_food_and_air() -> None:
    found = finding(assessed(Reading(temperature_c=28, ph=8.5, ammonia=1.0)), Parameter.AMMONIA)
    assert {Advice.CHANGE_WATER, Advice.STOP_FEEDING, Advice.MORE_AIR, Advice.RETEST_TOMORROW} <= set(found.advice)
    assert found.measured == 1.0


def test_a_missing_temperature_is_the_last_one_and_says_so() -> None:
    last = water.assess(Reading(ph=8.0, ammonia=0.5, ammonia_kit=Kit.NITROGEN), LAB, last_temperature_c=28.0)
    assert last.assumed == (Assumption.TEMPERATURE_LAST,)
    assert last.temperature_c == 28.0


def test_with_nothing_known_the_worse_is_assumed_and_says_so() -> None:
    unknown = assessed(Reading(ammonia=0.5))
    assert set(unknown.assumed) == {
        Assumption.TEMPERATURE_USUAL,
        Assumption.PH_HIGHEST_USUAL,
        Assumption.AMMONIA_AS_NITROGEN,
    }
    known = water.assess(Reading(ammonia=0.5, ammonia_kit=Kit.AMMONIA), LAB, last_temperature_c=26, last_ph=7.8)
    assert finding(unknown, Parameter.AMMONIA).value > finding(known, Parameter.AMMONIA).value


@pytest.mark.parametrize(
    ("reading", "parameter", "urgency", "reason"),
    [
        (Reading(nitrite=0.25), Parameter.NITRITE, Urgency.WATCH, Reason.DETECTABLE),
        (Reading(nitrite=2.0), Parameter.NITRITE, Urgency.NOW, Reason.HARMFUL),
        (Reading(nitrate=100), Parameter.NITRATE, Urgency.SOON, Reason.ABOVE_LIMIT),
        (Reading(nitrate=420), Parameter.NITRATE, Urgency.NOW, Reason.HARMFUL),  # 400: FAO 589
        (Reading(oxygen=3.5), Parameter.OXYGEN, Urgency.NOW, Reason.TOO_LOW),
        (Reading(oxygen=5.5), Parameter.OXYGEN, Urgency.WATCH, Reason.TOO_LOW),
        (Reading(temperature_c=29), Parameter.TEMPERATURE, Urgency.WATCH, Reason.TOO_HIGH),
        (Reading(temperature_c=21.5), Parameter.TEMPERATURE, Urgency.SOON, Reason.TOO_LOW),
        (Reading(temperature_c=33), Parameter.TEMPERATURE, Urgency.NOW, Reason.TOO_HIGH),
        (Reading(ph=7.3), Parameter.PH, Urgency.WATCH, Reason.TOO_LOW),
        (Reading(ph=5.8), Parameter.PH, Urgency.NOW, Reason.TOO_LOW),
    ],
)
def test_each_bound_has_its_urgency(reading: Reading, parameter: Parameter, urgency: Urgency, reason: Reason) -> None:
    """Common practice, no source, where no source is named."""
    found = finding(assessed(reading), parameter)
    assert (found.urgency, found.reason) == (urgency, reason)


@pytest.mark.parametrize(
    "reading", [Reading(ph=84), Reading(temperature_c=80), Reading(nitrite=-1), Reading(ammonia=50, ph=8), Reading(oxygen=70)]
)
def test_a_slip_of_the_finger_is_not_taken_for_water(reading: Reading) -> None:
    found = assessed(reading).findings[0]
    assert found.reason is Reason.NOT_PLAUSIBLE
    assert found.advice == (Advice.RETEST,)


def test_the_most_urgent_comes_first() -> None:
    findings = assessed(Reading(nitrate=60, oxygen=3.0, ph=8.0)).findings
    assert [each.urgency for each in findings] == sorted((each.urgency for each in findings), reverse=True)


def test_thirty_percent_of_clean_water_leaves_seventy() -> None:
    assert water.after_change(1.0, 0.30) == pytest.approx(0.7)
    assert water.after_change(40.0, 0.30, tap=10.0) == pytest.approx(31.0)


def test_to_halve_a_value_half_of_the_water_goes() -> None:
    assert water.change_needed(80, 40) == pytest.approx(0.5)
    assert water.change_needed(80, 40, tap=20) == pytest.approx(2 / 3)


def test_tap_water_that_is_no_better_cannot_help() -> None:
    assert water.change_needed(80, 40, tap=50) is None
    assert water.change_to(80, 40, tap=50).share is None


@given(st.floats(1, 100), st.floats(0.01, 0.99), st.floats(0, 0.9))
def test_the_planned_changes_reach_the_target(value: float, part: float, tap_part: float) -> None:
    target = value * part
    tap = target * tap_part
    plan = water.change_to(value, target, tap)
    assert plan.share is not None
    for _ in range(plan.times):
        value = water.after_change(value, plan.share, tap)
    assert value == pytest.approx(target, rel=1e-6)
    assert plan.share <= water.LARGEST_CHANGE + 1e-9


def test_a_kit_of_the_tap_water_counts() -> None:
    found = water.assess(Reading(nitrate=100), LAB, tap=Reading(nitrate=30))
    change = finding(found, Parameter.NITRATE).change
    assert change is not None
    assert change.share is None
    assert change.after_usual == pytest.approx(79)
