"""Catch days: as few as possible, checked against scipy's integer programming on random instances."""

from datetime import date, timedelta

import numpy as np
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.planning.catch_days import Fetching, plan_catch_days

MONDAY = date(2026, 4, 6)


def fetching(number: int, after: int, place: str = "pond", count: int = 4) -> Fetching:
    return Fetching(number, MONDAY + timedelta(days=after), "A", count, place)


def always(_: date) -> bool:
    return True


def test_one_catch_serves_the_whole_weekend() -> None:
    plan = plan_catch_days([fetching(1, 4), fetching(2, 5), fetching(3, 6)], always, MONDAY)
    assert [(day.day, day.count) for day in plan.days] == [(MONDAY + timedelta(days=3), 12)]


def test_fish_fast_a_day_and_wait_no_more_than_three() -> None:
    plan = plan_catch_days([fetching(1, 3), fetching(2, 7)], always, MONDAY)
    assert [day.day for day in plan.days] == [MONDAY + timedelta(days=2), MONDAY + timedelta(days=6)]


def test_nobody_catches_on_a_day_that_is_not_free() -> None:
    plan = plan_catch_days([fetching(1, 5)], lambda day: day.weekday() != 4, MONDAY)
    assert [day.day for day in plan.days] == [MONDAY + timedelta(days=3)]


def test_a_pickup_tomorrow_morning_of_fish_that_must_fast_two_days_comes_too_soon() -> None:
    plan = plan_catch_days([fetching(1, 1)], always, MONDAY, fasting=2)
    assert [(one.fetching.reservation, one.why) for one in plan.impossible] == [(1, "too_soon")]
    assert plan.days == ()


def test_a_keeper_who_is_never_free_before_the_pickup_is_told_so() -> None:
    plan = plan_catch_days([fetching(1, 6)], lambda day: day.weekday() == 0, MONDAY)
    assert [one.why for one in plan.impossible] == ["not_free"]


def test_a_catch_that_was_done_is_not_planned_again() -> None:
    tuesday = MONDAY + timedelta(days=1)
    plan = plan_catch_days([fetching(1, 3), fetching(2, 8)], always, tuesday, done=frozenset({("pond", tuesday)}))
    assert [[one.reservation for one in day.fetchings] for day in plan.days] == [[2]]


def test_two_hard_places_are_planned_each_for_itself() -> None:
    plan = plan_catch_days([fetching(1, 5), fetching(2, 5, "tub")], always, MONDAY)
    assert [(day.place, day.day) for day in plan.days] == [("pond", MONDAY + timedelta(4)), ("tub", MONDAY + timedelta(4))]


def fewest_by_integer_programming(windows: list[list[int]]) -> int:
    """The fewest days that meet every window, by scipy.optimize.milp."""
    days = sorted({day for window in windows for day in window})
    meets = np.array([[float(day in window) for day in days] for window in windows])
    each = np.ones(len(days))
    constraint = scipy.optimize.LinearConstraint(meets, lb=1)
    found = scipy.optimize.milp(each, constraints=constraint, integrality=each, bounds=scipy.optimize.Bounds(0, 1))
    return round(found.fun)


@settings(max_examples=60, deadline=None)
@given(
    pickups=st.lists(st.integers(1, 30), min_size=1, max_size=25),
    free_days=st.sets(st.integers(0, 30)),
    at_most=st.integers(1, 6),
    fasting=st.integers(0, 2),
)
def test_no_plan_has_fewer_catch_days(pickups: list[int], free_days: set[int], at_most: int, fasting: int) -> None:
    at_most = max(at_most, fasting)
    fetchings = [fetching(number, after) for number, after in enumerate(pickups)]
    plan = plan_catch_days(fetchings, lambda day: (day - MONDAY).days in free_days, MONDAY, at_most=at_most, fasting=fasting)
    windows = [[d for d in range(max(0, p - at_most), p - fasting + 1) if d in free_days] for p in pickups]
    served = {one.reservation: day.day for day in plan.days for one in day.fetchings}
    assert {one.fetching.reservation for one in plan.impossible} == {n for n, w in enumerate(windows) if not w}
    assert all((day - MONDAY).days in windows[number] for number, day in served.items())
    assert len(served) + len(plan.impossible) == len(pickups)
    possible = [window for window in windows if window]
    assert len(plan.days) == (fewest_by_integer_programming(possible) if possible else 0)
