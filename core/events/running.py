"""Running a fishroom: habits, absences, what was said of tasks, free days, the keeper's choices."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import Literal

from core.events.base import Event, PersonId, PlaceName


@dataclass(frozen=True, slots=True)
class Habit(Event):
    """A task that comes round every so many days at a place (None: wherever it applies)."""

    task: Literal["water_test", "water_change", "measure", "count"]
    every_days: int
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Away(Event):
    """The keeper is away from `from_day` up to and including `to_day`; the sitter gets the digest meanwhile."""

    from_day: date
    to_day: date
    sitter: PersonId | None = None


@dataclass(frozen=True, slots=True)
class TaskDone(Event):
    """A care task, by its key, was done."""

    task: str


@dataclass(frozen=True, slots=True)
class TaskLater(Event):
    """A care task is put off until a day."""

    task: str
    until: date


@dataclass(frozen=True, slots=True)
class TaskDropped(Event):
    """Never again for this one."""

    task: str


@dataclass(frozen=True, slots=True)
class FreeDays(Event):
    """Weekdays (0 Monday … 6 Sunday) and hours when the keeper can catch and hand over."""

    weekdays: tuple[int, ...]
    from_time: time | None = None
    to_time: time | None = None


@dataclass(frozen=True, slots=True)
class FishroomSetting(Event):
    """A choice of the keeper: confirm_by_hand, hold_days, buyer_limit, kit_unit, fasting_days, catch_days."""

    name: str
    value: str
