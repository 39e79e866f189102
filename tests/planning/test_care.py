"""The care plan: what is to be done, when, why, and what ends it. Intervals are common practice, no source."""

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings

from core.events import (
    BatchJoined,
    BroodLost,
    Counted,
    Died,
    Event,
    Fed,
    Habit,
    HeldBack,
    Holding,
    Joined,
    Measured,
    Moved,
    Offered,
    Parents,
    PickupSet,
    PlaceAdded,
    Released,
    Reserved,
    Sexed,
    Spawned,
    StillHolding,
    Stripped,
    TaskDone,
    TaskDropped,
    TaskLater,
    WaterChanged,
    WaterTested,
)
from core.fishroom.replay import replay
from core.planning.brood_outlook import brood_outlook
from core.planning.care import CareTask, Urgency, care_plan, due_tasks, tasks_between
from core.planning.tasks import told_in_full
from tests.fishroom.conftest import MONDAY, Telling
from tests.fishroom.streams import ANYHOW, Told, journal


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def due(marit: Telling, on: int, rule: str | None = None) -> list[CareTask]:
    return [task for task in due_tasks(marit.room, day(on)) if rule in (None, task.rule)]


def planned(marit: Telling, on: int, rule: str, until: int = 400) -> CareTask:
    (task,) = (task for task in care_plan(marit.room, day(on), day(on + until)) if task.rule == rule)
    return task


def spawned_on(marit: Telling, start: int = 0) -> Telling:
    return marit.on(start, Spawned("F4", "M1", "brood 1"))


def stripped_on(marit: Telling, on: int = 16, to: str = "box 1") -> Telling:
    return spawned_on(marit).on(on, Stripped("F4", "A", 12, to=to))


# --- broods ----------------------------------------------------------------------------------------------------------


def test_a_quiet_fishroom_has_nothing_to_do(marit: Telling) -> None:
    assert due(marit, 0) == []


def test_a_holding_female_is_looked_at_every_five_days(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    assert due(marit, 4, "holding_check") == []
    (task,) = due(marit, 5, "holding_check")
    assert (task.place, task.due, task.facts["since"]) == ("tank 1", day(5), day(0))
    marit.on(5, StillHolding("F4"))
    assert due(marit, 6, "holding_check") == []
    assert planned(marit, 6, "holding_check").due == day(10)


def test_a_look_that_was_said_to_be_done_counts_too(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    (task,) = due(marit, 5, "holding_check")
    marit.on(5, TaskDone(task.key))
    assert due(marit, 6, "holding_check") == []
    assert planned(marit, 6, "holding_check").due == day(10)


def test_the_box_is_ready_two_days_before_the_window_opens(marit: Telling) -> None:
    spawned_on(marit)
    outlook = brood_outlook(marit.room, marit.room.broods["brood 1"], day(10))
    assert outlook is not None
    assert outlook.strip_opens is not None
    task = planned(marit, 1, "prepare_box")
    assert task.due == outlook.strip_opens - timedelta(days=2)
    assert task.place == "box 1"


def test_the_strip_window_presses_and_its_last_day_most(marit: Telling) -> None:
    spawned_on(marit)
    outlook = brood_outlook(marit.room, marit.room.broods["brood 1"], day(14))
    assert outlook is not None
    opens, closes = outlook.strip_opens, outlook.strip_closes
    assert opens is not None
    assert closes is not None
    first, last = ((on - day(0)).days for on in (opens, closes))
    assert due(marit, first - 1, "strip") == []
    (task,) = due(marit, first, "strip")
    assert (task.opens, task.closes, task.facts["first_brood"]) == (opens, closes, True)
    assert due(marit, last, "strip")[0].urgency is Urgency.NOW
    assert due(marit, last + 1, "strip") == []
    assert due(marit, last + 1, "release_expected")


def test_stripping_ends_all_that_the_brood_asked_for(marit: Telling) -> None:
    stripped_on(marit)
    assert not {t.rule for t in due(marit, 17)} & {"strip", "prepare_box", "holding_check", "release_expected"}


def test_a_lost_brood_asks_for_nothing(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1")).on(6, BroodLost("F4"))
    assert due(marit, 8) == []


def test_a_female_that_should_have_let_go_is_asked_about(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    (task,) = due(marit, 36, "brood_overdue")
    assert task.urgency is Urgency.SOON


def test_fry_she_let_go_uncounted_are_looked_for(marit: Telling) -> None:
    spawned_on(marit).on(21, Released("F4"))
    assert due(marit, 22, "collect_fry")
    marit.on(22, Released("F4", "A", 14))
    assert due(marit, 22, "collect_fry") == []


def test_a_mother_with_the_male_is_given_rest_and_one_by_herself_goes_back(marit: Telling) -> None:
    """Rest of seven to fourteen days, likely ten (common practice, no source)."""
    stripped_on(marit)
    (task,) = due(marit, 16, "mother_rest")
    assert task.facts["until"] == day(26)
    marit.on(16, Moved("box 2", fish="F4"))
    assert due(marit, 16, "mother_rest") == []
    back = planned(marit, 17, "mother_return")
    assert (back.opens, back.due, back.facts["to"], back.place) == (day(23), day(26), "tank 1", "box 2")
    marit.on(26, Moved("tank 1", fish="F4"))
    assert due(marit, 27, "mother_return") == []


# --- batches ---------------------------------------------------------------------------------------------------------


def test_the_first_food_comes_when_the_yolk_is_gone_and_not_before(marit: Telling) -> None:
    stripped_on(marit)
    task = planned(marit, 16, "first_feed")
    assert day(17) <= task.opens <= day(24)
    assert due(marit, 16, "first_feed") == []
    on = (task.opens - day(0)).days
    assert due(marit, on, "first_feed")
    assert due(marit, on, "box_feed") == []
    marit.on(on, Fed(place="box 1"))
    assert due(marit, on, "first_feed") == []


def test_of_fry_whose_spawning_nobody_saw_only_a_look_tells(marit: Telling) -> None:
    marit.on(0, Stripped("F4", "A", 12, to="box 1"))
    assert due(marit, 1, "first_feed")[0].facts["unknown"] is True


def test_what_is_done_daily_in_a_box_is_said_once_a_week_with_its_figures(marit: Telling) -> None:
    stripped_on(marit, to="box 2").on(22, Fed(batch="A"))
    for rule in ("box_feed", "box_water"):
        told = [on for on in range(23, 44) if due(marit, on, rule)]
        assert told == [23, 30, 37]
    assert due(marit, 23, "box_feed")[0].urgency is Urgency.ROUTINE


def test_only_a_box_with_water_of_its_own_is_to_be_changed(marit: Telling) -> None:
    stripped_on(marit, to="box 2")
    assert due(marit, 17, "box_water")[0].place == "box 2"
    marit.on(17, Moved("box 1", batch="A"))
    assert not [task for on in range(17, 25) for task in due(marit, on, "box_water")]


def test_counts_come_round_more_often_in_the_box(marit: Telling) -> None:
    stripped_on(marit)
    assert planned(marit, 16, "count").due == day(16 + 14)
    marit.on(17, Moved("tub", batch="A"))
    assert planned(marit, 17, "count").due == day(16 + 30)
    marit.on(20, Counted("A", 12))
    assert planned(marit, 20, "count").due == day(20 + 30)


def test_a_habit_counts_from_the_day_it_was_done(marit: Telling) -> None:
    stripped_on(marit).on(18, Habit("count", 5)).on(20, Counted("A", 12))
    assert planned(marit, 20, "count").due == day(25)
    marit.on(21, Habit("count", 0))
    assert not [task for task in care_plan(marit.room, day(21), day(90)) if task.rule == "count"]


def test_a_batch_is_measured_monthly(marit: Telling) -> None:
    stripped_on(marit).on(40, Measured("A", mean_mm=14, n=5))
    assert planned(marit, 41, "measure").due == day(70)


def test_a_batch_moves_up_when_half_have_outgrown_the_box(marit: Telling) -> None:
    stripped_on(marit)
    task = planned(marit, 17, "move_up")
    assert task.opens == task.facts["ready"].half.likely  # type: ignore[attr-defined]
    on = (task.opens - day(0)).days
    assert due(marit, on, "move_up")
    marit.on(on, Moved("tub", batch="A"))
    assert due(marit, on, "move_up") == []


def test_a_crowded_box_does_not_wait_for_that(marit: Telling) -> None:
    """Twenty to thirty new fry in ten litres (common practice, no source), so sixty in eight are too many."""
    spawned_on(marit).on(16, Stripped("F4", "A", 60, to="box 1"))
    (task,) = due(marit, 35, "move_up")
    assert task.urgency is Urgency.SOON
    assert task.facts["most"] == 24


def grown(marit: Telling, *told: Event) -> Telling:
    """A batch bought at 60 mm."""
    return marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=60.0, born=day(-200)), *told)


def test_a_grown_batch_is_sexed_chosen_from_and_offered(marit: Telling) -> None:
    assert {"sex", "hold_back", "offer"} <= {task.rule for task in due(grown(marit), 1)}
    marit.on(1, HeldBack("A", 3), Sexed("A", males=9, females=11), Offered("A"))
    assert not {"sex", "hold_back", "offer"} & {task.rule for task in due(marit, 1)}


def test_those_that_could_not_be_sexed_are_looked_at_again_in_a_month(marit: Telling) -> None:
    grown(marit, Sexed("A", males=5, females=5))
    assert due(marit, 1, "sex") == []
    assert planned(marit, 1, "sex").opens == day(30)


def test_brothers_and_sisters_are_separated_before_they_breed(marit: Telling) -> None:
    grown(marit, Sexed("A", males=9, females=11))
    (task,) = due(marit, 1, "separate")
    assert (task.facts["males"], task.facts["females"]) == (9, 11)
    marit.on(1, Moved("tank 1", batch="A", sex="male"))
    assert due(marit, 1, "separate") == []


def test_hybrids_are_never_offered(marit: Telling) -> None:
    marit.on(0, Joined("M2", "male", "2", "demasoni", "tank 1"), Spawned("F4", "M2", "brood 1")).on(21, Released("F4", "A", 12))
    assert marit.batch("A").hybrid
    assert due(marit, 500, "offer") == []


def test_deaths_of_nobody_ask_for_a_count(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub"), BatchJoined("B", "lab", 20, to="tub")).on(3, Died(place="tub", count=2))
    (task,) = due(marit, 4, "settle_deaths")
    assert (task.place, task.facts["count"], task.facts["batches"], task.urgency) == ("tub", 2, ("A", "B"), Urgency.NORMAL)
    marit.on(3, Reserved(1, "oleg", "A", 4))
    assert due(marit, 4, "settle_deaths")[0].urgency is Urgency.SOON
    marit.on(4, Counted("A", 20))
    assert due(marit, 4, "settle_deaths") == []


# --- water -----------------------------------------------------------------------------------------------------------


def test_who_never_tells_of_tests_is_not_reminded_of_them(marit: Telling) -> None:
    assert not [task for task in care_plan(marit.room, day(0), day(365)) if task.rule in ("water_test", "water_change")]


def test_a_told_habit_is_kept_and_one_that_shows_is_taken(marit: Telling) -> None:
    marit.on(0, Habit("water_test", 5, "tank 1"), WaterTested("tank 1", ph=7.8), WaterChanged("tank 1", percent=30))
    assert planned(marit, 0, "water_test").due == day(5)
    assert planned(marit, 0, "water_test").facts["said"] is True
    assert planned(marit, 0, "water_change").due == day(7)
    assert planned(marit, 0, "water_change").facts["said"] is False


def test_a_habit_that_nobody_set_is_let_go_when_nobody_keeps_it(marit: Telling) -> None:
    marit.on(0, WaterChanged("tank 1", percent=30))
    assert due(marit, 20, "water_change")
    assert due(marit, 22, "water_change") == []


def test_water_nobody_lives_in_is_left_alone(marit: Telling) -> None:
    marit.on(0, Habit("water_test", 5), WaterTested("tub", ph=7.8))
    assert [task.place for task in care_plan(marit.room, day(6), day(9)) if task.rule == "water_test"] == ["tank 1"]


def test_bad_water_is_tested_again_next_day_until_it_is_good(marit: Telling) -> None:
    """1 mg/L of total ammonia at pH 8.2 and 27 °C is far above what fish bear (Emerson et al. 1975: a tenth is NH3)."""
    marit.on(0, WaterTested("box 1", ph=8.2, tan_mg_l=1.0, temp_c=27.0, kit_unit="N"))
    (task,) = due(marit, 1, "retest")
    assert (task.place, task.urgency) == ("tank 1", Urgency.NOW)
    marit.on(1, WaterTested("tank 1", ph=8.2, tan_mg_l=0.0, nitrite_mg_l=0.0, nitrate_mg_l=10.0, temp_c=27.0, kit_unit="N"))
    assert due(marit, 2, "retest") == []


def test_one_water_asks_for_one_test_at_a_time(marit: Telling) -> None:
    marit.on(0, Habit("water_test", 2, "tank 1"), WaterTested("tank 1", ph=8.2, tan_mg_l=1.0, temp_c=27.0, kit_unit="N"))
    (again,) = due(marit, 3, "retest")
    assert due(marit, 3, "water_test") == []
    marit.on(3, TaskDone(again.key))
    assert due(marit, 4) == [task for task in due(marit, 4) if task.rule not in ("retest", "water_test")]
    (habit,) = due(marit, 5, "water_test")
    assert habit.facts["last"] == day(3)


def test_water_that_is_only_a_little_off_asks_for_no_second_test(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", ph=7.7, tan_mg_l=0.0, nitrite_mg_l=0.0, nitrate_mg_l=45.0, temp_c=28.5, kit_unit="N"))
    assert not [task for task in care_plan(marit.room, day(0), day(10)) if task.rule == "retest"]


# --- breeders and orders ---------------------------------------------------------------------------------------------


def test_a_female_bred_three_times_in_a_hurry_is_due_a_rest(marit: Telling) -> None:
    for n, start in enumerate((0, 30, 60)):
        marit.on(start, Spawned("F4", "M1", f"brood {n}")).on(start + 20, Stripped("F4", f"X{n}", 10, to="tub"))
    (task,) = due(marit, 81, "rest_female")
    assert task.facts["interval"] == 30


def test_a_father_with_his_grown_daughters_is_told(marit: Telling) -> None:
    """The young of a father and his daughter carry a quarter (Falconer & Mackay, textbook; from memory)."""
    marit.on(-300, BatchJoined("A", "lab", 10, to="tub", born=day(-300)), Parents("A", "M1", "F4"))
    marit.on(0, Joined("F7", "female", "7", "lab", "tank 1", from_batch="A"))
    (task,) = due(marit, 1, "related_pair")
    assert (task.fish, task.facts["females"], task.facts["inbreeding"]) == ("M1", ("F7",), pytest.approx(0.25))
    marit.on(2, Moved("tub", fish="F7"))
    assert due(marit, 2, "related_pair") == []


def test_pickups_stand_in_the_plan(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub", mean_mm=40.0), Reserved(7, "oleg", "A", 4), PickupSet(7, day(10)))
    assert due(marit, 9, "stop_feeding")[0].reservation == 7
    assert due(marit, 10, "bag")[0].reservation == 7
    assert due(marit, 12, "missed")[0].reservation == 7
    assert [task.due for task in tasks_between(marit.room, day(5), day(5), day(11)) if task.rule == "bag"] == [day(10)]


def test_fish_in_a_hard_place_are_caught_on_a_free_day_before(marit: Telling) -> None:
    marit.on(0, PlaceAdded("tub", "tub", hard_to_catch=True), BatchJoined("A", "lab", 20, to="tub", mean_mm=40.0))
    marit.on(0, Reserved(7, "oleg", "A", 4), PickupSet(7, day(10)))
    (task,) = (task for task in care_plan(marit.room, day(5), day(12)) if task.rule == "catch")
    assert day(7) <= task.due <= day(9)
    assert task.key == f"marit/catch:tub:{task.due}"
    marit.on(task.due.toordinal() - day(0).toordinal(), TaskDone(task.key))
    assert not [t for t in care_plan(marit.room, task.due, day(12)) if t.rule == "catch"]


# --- what is said about tasks ----------------------------------------------------------------------------------------


def test_done_later_and_never(marit: Telling) -> None:
    spawned_on(marit)
    (task,) = due(marit, 12, "prepare_box") or due(marit, 13, "prepare_box")
    marit.on(13, TaskLater(task.key, day(15)))
    assert due(marit, 14, "prepare_box") == []
    assert due(marit, 15, "prepare_box")
    marit.on(15, TaskDone(task.key))
    assert due(marit, 15, "prepare_box") == []


def test_never_for_this_one_holds_for_every_round(marit: Telling) -> None:
    stripped_on(marit)
    marit.on(31, TaskDropped(due(marit, 31, "count")[0].key)).on(32, Counted("A", 11))
    assert not [task for task in care_plan(marit.room, day(33), day(200)) if task.rule == "count"]
    assert [task for task in care_plan(marit.room, day(33), day(200)) if task.rule == "measure"]


def test_keys_are_stable_from_day_to_day_and_differ_between_tasks(marit: Telling) -> None:
    stripped_on(marit).on(0, Holding("F5", "brood 2"))
    plans: list[dict[str, Any]] = [{task.key: task.rule for task in care_plan(marit.room, day(n), day(60))} for n in (20, 21, 22)]
    for before, after in pairwise(plans):
        lasting = {key for key, rule in before.items() if rule not in ("box_feed", "box_water", "mother_rest", "holding_check")}
        assert lasting <= set(after)


def test_places_are_walked_in_order_and_the_pressing_ones_first(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 20, to="tub"), BatchJoined("B", "lab", 6, to="box 1"))
    marit.on(31, Fed(batch="A"))
    calm = [task.place for task in due(marit, 40)]
    assert calm == sorted(calm, key=["tank 1", "box 1", "box 2", "tub"].index)
    marit.on(39, WaterTested("tub", ph=8.4, tan_mg_l=2.0, temp_c=26.0))
    assert due(marit, 40)[0].place == "tub"


def test_what_nobody_does_is_named_less_and_less(marit: Telling) -> None:
    stripped_on(marit, to="tub")
    opens = planned(marit, 16, "measure").opens
    named = [n for n in range(80) if any(t.rule == "measure" for t in due_tasks(marit.room, opens + timedelta(days=n)))]
    assert named == [*range(29), 42, 56, 70]
    in_full = [n for n in range(60) if told_in_full(planned(marit, 16, "measure"), opens + timedelta(days=n))]
    assert in_full == [0, 1, 3, 7, 14, 28, 42, 56]


@settings(max_examples=15, deadline=None)
@given(ANYHOW)
def test_any_fishroom_however_muddled_has_a_plan_with_a_key_for_each_task(told: list[Told]) -> None:
    room = replay("fishroom:marit", journal(told))
    today = date(2026, 3, 25)
    plan = care_plan(room, today, today + timedelta(days=30))
    assert len({task.key for task in plan}) == len(plan)
    for task in plan:
        assert task.closes is None or task.closes >= today
        assert task.opens <= task.due
    assert {task.key for task in due_tasks(room, today)} <= {task.key for task in plan}
    due_tasks(room, today, for_sitter=True)
