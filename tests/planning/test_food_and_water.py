"""What to feed, and what the last water test means."""

from datetime import date, timedelta

import pytest

from core.biology.water import Urgency
from core.events import BatchJoined, FishroomSetting, Holding, Moved, Spawned, Stripped, WaterTested
from core.planning.rations import batch_ration, place_ration
from core.planning.water_verdict import water_verdict
from tests.fishroom.conftest import MONDAY, Telling


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def test_a_batch_eats_by_number_weight_and_warmth(marit: Telling) -> None:
    """Mbuna below 2 g: 4 to 6 % of body weight a day in three feeds (common practice, no source)."""
    marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=40.0))
    found = batch_ration(marit.room, marit.batch("A"), day(0))
    assert found.ration.low_g == pytest.approx(0.04 * 20 * found.mean_g)
    assert found.ration.high_g == pytest.approx(0.06 * 20 * found.mean_g)
    assert (found.temperature_c, found.basis, found.ration.feeds) == (25.0, "usual", 3)


def test_cold_water_halves_the_ration(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=40.0))
    usual = batch_ration(marit.room, marit.batch("A"), day(0)).ration.grams
    marit.on(0, WaterTested("tub", temp_c=22.0))
    assert batch_ration(marit.room, marit.batch("A"), day(1)).ration.grams == pytest.approx(usual / 2, rel=0.05)


def test_only_the_fish_of_a_place_eat_there(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=40.0), Moved("tank 1", batch="A", count=5))
    here = place_ration(marit.room, "tank 1", day(0))
    assert [(each.batch, each.fish) for each in here.batches] == [("A", 5)]
    assert here.breeders == 4
    assert here.load is not None
    assert here.grams > sum(each.ration.grams for each in here.batches)


def test_a_holding_female_takes_no_food(marit: Telling) -> None:
    before = place_ration(marit.room, "tank 1", day(0)).breeders_g[0]
    marit.on(0, Holding("F4", "brood 1"))
    assert place_ration(marit.room, "tank 1", day(0)).breeders_g[0] == pytest.approx(before * 3 / 4)


def test_fry_on_their_yolk_are_said_to_need_nothing(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(15, Stripped("F4", "A", 12, to="box 1"))
    assert batch_ration(marit.room, marit.batch("A"), day(15)).no_food_before is not None


def test_a_box_is_judged_by_its_tanks_test(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", ph=8.2, tan_mg_l=1.0, temp_c=27.0, kit_unit="N"))
    found = water_verdict(marit.room, "box 1", day(2))
    assert found is not None
    assert (found.place, found.age_days, found.litres, found.assessment.urgency) == ("tank 1", 2, 240.0, Urgency.NOW)
    assert not found.kit_unknown


def test_the_kit_is_the_fishrooms_where_a_test_does_not_say(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", ph=7.8, tan_mg_l=0.25))
    found = water_verdict(marit.room, "tank 1", day(0))
    assert found is not None
    assert found.kit_unknown
    marit.on(0, FishroomSetting("kit_unit", "NH3"))
    found = water_verdict(marit.room, "tank 1", day(0))
    assert found is not None
    assert not found.kit_unknown


def test_readings_of_one_day_are_one_test_and_a_missing_temperature_is_the_last_known(marit: Telling) -> None:
    marit.on(-3, WaterTested("tank 1", temp_c=29.0)).on(0, WaterTested("tank 1", ph=8.0)).on(
        0, WaterTested("tank 1", tan_mg_l=0.5)
    )
    found = water_verdict(marit.room, "tank 1", day(0))
    assert found is not None
    assert (found.reading.ph, found.reading.ammonia, found.assessment.temperature_c) == (8.0, 0.5, 29.0)


def test_water_nobody_tested_has_no_verdict(marit: Telling) -> None:
    assert water_verdict(marit.room, "tub", day(0)) is None
