"""Calendars, read back by parsers that are not the writer's: vobject for the events, dateutil's tzical for the zones."""

import hashlib
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from io import StringIO
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
import vobject
from dateutil.tz import tzical

from bot.pictures.calendar import OURS, PickupDay, ReadyDay, event_id, pickup_calendar, ready_calendar, span
from bot.pictures.zones import clock_changes

SAID = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
PICKUP = PickupDay("club:gravel", 14, "Fetch 5 yellow labs", date(2026, 4, 18), "Europe/Berlin", SAID, time(16, 30))
ZONES = (
    "Europe/Berlin", "America/New_York", "Asia/Kolkata", "Australia/Lord_Howe", "Pacific/Apia", "America/Sao_Paulo",
    "Europe/Dublin", "Africa/Cairo", "Africa/Casablanca", "Asia/Jerusalem", "America/Santiago", "UTC",
)  # fmt: skip


def read(ics: bytes) -> Any:
    return vobject.readOne(ics.decode())


def zone_in(ics: bytes, key: str) -> tzinfo:
    """The zone as the file itself describes it."""
    zone = tzical(StringIO(ics.decode().replace("\r\n ", ""))).get(key)
    assert zone is not None
    return zone


def zone_written(key: str, day: date, last: date | None = None) -> tzinfo:
    """The zone of a file with pickups on a day (and on a last one)."""
    days = [replace(PICKUP, zone=key, day=on) for on in (day, last or day)]
    return zone_in(pickup_calendar(days, "Gravel Lane"), key)


def moment(zone: tzinfo, *wall: int) -> datetime:
    return datetime(*wall, tzinfo=zone).astimezone(UTC)  # type: ignore[misc, arg-type]


def test_summer_time_begins_and_ends_in_the_european_union_at_one_utc() -> None:
    # Directive 2000/84/EC, articles 2 and 3: the last Sundays of March and October, 1 a.m. Greenwich Mean Time
    berlin = zone_written("Europe/Berlin", date(2026, 3, 29))
    assert moment(berlin, 2026, 3, 29, 1, 59) == datetime(2026, 3, 29, 0, 59, tzinfo=UTC)
    assert moment(berlin, 2026, 3, 29, 3, 0) == datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
    assert moment(berlin, 2026, 10, 25, 1, 59) == datetime(2026, 10, 24, 23, 59, tzinfo=UTC)
    assert moment(berlin, 2026, 10, 25, 3, 0) == datetime(2026, 10, 25, 2, 0, tzinfo=UTC)
    dublin = zone_written("Europe/Dublin", date(2026, 3, 29))
    assert moment(dublin, 2026, 3, 29, 0, 59) == datetime(2026, 3, 29, 0, 59, tzinfo=UTC)
    assert moment(dublin, 2026, 3, 29, 2, 0) == datetime(2026, 3, 29, 1, 0, tzinfo=UTC)


def test_daylight_time_in_the_united_states_runs_from_march_to_november() -> None:
    # 15 U.S.C. 260a: 2 a.m. on the second Sunday of March to 2 a.m. on the first Sunday of November
    new_york = zone_written("America/New_York", date(2026, 3, 8))
    assert moment(new_york, 2026, 3, 8, 1, 59) == datetime(2026, 3, 8, 6, 59, tzinfo=UTC)
    assert moment(new_york, 2026, 3, 8, 3, 0) == datetime(2026, 3, 8, 7, 0, tzinfo=UTC)
    assert moment(new_york, 2026, 11, 1, 0, 59) == datetime(2026, 11, 1, 4, 59, tzinfo=UTC)
    assert moment(new_york, 2026, 11, 1, 2, 0) == datetime(2026, 11, 1, 7, 0, tzinfo=UTC)


def test_half_hours_and_places_without_summer_time() -> None:
    # India: UTC+5:30 all year. Lord Howe: UTC+10:30, and +11 in its summer (half an hour more) from the first Sunday of October
    # to the first Sunday of April. Samoa: no summer time since 2021, UTC+13. Brazil: none since 2019, UTC-3 (notes in the files
    # of the tz database)
    assert moment(zone_written("Asia/Kolkata", date(2026, 6, 1)), 2026, 6, 1, 12, 0) == datetime(2026, 6, 1, 6, 30, tzinfo=UTC)
    lord_howe = zone_written("Australia/Lord_Howe", date(2026, 6, 1))
    assert moment(lord_howe, 2026, 6, 1, 12, 0) == datetime(2026, 6, 1, 1, 30, tzinfo=UTC)
    assert moment(lord_howe, 2026, 10, 4, 12, 0) == datetime(2026, 10, 4, 1, 0, tzinfo=UTC)
    assert moment(zone_written("Pacific/Apia", date(2026, 1, 2)), 2026, 1, 2, 13, 0) == datetime(2026, 1, 2, 0, 0, tzinfo=UTC)
    assert moment(zone_written("America/Sao_Paulo", date(2026, 1, 2)), 2026, 1, 2, 9, 0) == datetime(
        2026, 1, 2, 12, 0, tzinfo=UTC
    )


def test_samoa_skipped_a_day() -> None:
    # 30 December 2011 did not happen there: at the end of the 29th the clocks went from UTC-10 to UTC+14 (notes in the files of
    # the tz database)
    apia = zone_written("Pacific/Apia", date(2011, 12, 29), date(2011, 12, 31))
    assert moment(apia, 2011, 12, 29, 12, 0) == datetime(2011, 12, 29, 22, 0, tzinfo=UTC)
    assert moment(apia, 2011, 12, 31, 12, 0) == datetime(2011, 12, 30, 22, 0, tzinfo=UTC)


@pytest.mark.parametrize("key", ZONES)
@pytest.mark.parametrize("year", [2018, 2026])
def test_every_instant_of_two_years_agrees_with_the_tz_database(key: str, year: int) -> None:
    written, known = zone_written(key, date(year, 1, 1), date(year + 1, 12, 31)), ZoneInfo(key)
    noons = [datetime.combine(date(year, 1, 1) + timedelta(days=5 * n), time(12)) for n in range(146)]
    start = datetime(year, 1, 1, tzinfo=UTC)
    beside = [
        change.wall + timedelta(hours=hours, minutes=1)
        for change in clock_changes(known, start, start + timedelta(days=730))
        for hours in (-25, -2, 2, 25)
    ]
    for wall in (*noons, *beside):
        assert written.utcoffset(wall) == known.utcoffset(wall), wall


@pytest.mark.parametrize("key", ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "America/Santiago"])
def test_a_yearly_rule_goes_on_after_the_last_event(key: str) -> None:
    written, known = zone_written(key, date(2026, 4, 18)), ZoneInfo(key)
    for days in range(0, 3650, 9):
        wall = datetime.combine(date(2026, 1, 1) + timedelta(days=days), time(12))
        assert written.utcoffset(wall) == known.utcoffset(wall), wall


@pytest.mark.parametrize("key", ZONES)
@pytest.mark.parametrize("day", [date(2026, 3, 29), date(2026, 10, 25), date(2026, 7, 1)])
def test_a_pickup_is_read_at_the_moment_it_was_meant(key: str, day: date) -> None:
    pickup = replace(PICKUP, zone=key, day=day)
    ics = pickup_calendar([pickup], "Gravel Lane")
    begin = next(line for line in ics.decode().split("\r\n") if line.startswith("DTSTART") and day.strftime("%Y%m%d") in line)
    wall = datetime.strptime(begin.rpartition(":")[2].rstrip("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007 - the file's wall time
    expected = datetime.combine(day, time(16, 30), ZoneInfo(key)).astimezone(UTC)
    assert wall.replace(tzinfo=zone_in(ics, key)).astimezone(UTC) == expected


def test_a_changed_pickup_keeps_its_name_and_counts_its_changes() -> None:
    first = read(pickup_calendar([PICKUP], "Gravel Lane")).vevent
    second = read(
        pickup_calendar([replace(PICKUP, at=time(18), sequence=1, changed=SAID + timedelta(days=1))], "Gravel Lane")
    ).vevent
    assert first.uid.value == second.uid.value
    assert (first.sequence.value, second.sequence.value) == ("0", "1")
    assert second.dtstart.value.hour == 18
    assert second.dtstamp.value == SAID + timedelta(days=1)


def test_a_name_of_a_pickup_never_changes_between_versions_of_ours() -> None:
    # RFC 9562 5.5: SHA-1 of the namespace and the name, worked out here with hashlib
    digest = bytearray(hashlib.sha1(OURS.bytes + b"pickup\x1fclub:gravel\x1f14").digest()[:16])
    digest[6] = digest[6] & 0x0F | 0x50
    digest[8] = digest[8] & 0x3F | 0x80
    assert str(OURS) == "8c6f2b0e-5d0b-4a53-9d43-0f4f6a7c21ae"  # never to be changed
    assert event_id("pickup", "club:gravel", "14") == f"{UUID(bytes=bytes(digest))}@frywire"


def test_clubs_do_not_share_names_of_pickups() -> None:
    assert event_id("pickup", "club:a", "1") != event_id("pickup", "club:b", "1")
    assert event_id("pickup", "club:a1", "1") != event_id("pickup", "club:a", "11")


def test_a_cancelled_pickup_takes_itself_out() -> None:
    calendar = read(pickup_calendar([replace(PICKUP, cancelled=True, sequence=2)], "Gravel Lane"))
    assert calendar.method.value == "CANCEL"
    assert calendar.vevent.status.value == "CANCELLED"
    assert "valarm" not in calendar.vevent.contents


def test_one_of_two_cancelled_leaves_the_other_standing() -> None:
    calendar = read(pickup_calendar([PICKUP, replace(PICKUP, reservation=15, cancelled=True)], "Gravel Lane"))
    assert calendar.method.value == "PUBLISH"
    assert [event.status.value for event in calendar.vevent_list] == ["CONFIRMED", "CANCELLED"]


@pytest.mark.parametrize("at", [time(10, 0), time(16, 30), None])
@pytest.mark.parametrize("day", [date(2026, 4, 18), date(2026, 3, 29), date(2026, 10, 25)])
def test_the_reminder_comes_at_six_the_evening_before_even_when_the_clocks_change(day: date, at: time | None) -> None:
    pickup = replace(PICKUP, day=day, at=at)
    trigger = read(pickup_calendar([pickup], "Gravel Lane")).vevent.valarm.trigger.value
    berlin = ZoneInfo("Europe/Berlin")
    begin, _ = span(pickup)
    if at is None:
        assert trigger == timedelta(hours=-6)
    else:
        assert isinstance(begin, datetime)
        rings = (begin.astimezone(UTC) + trigger).astimezone(berlin)
        assert (rings.date(), rings.time()) == (day - timedelta(days=1), time(18))


def test_a_pickup_without_a_time_takes_the_day() -> None:
    event = read(pickup_calendar([replace(PICKUP, at=None)], "Gravel Lane")).vevent
    assert (event.dtstart.value, event.dtend.value) == (date(2026, 4, 18), date(2026, 4, 19))
    assert b"VTIMEZONE" not in pickup_calendar([replace(PICKUP, at=None)], "Gravel Lane")


def test_what_members_wrote_comes_back_as_they_wrote_it() -> None:
    title = 'Fetch 5; "yellow", labs \\ Zoë名'
    notes = "Bring:\n- a box\n- " + "ø" * 200
    calendar = read(
        pickup_calendar([replace(PICKUP, title=title, notes=notes, where="Søndre gate 3, 2. etg.")], 'Gravel "Lane"\nClub')
    )
    assert calendar.vevent.summary.value == title
    assert calendar.vevent.description.value == notes
    assert calendar.vevent.location.value == "Søndre gate 3, 2. etg."


def test_nothing_a_member_writes_can_add_a_line_of_its_own() -> None:
    ics = pickup_calendar(
        [replace(PICKUP, title="x\r\nATTACH:file:///etc/passwd\x07\x00", notes="\rBEGIN:VALARM")], "G\r\nX-EVIL:1"
    )
    lines = ics.decode().split("\r\n")
    assert not [line for line in lines if line.startswith(("ATTACH", "X-EVIL"))]
    assert sum(line == "BEGIN:VALARM" for line in lines) == 1
    assert not {"\x07", "\x00"} & set(ics.decode())


def test_lines_end_and_fold_as_the_standard_says() -> None:
    # RFC 5545, 3.1: CRLF, and no line longer than 75 octets
    ics = pickup_calendar([replace(PICKUP, notes="ø" * 500)], "Gravel Lane")
    assert ics.endswith(b"END:VCALENDAR\r\n")
    lines = ics.split(b"\r\n")
    assert all(b"\n" not in line and len(line) <= 75 for line in lines)
    for line in lines:
        line.decode()  # no letter is cut in two


def test_the_feed_of_ready_days_is_of_whole_days_that_block_nobody() -> None:
    ready = ReadyDay("fishroom:marit", "C", "Yellow labs C ready: about 21 at 5 cm", date(2026, 5, 31), SAID)
    calendar = read(ready_calendar([ready, replace(ready, batch="D")], "Gravel Lane, ready days"))
    first, second = calendar.vevent_list
    assert (first.dtstart.value, first.dtend.value) == (date(2026, 5, 31), date(2026, 6, 1))
    assert first.transp.value == "TRANSPARENT"
    assert first.uid.value != second.uid.value
    assert calendar.contents["x-wr-calname"][0].value == "Gravel Lane, ready days"
