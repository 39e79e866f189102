"""A keeper goes away: before, meanwhile, after."""

from datetime import date, timedelta

from core.events import Away, BatchJoined, Fed, Habit, Holding, PickupSet, Reserved, Spawned, Stripped, TaskDone, WaterTested
from core.planning.care import care_plan, due_tasks
from tests.fishroom.conftest import MONDAY, Telling


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def rules(marit: Telling, on: int, *, for_sitter: bool = False) -> set[str]:
    return {task.rule for task in due_tasks(marit.room, day(on), for_sitter=for_sitter)}


def test_what_can_wait_waits_until_the_day_after(marit: Telling) -> None:
    marit.on(0, Habit("water_test", 5, "tank 1"), WaterTested("tank 1", ph=7.8), Away(day(3), day(9), "oleg"))
    (task,) = (task for task in care_plan(marit.room, day(1), day(20)) if task.rule == "water_test")
    assert (task.opens, task.due) == (day(10), day(10))
    assert "water_test" not in rules(marit, 6)
    assert "water_test" in rules(marit, 10)


def test_before_leaving_the_keeper_is_told_what_falls_into_it(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 9, to="tub"), Reserved(7, "oleg", "A", 4), PickupSet(7, day(20)))
    marit.on(0, Spawned("F4", "M1", "brood 1"), Away(day(14), day(24), "oleg"))
    assert "before_away" not in rules(marit, 9)
    (task,) = (task for task in due_tasks(marit.room, day(11)) if task.rule == "before_away")
    assert (task.due, task.facts["holding"], task.facts["pickups"]) == (day(13), ("F4",), (7,))
    assert "before_away" not in rules(marit, 15)


def test_a_window_that_opens_before_the_absence_is_used_before_it(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"))
    (usual,) = (task for task in care_plan(marit.room, day(1), day(40)) if task.rule == "prepare_box")
    leaving = usual.due
    marit.on(0, Away(leaving, leaving + timedelta(days=6)))
    (task,) = (task for task in care_plan(marit.room, day(1), day(40)) if task.rule == "prepare_box")
    assert task.due == leaving - timedelta(days=1)
    assert task.facts["moved_from"] == usual.due


def test_the_sitter_looks_and_feeds_where_there_are_fish_and_leaves_the_holding_female_alone(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"), Away(day(3), day(9), "oleg"))
    tasks = due_tasks(marit.room, day(4), for_sitter=True)
    assert {(task.place, task.rule) for task in tasks} == {
        ("tank 1", "sitter_look"),
        ("tank 1", "sitter_feed"),
        ("tank 1", "sitter_leave"),
    }
    marit.on(4, Fed(place="tank 1"))
    assert rules(marit, 4, for_sitter=True) == {"sitter_look", "sitter_leave"}
    marit.on(4, TaskDone(tasks[0].key))
    assert len(due_tasks(marit.room, day(4), for_sitter=True)) == 1


def test_a_sitter_does_not_feed_fry_that_live_on_their_yolk(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1")).on(15, Stripped("F4", "A", 12, to="box 2"), Away(day(16), day(20), "oleg"))
    (feed,) = (t for t in due_tasks(marit.room, day(16), for_sitter=True) if t.rule == "sitter_feed" and t.place == "box 2")
    assert feed.facts["yolk"] == ("A",)
    assert "sitter_water" in rules(marit, 16, for_sitter=True)
