"""Bags: how many fish, for how long, and what to beware of."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.biology import transport
from core.biology.transport import Bags, Caution, NotAdvised
from tests.biology.published import FORMULA, PRACTICE, VERIFIED, Published


def packing(fish: str) -> transport.Packing:
    return next(each for each in transport.PUBLISHED if each.fish == fish)


TABLE = [
    Published(
        "a 3 L bag, water and gas",
        lambda: transport.bag_volumes(3.0),
        [1, 2],
        1e-6,
        "Club and extension rule: a third of water, two thirds of gas (seen)",
        FORMULA,
    ),
    Published(
        "zebrafish for a day, g and fish per litre",
        lambda: [packing("zebrafish").grams_per_l or 0, packing("zebrafish").fish_per_l],
        [30, 60],
        0.5,
        "Zebrafish newsgroup practice, 1997 (seen)",
        VERIFIED,
    ),
    Published(
        "guppies per litre", lambda: packing("guppy").fish_per_l, 50, 0.01, "Teo, Chen & Lee 1989, Aquaculture 78", FORMULA
    ),
    Published(
        "longest without new oxygen, h",
        lambda: transport.REOXYGENATE_HOURS,
        36,
        0,
        "CITES packer's guidelines Ps/2 (seen)",
        VERIFIED,
    ),
    Published(
        "all of 2 L of oxygen, ten resting 5 g fish at 27 °C, h",
        lambda: 2 * transport.EXCITED * transport.oxygen_hours(10, 5, 27, 2, pure=True),
        168,
        3,
        "Ideal gas law and the Magadi tilapia's use of oxygen",
        FORMULA,
    ),
    Published(
        "half of 2 L of air, the same fish, h",
        lambda: transport.EXCITED * transport.oxygen_hours(10, 5, 27, 2, pure=False),
        18,
        1,
        "Ideal gas law and the Magadi tilapia's use of oxygen",
        FORMULA,
    ),
    Published(
        "2 h of air, 6 h and 24 h of oxygen, g/L",
        lambda: [transport.grams_per_litre(hours, pure) for hours, pure in ((2, False), (6, True), (24, True))],
        [10, 25, 15],
        0,
        "Club defaults",
        PRACTICE,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_bagging_agrees_with_what_is_published(published: Published) -> None:
    published.check()


def packed(fish: int, weight_g: float, mm: float, hours: float, with_oxygen: bool = False) -> Bags:
    answer = transport.bags(fish, weight_g, mm, hours, with_oxygen)
    assert isinstance(answer, Bags)
    return answer


@given(st.integers(1, 60), st.floats(0.05, 8), st.floats(0.5, 24))
def test_no_bag_is_fuller_than_it_may_be(fish: int, weight_g: float, hours: float) -> None:
    answer = packed(fish, weight_g, 40, hours, with_oxygen=True)
    density = transport.grams_per_litre(hours, True)
    assert not isinstance(density, NotAdvised)
    assert answer.grams_per_l <= density + 1e-6
    assert answer.bags * answer.fish_per_bag >= fish > (answer.bags - 1) * answer.fish_per_bag
    assert answer.oxygen_hours > hours


def test_our_densities_stay_below_published_ones() -> None:
    densest = transport.grams_per_litre(24, True)
    assert not isinstance(densest, NotAdvised)
    assert densest < (packing("zebrafish").grams_per_l or 0)


def test_big_fish_travel_alone() -> None:
    answer = packed(3, 12, 90, 1)
    assert answer.fish_per_bag == 1
    assert Caution.ONE_PER_BAG in answer.cautions
    assert answer.water_l >= 1.2


def test_a_long_journey_needs_oxygen_and_a_very_long_one_another_way() -> None:
    assert transport.bags(6, 1.0, 38, 10) is NotAdvised.NEEDS_OXYGEN
    assert transport.bags(6, 1.0, 38, 30, with_oxygen=True) is NotAdvised.TOO_LONG


def test_a_fish_too_heavy_for_any_bag_needs_a_container() -> None:
    assert transport.bags(1, 300, 250, 2) is NotAdvised.NEEDS_CONTAINER


def test_warm_water_carries_fewer_fish() -> None:
    warm, cool = (transport.grams_per_litre(2, False, celsius) for celsius in (29.0, 25.0))
    assert not isinstance(warm, NotAdvised)
    assert not isinstance(cool, NotAdvised)
    assert warm < cool


def test_fry_fast_for_less_time() -> None:
    """Common practice, no source: fry 12-24 h, others 24-48 h."""
    assert transport.fasting_hours(15) == (12, 24)
    assert transport.fasting_hours(40) == (24, 48)


def test_opening_the_bag_is_when_the_ammonia_bites() -> None:
    """From pH 6.5 in the closed bag to 8.0 in air the poisonous share rises about thirtyfold (1 / (1 + 10^(pKa - pH)))."""
    answer = packed(10, 1.5, 42, 6, with_oxygen=True)
    closed = transport.unionised_on_opening(answer.tan_mg_per_l, 6.5, 24)
    opened = transport.unionised_on_opening(answer.tan_mg_per_l, 8.0, 24)
    assert opened / closed == pytest.approx(30, abs=2)
    assert {Caution.AMMONIA_ON_OPENING, Caution.NO_AIRSTONE_IN_BAG_WATER, Caution.OXYGEN_SAFETY} <= set(answer.cautions)
