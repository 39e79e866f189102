"""A member's time zone as an iCalendar VTIMEZONE, read off the zone's own changes and checked against them.

The component must name, for each change of the clocks, the wall time *before* it (RFC 5545, 3.6.5: DTSTART is a local time in the
offset that TZOFFSETFROM names). Yearly rules are written as RRULE only where the zone's next three decades follow them to the
day; all other changes stand one by one.
"""

from __future__ import annotations

from calendar import monthrange
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from icalendar import Timezone

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
YEARS_OF_A_RULE = 28
"""The Gregorian calendar repeats its weekdays after 28 years (until 2100): a rule that held so long has met each of its days."""


@dataclass(frozen=True, slots=True)
class ClockChange:
    """One change of the clocks: the moment (UTC), the offsets before and after it, and what the time is called afterwards."""

    moment: datetime
    before: timedelta
    after: timedelta
    name: str

    @property
    def wall(self) -> datetime:
        """What the clocks showed when they were changed (naive)."""
        return (self.moment + self.before).replace(tzinfo=None)


@dataclass(frozen=True, slots=True)
class Observance:
    """Changes of the clocks that belong together: the first of them, and the yearly rule they follow, if any."""

    first: ClockChange
    rule: tuple[tuple[str, Any], ...] = ()


def vtimezone(zone: ZoneInfo, first: date, last: date) -> Timezone:
    """The component for events from `first` to `last` (days in the zone); right for every later year too where rules hold."""
    from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

    component = Timezone()
    component.add("tzid", zone.key)
    for observance in observances(zone, first.year, last.year):
        change = observance.first
        summer = change.after > change.before
        part = TimezoneDaylight() if summer else TimezoneStandard()
        part.add("dtstart", change.wall)
        part.add("tzoffsetfrom", change.before)
        part.add("tzoffsetto", change.after)
        part.add("tzname", change.name)
        if observance.rule:
            part.add("rrule", dict(observance.rule))
        component.add_component(part)
    return component


@lru_cache(maxsize=256)
def observances(zone: ZoneInfo, first_year: int, last_year: int) -> tuple[Observance, ...]:
    """What has to be written for events between the beginning of `first_year` and the end of `last_year`, in order of time."""
    start = datetime(first_year - 1, 1, 1, tzinfo=UTC)
    end = datetime(min(last_year + YEARS_OF_A_RULE + 2, 9998), 1, 1, tzinfo=UTC)
    changes = list(clock_changes(zone, start, end))
    found = _ruled(changes, end.year - 1) or [Observance(change) for change in changes if change.moment.year <= last_year + 1]
    found.sort(key=lambda observance: observance.first.moment)
    if not found or found[0].first.moment.year >= first_year:
        offset, name = _offset(zone, start), start.astimezone(zone).tzname() or zone.key
        found.insert(0, Observance(ClockChange(start, offset, offset, name)))
    return tuple(found)


def clock_changes(zone: ZoneInfo, start: datetime, end: datetime) -> Iterator[ClockChange]:
    """Every change of the zone's offset between two moments (UTC, at least a day apart), to the second."""
    moment, before = start, _offset(zone, start)
    while moment < end:
        later = moment + timedelta(days=1)
        after = _offset(zone, later)
        if after != before:
            changed = _bisect(zone, moment, later)
            yield ClockChange(changed, before, after, changed.astimezone(zone).tzname() or zone.key)
        moment, before = later, after


def _bisect(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    before = _offset(zone, low)
    while high - low > timedelta(seconds=1):
        middle = low + timedelta(seconds=int((high - low).total_seconds()) // 2)
        low, high = (middle, high) if _offset(zone, middle) == before else (low, middle)
    return high


def _offset(zone: ZoneInfo, moment: datetime) -> timedelta:
    offset = moment.astimezone(zone).utcoffset()
    return offset if offset is not None else timedelta()


def _ruled(changes: list[ClockChange], final_year: int) -> list[Observance]:
    """The changes with rules in place of repetitions; nothing where some go on to the end without one.

    A rule for spring alone, and autumns one by one, would leave the clocks in summer for ever after the last autumn written.
    """
    groups: dict[tuple[int, time, timedelta, timedelta], list[ClockChange]] = defaultdict(list)
    for change in changes:
        groups[change.wall.month, change.wall.time(), change.before, change.after].append(change)
    found: list[Observance] = []
    for group in groups.values():
        gathered = list(_gathered(group))
        if not gathered[-1].rule and group[-1].moment.year >= final_year - 1:
            return []
        found += gathered
    return found


def _gathered(group: list[ClockChange]) -> Iterator[Observance]:
    """The longest run of changes up to the end that follow one yearly rule; what comes before (or all) one by one."""
    for number in range(len(group) - YEARS_OF_A_RULE + 1):
        rule = _rule(group[number:])
        if rule:
            yield from (Observance(change) for change in group[:number])
            yield Observance(group[number], rule)
            return
    yield from (Observance(change) for change in group)


def _rule(changes: list[ClockChange]) -> tuple[tuple[str, Any], ...]:
    """The RRULE that gives exactly these changes, or nothing."""
    days = [change.wall.date() for change in changes]
    if [day.year for day in days] != list(range(days[0].year, days[0].year + len(days))):
        return ()
    low, high = min(day.day for day in days), max(day.day for day in days)
    yearly = (("freq", "yearly"), ("bymonth", days[0].month))
    if low == high:
        return (*yearly, ("bymonthday", low))
    if len({day.weekday() for day in days}) > 1 or high - low != 6:
        return ()
    weekday, length = WEEKDAYS[days[0].weekday()], monthrange(2025, days[0].month)[1]
    if high == length:
        return (*yearly, ("byday", f"-1{weekday}"))
    if low % 7 == 1:
        return (*yearly, ("byday", f"{low // 7 + 1}{weekday}"))
    return (*yearly, ("bymonthday", list(range(low, high + 1))), ("byday", weekday))
