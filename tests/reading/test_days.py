"""Which day a phrase names. Expected days were read off a calendar of 2026 by hand (18 March 2026 is a Wednesday)."""

from datetime import date, datetime

import pytest

from bot.reading.days import DayTrouble, find, resolve

WEDNESDAY = datetime.fromisoformat("2026-03-18T09:30")

PAST = [
    ("today", "2026-03-18"),
    ("this morning", "2026-03-18"),
    ("tonight", "2026-03-18"),
    ("at dawn", "2026-03-18"),
    ("just now", "2026-03-18"),
    ("yesterday", "2026-03-17"),
    ("yday", "2026-03-17"),
    ("last night", "2026-03-17"),
    ("yesterday evening", "2026-03-17"),
    ("day before yesterday", "2026-03-16"),
    ("night before last", "2026-03-16"),
    ("2 days ago", "2026-03-16"),
    ("a week ago", "2026-03-11"),
    ("a couple of days ago", "2026-03-16"),
    ("two weeks ago", "2026-03-04"),
    ("a fortnight ago", "2026-03-04"),
    ("for 3 days", "2026-03-15"),
    ("since 4 days", "2026-03-14"),
    ("5 hours ago", "2026-03-18"),
    ("12 hours ago", "2026-03-17"),
    ("monday", "2026-03-16"),
    ("tues", "2026-03-17"),
    ("thursday", "2026-03-12"),
    ("sun", "2026-03-15"),
    ("last sunday", "2026-03-15"),
    ("last wednesday", "2026-03-11"),
    ("sunday before last", "2026-03-08"),
    ("monday last week", "2026-03-09"),
    ("sat night", "2026-03-14"),
    ("the 14th", "2026-03-14"),
    ("the 18th", "2026-03-18"),
    ("the 28th", "2026-02-28"),
    ("3rd", "2026-03-03"),
    ("march 5", "2026-03-05"),
    ("5 march", "2026-03-05"),
    ("5th of march", "2026-03-05"),
    ("mar 5th", "2026-03-05"),
    ("december 24", "2025-12-24"),
    ("3/4", "2026-03-04"),
    ("12/31", "2025-12-31"),
    ("2/28/26", "2026-02-28"),
    ("2026-03-01", "2026-03-01"),
    ("sat 3/14", "2026-03-14"),
    ("1.3.", "2026-03-01"),
]
FUTURE = [
    ("tomorrow", "2026-03-19"),
    ("tmrw", "2026-03-19"),
    ("day after tomorrow", "2026-03-20"),
    ("saturday", "2026-03-21"),
    ("mon", "2026-03-23"),
    ("this friday", "2026-03-20"),
    ("next monday", "2026-03-23"),
    ("next wednesday", "2026-03-25"),
    ("friday next week", "2026-03-27"),
    ("in 3 days", "2026-03-21"),
    ("in two weeks", "2026-04-01"),
    ("the 20th", "2026-03-20"),
    ("the 3rd", "2026-04-03"),
    ("4/10", "2026-04-10"),
    ("april 10", "2026-04-10"),
    ("1/5", "2027-01-05"),
    ("tuesday the 24th", "2026-03-24"),
]
UNCLEAR = [
    ("wed", "past", "ambiguous"),
    ("wednesday", "future", "ambiguous"),
    ("tomorrow", "past", "future"),
    ("3/25/26", "past", "future"),
    ("3/25", "past", "future"),
    ("2/30", "past", "impossible"),
    ("31 feb", "past", "impossible"),
    ("14/3", "past", "impossible"),
    ("the 31st", "past", "impossible"),
    ("a few days ago", "past", "ambiguous"),
    ("the weekend", "past", "ambiguous"),
    ("last week", "past", "ambiguous"),
    ("next friday", "future", "ambiguous"),
    ("about 3 days ago", "past", "ambiguous"),
    ("yesterday", "future", "impossible"),
    ("monday 3/17", "past", "impossible"),
    ("5/3/2019", "past", "implausible"),
    ("1/1/9999", "future", "implausible"),
    ("end of the month", "future", "ambiguous"),
    ("since christmas", "past", None),
]


@pytest.mark.parametrize(("phrase", "expected"), PAST)
def test_what_happened_looks_back(phrase: str, expected: str) -> None:
    found = find(phrase, 0)
    assert found is not None
    assert found[0] == len(phrase)
    assert resolve(found[1], WEDNESDAY, "past", "MDY") == date.fromisoformat(expected)


@pytest.mark.parametrize(("phrase", "expected"), FUTURE)
def test_what_is_planned_looks_forward(phrase: str, expected: str) -> None:
    found = find(phrase, 0)
    assert found is not None
    assert found[0] == len(phrase)
    assert resolve(found[1], WEDNESDAY, "future", "MDY") == date.fromisoformat(expected)


@pytest.mark.parametrize(("phrase", "direction", "why"), UNCLEAR)
def test_what_cannot_be_told_is_asked(phrase: str, direction: str, why: str | None) -> None:
    found = find(phrase, 0)
    if why is None:
        assert found is None
        return
    assert found is not None
    day = resolve(found[1], WEDNESDAY, direction, "MDY")  # type: ignore[arg-type]
    assert isinstance(day, DayTrouble)
    assert day.why == why


@pytest.mark.parametrize(
    "phrase", ["4 may hold", "may", "mar", "12", "4", "second", "march of the fish", "now 3 females", "sold 3"]
)
def test_other_words_are_no_days(phrase: str) -> None:
    assert find(phrase, 0) is None


def test_the_clubs_date_order_decides() -> None:
    found = find("3/4", 0)
    assert found is not None
    assert resolve(found[1], datetime.fromisoformat("2026-06-01T09:00"), "past", "DMY") == date(2026, 4, 3)
    assert resolve(found[1], datetime.fromisoformat("2026-06-01T09:00"), "past", "MDY") == date(2026, 3, 4)


@pytest.mark.parametrize(
    ("night", "expected"),
    [
        (datetime.fromisoformat("2026-03-29T03:30"), date(2026, 3, 28)),
        (datetime.fromisoformat("2026-10-25T02:30"), date(2026, 10, 24)),
    ],
)
def test_days_are_counted_on_the_calendar_on_both_nights_when_the_clocks_change(night: datetime, expected: date) -> None:
    """The European Union changes its clocks on the last Sundays of March and October (Directive 2000/84/EC)."""
    found = find("yesterday", 0)
    assert found is not None
    assert resolve(found[1], night, "past", "DMY") == expected
