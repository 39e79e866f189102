"""What is to be expected of broods and batches, from the water they really had and the club's own records."""

from datetime import date, timedelta

import pytest

from core.biology.survival import Stage
from core.events import (
    BatchJoined,
    Counted,
    Culled,
    Died,
    Holding,
    Measured,
    Mixed,
    Moved,
    Parents,
    Released,
    Sexed,
    Sold,
    Spawned,
    StillHolding,
    Stripped,
    WaterTested,
)
from core.fishroom.state import Stay
from core.planning.outlook import (
    BroodOutlook,
    DayWindow,
    batch_outlook,
    brood_outlook,
    daily_survival,
    exposures,
    male_share,
    mouth_survival,
    parts,
    ready_days,
    strands,
    survival_stretches,
    unsexed_needed,
    usual_temperature,
    warmth_over,
)
from core.planning.yolk import first_food
from core.species import profile
from tests.fishroom.conftest import MONDAY, Telling

LAB = profile("yellow-lab")


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def outlook_of(marit: Telling, brood: str, on: int) -> BroodOutlook:
    found = brood_outlook(marit.room, marit.room.broods[brood], day(on))
    assert found is not None
    return found


# --- temperature -----------------------------------------------------------------------------------------------------


def test_a_place_is_as_warm_as_told_else_as_its_last_tests_else_as_the_species_likes_it(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 9", temp_c=24.0)).on(1, WaterTested("tank 9", temp_c=25.0))
    assert usual_temperature(marit.room, "tub", LAB) == (25.0, "usual")
    assert usual_temperature(marit.room, "box 1", LAB) == (27.0, "usual")
    assert usual_temperature(marit.room, "tank 9", LAB) == (24.5, "usual")
    assert usual_temperature(marit.room, "attic", LAB) == (LAB.temperature_c.likely, "species")
    assert usual_temperature(marit.room, None, LAB) == (LAB.temperature_c.likely, "species")


def test_warmth_follows_the_fish_from_place_to_place(marit: Telling) -> None:
    """Ten days at 27 °C and ten at 25 °C, the day asked about included: (10 · 27 + 11 · 25) / 21."""
    found = warmth_over(marit.room, [Stay(day(0), "tank 1"), Stay(day(10), "tub")], day(20), LAB)
    assert found.mean_c == pytest.approx((10 * 27 + 11 * 25) / 21)
    assert found.basis == "usual"
    assert found.temperatures.on(day(40).toordinal()) == 25.0


def test_tests_are_joined_and_the_last_is_carried_on_for_a_week(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", temp_c=24.0)).on(4, WaterTested("tank 1", temp_c=26.0))
    found = warmth_over(marit.room, [Stay(day(0), "box 1")], day(4), LAB).temperatures
    assert [found.on(day(n).toordinal()) for n in (0, 2, 4, 11, 12)] == [24.0, 25.0, 26.0, 26.0, 27.0]


def test_a_test_told_for_later_is_not_known_yet(marit: Telling) -> None:
    marit.on(9, WaterTested("tank 1", temp_c=20.0))
    assert warmth_over(marit.room, [Stay(day(0), "tank 1")], day(5), LAB).basis == "usual"


# --- broods ----------------------------------------------------------------------------------------------------------


def test_at_27_degrees_the_days_are_those_of_the_trade(marit: Telling) -> None:
    """Hatch in about a week, strip at about two weeks, release after about three (common practice, no source)."""
    marit.on(0, Spawned("F4", "M1", "brood 1"))
    found = outlook_of(marit, "brood 1", 3)
    assert found.hatch is not None
    assert found.release is not None
    assert found.strip_opens is not None
    assert 5 <= (found.hatch.likely - day(0)).days <= 8
    assert 13 <= (found.strip_opens - day(0)).days <= 18
    assert 18 <= (found.release.likely - day(0)).days <= 25
    assert found.since_seen_late == 0


def test_cooler_water_takes_longer_as_q10_says(marit: Telling) -> None:
    """25 °C against 27 °C: 3 ^ 0.2 = 1.246 times as long (Q10 of 3; worked by hand)."""
    marit.on(0, Moved("tub", fish="F5"), Spawned("F4", "M1", "brood 1"), Spawned("F5", None, "brood 2"))
    warm, cool = outlook_of(marit, "brood 1", 1), outlook_of(marit, "brood 2", 1)
    assert warm.release is not None
    assert cool.release is not None
    ratio = (cool.release.likely - day(0)).days / (warm.release.likely - day(0)).days
    assert ratio == pytest.approx(1.246, abs=0.06)


def test_a_female_first_seen_holding_may_have_spawned_days_before(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"), Holding("F5", "brood 2"))
    seen, noticed = outlook_of(marit, "brood 1", 1), outlook_of(marit, "brood 2", 1)
    assert noticed.since_seen_late == 3
    assert noticed.release is not None
    assert seen.release is not None
    assert noticed.release.earliest < seen.release.earliest


def test_a_female_seen_holding_late_moves_her_release(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    before = outlook_of(marit, "brood 1", 22).release
    marit.on(22, StillHolding("F4"))
    after = outlook_of(marit, "brood 1", 22).release
    assert before is not None
    assert after is not None
    assert after.likely >= day(22)
    assert after.likely > before.likely


def test_her_own_record_narrows_and_moves_the_window(marit: Telling) -> None:
    for n, start in enumerate((-300, -240, -180, -120)):
        marit.on(start, Spawned("F4", "M1", f"brood {n}")).on(start + 26, Released("F4", f"X{n}", 20))
    marit.on(0, Spawned("F4", "M1", "brood 9"), Spawned("F5", "M1", "brood 10"))
    slow, other = outlook_of(marit, "brood 9", 1), outlook_of(marit, "brood 10", 1)
    assert slow.own_record == 4
    assert slow.release is not None
    assert other.release is not None
    assert slow.release.likely > other.release.likely


def test_outside_what_is_known_no_window_is_given(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(2, WaterTested("tank 1", temp_c=19.0))
    found = outlook_of(marit, "brood 1", 3)
    assert found.out_of_range is not None
    assert found.strip_opens is None


def test_nobody_can_tell_of_a_brood_whose_beginning_nobody_saw(marit: Telling) -> None:
    marit.on(0, Stripped("F4", "A", 20))
    (brood,) = marit.room.broods.values()
    assert brood_outlook(marit.room, brood, day(0)) is None


def test_fry_stripped_with_yolk_are_not_fed_before_it_is_gone(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(15, Stripped("F4", "A", 20, to="box 1"))
    window = first_food(marit.room, marit.batch("A"), day(15))
    assert window is not None
    assert window.likely is not None
    assert window.likely > day(15)
    assert first_food(marit.room, marit.batch("A"), window.likely) is None


def test_released_fry_may_eat_at_once(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(21, Released("F4", "A", 20))
    assert first_food(marit.room, marit.batch("A"), day(21)) is None


# --- growth ----------------------------------------------------------------------------------------------------------


def test_a_batch_grows_and_its_sizes_come_in_order(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(21, Released("F4", "A", 20))
    young, older = (batch_outlook(marit.room, marit.batch("A"), day(n)) for n in (30, 90))
    assert young.mean_mm.likely < older.mean_mm.likely
    assert older.mean_mm.low < older.mean_mm.likely < older.mean_mm.high
    assert older.fish_mm.low < older.mean_mm.low
    halves = [older.ready[purpose].half.likely for purpose in ("out_of_box", "saleable", "sexable")]
    assert halves == sorted(halves)
    assert all(older.ready[p].half.likely <= older.ready[p].most.likely for p in ("out_of_box", "saleable"))
    assert older.age_days == 90


def test_a_measurement_moves_the_batch_and_narrows_what_is_unknown(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(21, Released("F4", "A", 20))
    before = batch_outlook(marit.room, marit.batch("A"), day(80))
    marit.on(80, Measured("A", tuple(before.mean_mm.likely * 1.2 * share for share in (0.9, 0.95, 1.0, 1.0, 1.05, 1.1))))
    after = batch_outlook(marit.room, marit.batch("A"), day(80))
    assert before.mean_mm.likely < after.mean_mm.likely < before.mean_mm.likely * 1.2
    assert after.mean_mm.high - after.mean_mm.low < before.mean_mm.high - before.mean_mm.low
    assert (after.measured, after.measurements) == (day(80), 1)


def test_a_bought_batch_grows_from_the_size_it_was_sold_as(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=30.0))
    found = batch_outlook(marit.room, marit.batch("A"), day(0))
    assert found.mean_mm.likely == pytest.approx(30.0, rel=0.02)
    assert ready_days(marit.room, marit.batch("A"), day(0), 25.0).half.likely == day(0)


def test_mixed_batches_keep_their_two_sizes(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 30, to="tub", mean_mm=20.0), BatchJoined("B", "lab", 10, to="tub", mean_mm=40.0))
    marit.on(1, Mixed(("A", "B"), "A", "tub"))
    found = strands(marit.room, marit.batch("A"), day(2))
    assert [strand.share for strand in found] == pytest.approx([0.75, 0.25])
    outlook = batch_outlook(marit.room, marit.batch("A"), day(2))
    assert outlook.parts == 2
    assert outlook.mean_mm.likely == pytest.approx(0.75 * 20 + 0.25 * 40, rel=0.04)
    # Of those about 40 mm with a spread of an eighth, Φ(2 mm / 5 mm) = 0.655 are 38 mm; of the small ones none (normal tables).
    assert outlook.ready["saleable"].share_now == pytest.approx(0.25 * 0.655, abs=0.02)


def test_a_mixed_stock_that_is_measured_moves_both_its_parts_alike(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 30, to="tub", mean_mm=20.0), BatchJoined("B", "lab", 10, to="tub", mean_mm=40.0))
    marit.on(1, Mixed(("A", "B"), "A", "tub")).on(30, Measured("A", mean_mm=33.0, n=40))
    before = parts(marit.room, marit.batch("A"), day(29), day(30))
    after = parts(marit.room, marit.batch("A"), day(30))
    grown = [
        now.growth.mean_mm(now.warmth).likely / then.growth.mean_mm(then.warmth).likely
        for then, now in zip(before, after, strict=True)
    ]
    assert grown[0] == pytest.approx(grown[1], rel=0.05)
    assert grown[0] > 1.05


def test_a_batch_in_two_waters_grows_at_two_speeds(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tank 1", mean_mm=20.0)).on(1, Moved("tub", batch="A", count=8))
    found = strands(marit.room, marit.batch("A"), day(60))
    warm, cool = (strand.part(day(60)) for strand in found)
    assert (warm.share, cool.share) == pytest.approx((0.6, 0.4))
    assert warm.warmth > cool.warmth


# --- survival and sex ------------------------------------------------------------------------------------------------


def test_survival_is_learned_only_as_far_as_somebody_counted(marit: Telling) -> None:
    """Twenty fish for ten days in the box, two of them lost on the way: 19 on average, 190 fish-days (worked by hand)."""
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(20, Stripped("F4", "A", 20, to="box 1"))
    assert exposures(marit.room, marit.batch("A"), day(40)) == ()
    marit.on(30, Counted("A", 18)).on(60, Died(batch="A", count=1))
    (box,) = exposures(marit.room, marit.batch("A"), day(90))
    assert (box.stage, box.lost, box.lived) == (Stage.BOX, 2.0, 190.0)


def test_what_was_sold_or_culled_was_not_lost(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub")).on(10, Sold("A", 5), Culled("A", 1)).on(20, Counted("A", 14))
    (grown,) = exposures(marit.room, marit.batch("A"), day(30))
    assert (grown.lost, grown.lived) == (0.0, 20 * 10 + 14 * 10)


def test_a_batch_that_loses_many_is_trusted_less_and_teaches_the_next(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 40, to="tub"), BatchJoined("B", "lab", 40, to="tank 1")).on(30, Counted("B", 40))
    before = daily_survival(marit.room, marit.batch("B"), Stage.GROW_OUT, day(60)).mean
    marit.on(30, Counted("A", 20))
    own = daily_survival(marit.room, marit.batch("A"), Stage.GROW_OUT, day(60)).mean
    other = daily_survival(marit.room, marit.batch("B"), Stage.GROW_OUT, day(60)).mean
    assert own < other < before


def test_fry_in_a_box_have_the_box_and_then_grow_out_ahead(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(20, Stripped("F4", "A", 20, to="box 1"))
    (box_days, box), (_, grown) = survival_stretches(marit.room, marit.batch("A"), day(25))
    assert box_days > 20
    assert box.mean < grown.mean


def test_eggs_and_dead_told_at_stripping_teach_survival_in_the_mouth(marit: Telling) -> None:
    before = mouth_survival(marit.room, "lab")
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(20, Stripped("F4", "A", 20, eggs=4, dead=1))
    after = mouth_survival(marit.room, "lab")
    assert (after.yes - before.yes, after.no - before.no) == (20, 5)


def test_each_pairing_has_a_sex_ratio_of_its_own(marit: Telling) -> None:
    for letter, dam in (("A", "F4"), ("B", "F5"), ("C", "F4")):
        marit.on(0, BatchJoined(letter, "lab", 20, to="tub"), Parents(letter, "M1", dam))
    marit.on(200, Sexed("A", males=18, females=2))
    shares = {letter: male_share(marit.room, marit.batch(letter)).mean for letter in "ABC"}
    assert shares["A"] == shares["C"] > 0.7
    assert shares["B"] == pytest.approx(LAB.male_share.likely)


def test_more_unsexed_fish_are_needed_where_males_are_rare(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 40, to="tub"), Parents("A", "M1", "F4"))
    usual = unsexed_needed(marit.room, marit.batch("A"), 1, 4)
    marit.on(200, Sexed("A", males=2, females=38))
    rare = unsexed_needed(marit.room, marit.batch("A"), 1, 4)
    assert usual is not None
    assert rare is not None
    assert rare > usual


def test_a_window_of_whole_days_is_never_narrower_than_it_was() -> None:
    from core.biology.days import Window

    assert DayWindow.of(Window(100.4, 101.6, 102.1)) == DayWindow(*(date.fromordinal(n) for n in (100, 102, 103)))
    assert DayWindow.of(Window(100.0, 101.0, float("inf"))).latest is None
