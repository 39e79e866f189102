"""Mornings come once a day, whatever the clocks do.

Dates of the changes: European Union Directive 2000/84/EC (last Sunday of March and October, 01:00 UTC); United States Energy
Policy Act of 2005, sec. 110 (second Sunday of March, first Sunday of November, 02:00 local); IANA time zone database, files asia
(Kolkata +05:30 all year) and `australasia` (Lord Howe +10:30/+11, Apia leaving out Friday 30 December 2011).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.mornings import end_of_quiet, latest_morning, moment_of, next_morning

BERLIN = ZoneInfo("Europe/Berlin")
NEW_YORK = ZoneInfo("America/New_York")
KOLKATA = ZoneInfo("Asia/Kolkata")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
APIA = ZoneInfo("Pacific/Apia")


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def quiet_at(zone: ZoneInfo, start: time, end: time, moment: datetime) -> bool:
    """Whether what comes up then has to wait."""
    return end_of_quiet(zone, start, end, moment) > moment


@pytest.mark.parametrize(
    ("zone", "wall", "after", "expected"),
    [
        # Plain days on both sides of the changes: the wall time stays, the moment moves.
        (BERLIN, "07:00", "2026-03-28T12:00", "2026-03-29T05:00"),
        (BERLIN, "07:00", "2026-03-27T12:00", "2026-03-28T06:00"),
        (BERLIN, "07:00", "2026-10-24T12:00", "2026-10-25T06:00"),
        (NEW_YORK, "06:30", "2026-03-07T20:00", "2026-03-08T10:30"),
        (NEW_YORK, "06:30", "2026-10-31T20:00", "2026-11-01T11:30"),
        # 02:30 is skipped: 03:00 summer time is the first valid minute.
        (BERLIN, "02:30", "2026-03-28T12:00", "2026-03-29T01:00"),
        (NEW_YORK, "02:30", "2026-03-07T20:00", "2026-03-08T07:00"),
        # 02:30 (01:30 in New York) comes twice: only the first counts.
        (BERLIN, "02:30", "2026-10-24T12:00", "2026-10-25T00:30"),
        (BERLIN, "02:30", "2026-10-25T00:30", "2026-10-26T01:30"),
        (NEW_YORK, "01:30", "2026-11-01T05:30", "2026-11-02T06:30"),
        # A half-hour zone.
        (KOLKATA, "06:30", "2026-06-01T01:00", "2026-06-02T01:00"),
        (KOLKATA, "06:30", "2026-06-01T00:59", "2026-06-01T01:00"),
        # Half an hour of summer time: 4 October 2026 02:00 (+10:30) -> 02:30 (+11); back on 5 April 2026 02:00 (+11) -> 01:30.
        (LORD_HOWE, "02:15", "2026-10-03T00:00", "2026-10-03T15:30"),
        (LORD_HOWE, "07:00", "2026-10-03T00:00", "2026-10-03T20:00"),
        (LORD_HOWE, "01:45", "2026-04-04T14:45", "2026-04-05T15:15"),
        # 29 December 2011 (-10) was followed by 31 December (+14): no morning in between.
        (APIA, "07:00", "2011-12-29T17:00", "2011-12-30T17:00"),
        (APIA, "07:00", "2011-12-29T16:59", "2011-12-29T17:00"),
    ],
)
def test_the_next_morning_is_where_the_zone_puts_it(zone: ZoneInfo, wall: str, after: str, expected: str) -> None:
    assert next_morning(zone, time.fromisoformat(wall), utc(after)) == utc(expected)


def test_a_day_that_never_was_has_no_morning() -> None:
    assert moment_of(APIA, date(2011, 12, 30), time(7)) is None
    assert moment_of(APIA, date(2011, 12, 31), time(0)) == utc("2011-12-30T10:00")


@pytest.mark.parametrize("zone", [BERLIN, NEW_YORK, KOLKATA, LORD_HOWE])
@settings(max_examples=15, deadline=None)
@given(minute=st.integers(0, 1439), year=st.integers(2020, 2032))
def test_a_year_has_one_morning_for_every_day(zone: ZoneInfo, minute: int, year: int) -> None:
    wall = time(minute // 60, minute % 60)
    days = [date(year, month, 1) + timedelta(days=n) for month in (3, 4, 10, 11) for n in range(30)]
    mornings = [moment_of(zone, day, wall) for day in days]
    assert None not in mornings
    assert [moment.astimezone(zone).date() for moment in mornings if moment] == days
    for day, moment in zip(days, mornings, strict=True):
        assert moment is not None
        assert next_morning(zone, wall, moment - timedelta(seconds=1)) == moment
        assert latest_morning(zone, wall, moment) == moment
        shown = moment.astimezone(zone).time()
        assert shown == wall or (shown.replace(tzinfo=None) > wall and moment.astimezone(zone).fold == 0), day


@pytest.mark.parametrize(
    ("moment", "quiet", "until"),
    [
        ("2026-06-01T20:30", True, "2026-06-02T05:00"),  # 22:30 in Berlin
        ("2026-06-02T04:59", True, "2026-06-02T05:00"),
        ("2026-06-02T05:00", False, "2026-06-02T05:00"),  # the end belongs to the day
        ("2026-06-02T19:59", False, "2026-06-02T19:59"),
        ("2026-06-02T20:00", True, "2026-06-03T05:00"),  # the start belongs to the night
        ("2026-03-28T23:30", True, "2026-03-29T05:00"),  # the short night
        ("2026-10-24T23:30", True, "2026-10-25T06:00"),  # the long night
    ],
)
def test_an_alert_in_the_night_waits_for_its_end(moment: str, quiet: bool, until: str) -> None:
    assert quiet_at(BERLIN, time(22), time(7), utc(moment)) is quiet
    assert end_of_quiet(BERLIN, time(22), time(7), utc(moment)) == utc(until)


def test_quiet_hours_that_end_in_the_doubled_hour_end_the_first_time() -> None:
    assert quiet_at(BERLIN, time(22), time(2, 30), utc("2026-10-25T00:15"))
    assert not quiet_at(BERLIN, time(22), time(2, 30), utc("2026-10-25T01:15"))


def test_quiet_hours_within_a_day_and_none_at_all() -> None:
    assert quiet_at(KOLKATA, time(13), time(15), utc("2026-06-01T08:00"))
    assert not quiet_at(KOLKATA, time(13), time(15), utc("2026-06-01T09:30"))
    assert not quiet_at(BERLIN, time(7), time(7), utc("2026-06-01T05:00"))
    assert end_of_quiet(BERLIN, time(7), time(7), utc("2026-06-01T05:00")) == utc("2026-06-01T05:00")


def test_the_morning_owed_after_an_outage_is_the_latest_one() -> None:
    assert latest_morning(BERLIN, time(7), utc("2026-06-03T04:59")) == utc("2026-06-02T05:00")
    assert latest_morning(BERLIN, time(7), utc("2026-06-03T05:00")) == utc("2026-06-03T05:00")
