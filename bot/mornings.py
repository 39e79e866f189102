"""When a member's morning is, and when it is night: local wall times turned into moments, summer time and all.

A wall time that the clocks skip is taken at the first valid minute after the gap; one that they pass twice counts only the first
time; a calendar day that a zone leaves out has no morning. All moments are aware and in UTC, all spans half-open.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

MORNING = time(7)
"""When a digest comes that nobody set another time for."""
NIGHT = (time(22), time(6))
"""The quiet hours of somebody who set none."""
_DAY = timedelta(days=1)


def night_of(start: time | None, end: time | None) -> tuple[time, time]:
    """The quiet hours that somebody set, else the usual night. Equal times: none."""
    return start or NIGHT[0], end or NIGHT[1]


def moment_of(zone: ZoneInfo, day: date, local_time: time) -> datetime | None:
    """The moment (UTC) at which clocks in `zone` first show `local_time` on `day`.

    In a gap it is the first valid minute after it; on a day that the zone leaves out altogether it is None.
    """
    if _first_showing(zone, datetime.combine(day, time.min)).astimezone(zone).date() != day:
        return None
    return _first_showing(zone, datetime.combine(day, local_time.replace(tzinfo=None)))


def day_of_hour(zone: ZoneInfo, local_time: time, now: datetime, late: timedelta) -> date | None:
    """The local day on which it is `local_time` at `now` (aware), or was at most `late` ago; else None."""
    today = now.astimezone(zone).date()
    due = moment_of(zone, today, local_time)
    return today if due is not None and due <= now <= due + late else None


def next_morning(zone: ZoneInfo, local_time: time, after: datetime) -> datetime:
    """The next moment (UTC) strictly later than `after` (aware) that is somebody's morning at `local_time` in `zone`."""
    return next(moment for moment in _mornings(zone, local_time, after) if moment > after)


def latest_morning(zone: ZoneInfo, local_time: time, until: datetime) -> datetime:
    """The latest morning (UTC) at or before `until` (aware): the one that is owed after an outage."""
    day = until.astimezone(zone).date() + _DAY
    while True:
        moment = moment_of(zone, day, local_time)
        if moment is not None and moment <= until:
            return moment
        day -= _DAY


def end_of_quiet(zone: ZoneInfo, start: time, end: time, moment: datetime) -> datetime:
    """When something that came up at `moment` (aware) may be said (UTC): at once, or when the quiet hours around it are over."""
    span = _quiet_span(zone, start, end, moment)
    return moment.astimezone(UTC) if span is None else span[1]


def _mornings(zone: ZoneInfo, local_time: time, around: datetime) -> Iterator[datetime]:
    day = around.astimezone(zone).date() - _DAY
    while True:
        moment = moment_of(zone, day, local_time)
        if moment is not None:
            yield moment
        day += _DAY


def _quiet_span(zone: ZoneInfo, start: time, end: time, moment: datetime) -> tuple[datetime, datetime] | None:
    """The quiet hours that hold `moment`. They begin on the local day itself or, past midnight, on the day before."""
    if start == end:
        return None
    today = moment.astimezone(zone).date()
    for day in (today - _DAY, today):
        begins = moment_of(zone, day, start)
        if begins is None:
            continue
        ends = moment_of(zone, day, end) if start < end else next_morning(zone, end, begins)
        if ends is not None and begins <= moment < ends:
            return begins, ends
    return None


def _first_showing(zone: ZoneInfo, wall: datetime) -> datetime:
    """The first moment (UTC) at which clocks in `zone` show `wall` (naive) or, where they skip it, the first that is later.

    PEP 495: fold=0 reads a skipped time with the offset from before the gap and fold=1 with the one after it, so that the change
    lies between the two readings.
    """
    earlier = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if _shown(zone, earlier) == wall:
        return earlier
    low, high = wall.replace(tzinfo=zone, fold=1).astimezone(UTC), earlier
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) // 2
        middle = middle.replace(microsecond=0)
        low, high = (low, middle) if _shown(zone, middle) >= wall else (middle, high)
    return high


def _shown(zone: ZoneInfo, moment: datetime) -> datetime:
    return moment.astimezone(zone).replace(tzinfo=None, fold=0)
