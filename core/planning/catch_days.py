"""On which days to catch the fish that will be fetched: as few days as possible, each fish early enough to fast, not too early.

A hard place (a planted pond, a tub full of stones) is upset by every catch, so the days there are counted. A pickup on day p can
be served by a catch on any day the keeper is free from p - at_most to p - fasting, both included. Fish wait in a holding tank and
fast there; nobody starves the whole tub.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from core.events import BatchId, PlaceName
from core.fishroom.choices import AT_MOST_DAYS, FASTING_DAYS

Free = Callable[[date], bool]
"""Whether the keeper can catch on a day."""


@dataclass(frozen=True, slots=True)
class Fetching:
    """Fish of a batch that somebody fetches from a place on a day."""

    reservation: int
    day: date
    batch: BatchId
    count: int
    place: PlaceName


@dataclass(frozen=True, slots=True)
class CatchDay:
    """A day of catching in one place, and whom it serves."""

    day: date
    place: PlaceName
    fetchings: tuple[Fetching, ...]

    @property
    def count(self) -> int:
        """Fish to catch."""
        return sum(fetching.count for fetching in self.fetchings)


@dataclass(frozen=True, slots=True)
class NotCaught:
    """A pickup that no catch day can serve. too_soon: the last day for it has passed; not_free: the keeper is free on none."""

    fetching: Fetching
    why: Literal["too_soon", "not_free"]


@dataclass(frozen=True, slots=True)
class CatchPlan:
    """The days, in order, and what is impossible."""

    days: tuple[CatchDay, ...]
    impossible: tuple[NotCaught, ...] = ()


def plan_catch_days(
    fetchings: Iterable[Fetching],
    free: Free,
    today: date,
    *,
    at_most: int = AT_MOST_DAYS,
    fasting: int = FASTING_DAYS,
    done: frozenset[tuple[PlaceName, date]] = frozenset(),
) -> CatchPlan:
    """The fewest catch days place by place; `done`: catches that already took place serve whom they can.

    Why the fewest. Only free days matter, so number the free days 0, 1, 2 …: the days that serve a pickup are then a run of
    consecutive numbers, an interval. Take the intervals by their last day; whenever one is not yet served, catch on its last
    day. Each interval that forced a catch begins after all days chosen before it, so these intervals are pairwise disjoint: any
    plan needs a day of its own for each of them, and this one has no more. (Interval stabbing; the standard exchange argument.)
    """
    by_place: dict[PlaceName, list[Fetching]] = {}
    for fetching in fetchings:
        by_place.setdefault(fetching.place, []).append(fetching)
    days: list[CatchDay] = []
    impossible: list[NotCaught] = []
    for place, here in sorted(by_place.items()):
        caught = frozenset(day for where, day in done if where == place)
        waiting = [one for one in here if not _window(one.day, at_most, fasting) & caught]
        possible, not_possible = _sorted_out(waiting, free, today, at_most, fasting)
        days += _stabbed(place, possible)
        impossible += not_possible
    return CatchPlan(tuple(sorted(days, key=lambda one: (one.day, one.place))), tuple(impossible))


def _window(day: date, at_most: int, fasting: int) -> frozenset[date]:
    return frozenset(day - timedelta(days=before) for before in range(fasting, at_most + 1))


def _sorted_out(
    fetchings: Sequence[Fetching], free: Free, today: date, at_most: int, fasting: int
) -> tuple[list[tuple[Fetching, frozenset[date]]], list[NotCaught]]:
    """Each pickup with the days that can serve it, and those that none can."""
    possible: list[tuple[Fetching, frozenset[date]]] = []
    impossible = []
    for fetching in fetchings:
        ahead = {day for day in _window(fetching.day, at_most, fasting) if day >= today}
        days = frozenset(day for day in ahead if free(day))
        if days:
            possible.append((fetching, days))
        else:
            impossible.append(NotCaught(fetching, "not_free" if ahead else "too_soon"))
    return possible, impossible


def _stabbed(place: PlaceName, windows: Sequence[tuple[Fetching, frozenset[date]]]) -> list[CatchDay]:
    chosen: list[tuple[date, list[Fetching]]] = []
    for fetching, days in sorted(windows, key=lambda window: (max(window[1]), window[0].day, window[0].reservation)):
        if chosen and chosen[-1][0] in days:
            chosen[-1][1].append(fetching)
        else:
            chosen.append((max(days), [fetching]))
    return [CatchDay(day, place, tuple(served)) for day, served in chosen]
