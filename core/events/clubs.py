"""The club's own stream: its choices, the wanted list, announcements."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from core.events.base import BatchId, Event, PersonId, Sex, StrainKey


@dataclass(frozen=True, slots=True)
class ClubSetting(Event):
    """A choice of the club: promise_level, currency, date_order, units, shelf_public, answer_hours."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Wanted(Event):
    """A member looks for fish; kept in order until met, dropped or past its day."""

    wish: int
    member: PersonId
    strain: StrainKey
    count: int
    sex: Sex | None = None
    by_day: date | None = None
    min_mm: float | None = None


@dataclass(frozen=True, slots=True)
class WishOffered(Event):
    """The wish was offered fish of a batch of a fishroom, to be answered before `until`; then the next is asked."""

    wish: int
    room: str
    batch: BatchId
    count: int
    until: datetime


@dataclass(frozen=True, slots=True)
class WishAnswered(Event):
    """Taken ("met", by `reservation`), passed ("passed": stays on the list), or dropped."""

    wish: int
    answer: Literal["met", "passed", "dropped"]
    reservation: int | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Announced(Event):
    """Something posted to the club's group; `text` is a key of the side table."""

    text: str
