"""What was told over the years is a list like any other, only that copies share it."""

from dataclasses import dataclass
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.fishroom.history import PAGE, History, newest_first, since

FIRST = date(2020, 1, 1)
LENGTHS = st.one_of(st.integers(0, 12), st.integers(PAGE - 2, PAGE + 2), st.integers(2 * PAGE - 1, 3 * PAGE))
laws = settings(max_examples=40, deadline=None)


@dataclass(frozen=True)
class Meal:
    on: date


@laws
@given(LENGTHS, st.slices(3 * PAGE))
def test_it_reads_like_a_list(length: int, part: slice) -> None:
    plain = list(range(length))
    told = History(plain)
    assert (len(told), list(told), list(reversed(told)), told[part]) == (length, plain, plain[::-1], plain[part])
    assert [told[place] for place in range(-length, length)] == [plain[place] for place in range(-length, length)]
    with pytest.raises(IndexError):
        told[length]


@laws
@given(LENGTHS, st.integers(1, PAGE))
def test_what_is_added_to_a_copy_is_not_in_the_first(length: int, more: int) -> None:
    told = History(range(length))
    copy = told.copy()
    for line in range(more):
        copy.append(line)
    assert list(told) == list(range(length))
    assert list(copy) == [*range(length), *range(more)]
    assert told != copy


@laws
@given(LENGTHS)
def test_two_that_say_the_same_are_equal_and_one_other_line_tells_them_apart(length: int) -> None:
    assert History(range(length)) == History(range(length))
    assert History([*range(length), 1]) != History([*range(length), 2])
    assert History([1, *range(length)]) != History([2, *range(length)])


@laws
@given(st.lists(st.integers(0, 30), max_size=60), st.integers(-1, 31))
def test_a_day_parts_it_in_what_was_before_and_what_came_after(days: list[int], on: int) -> None:
    meals = [Meal(FIRST + timedelta(days=day)) for day in sorted(days)]
    day = FIRST + timedelta(days=on)
    assert list(since(History(meals), day)) == [meal for meal in meals if meal.on >= day]
    assert list(newest_first(History(meals), day)) == [meal for meal in reversed(meals) if meal.on <= day]


def test_a_page_is_full_or_it_is_none() -> None:
    with pytest.raises(ValueError, match="not full"):
        History(pages=[(1, 2)])
