"""What is kept in a fishroom's book beside the fish: promises, water, food, notes, habits, absences, problems, as plain
values.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Literal

from core.events import BatchId, FishId, PersonId, PlaceName, Sex

ReservationStatus = Literal["unconfirmed", "confirmed", "collected", "cancelled", "declined", "no_show"]


@dataclass(frozen=True, slots=True)
class Reservation:
    """A promise to a member (or guest). `number` counts through the club; `made` is its place in the row of promises."""

    number: int
    member: PersonId
    batch: BatchId
    count: int
    made: datetime
    status: ReservationStatus
    sex: Sex | None = None
    males: int | None = None
    females: int | None = None
    pickup: date | None = None
    at: time | None = None
    min_mm: float | None = None
    hold_until: datetime | None = None
    proposed: tuple[date, time | None, PersonId] | None = None
    collected: int = 0
    collected_males: int = 0
    collected_females: int = 0
    deposit: Decimal = Decimal(0)
    wish: int | None = None
    sequence: int = 0
    """Rises with every change of the pickup (RFC 5545 SEQUENCE)."""
    closed: date | None = None

    @property
    def left(self) -> int:
        """Fish still to be handed over."""
        return self.count - self.collected

    def open_at(self, moment: datetime) -> bool:
        """Whether it still binds fish at that moment (UTC): confirmed, or held and not lapsed."""
        match self.status:
            case "confirmed":
                return True
            case "unconfirmed":
                return self.hold_until is None or moment < self.hold_until
            case _:
                return False


@dataclass(frozen=True, slots=True)
class WaterTest:
    """One set of readings at a place."""

    on: date
    at: time | None
    ph: float | None = None
    tan_mg_l: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    temp_c: float | None = None
    kh_dkh: float | None = None
    gh_dgh: float | None = None
    kit_unit: Literal["N", "NH3"] | None = None


@dataclass(frozen=True, slots=True)
class WaterChange:
    """One change of water."""

    on: date
    percent: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class Feeding:
    """One feeding."""

    on: date
    at: time | None
    place: PlaceName | None = None
    batch: BatchId | None = None
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A note or a picture; `text` and `photo` are keys (the words and bytes stand elsewhere and may have been blanked)."""

    on: date
    text: str | None
    photo: str | None = None
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class HabitSaid:
    """Every how many days, since when."""

    task: str
    place: PlaceName | None
    every_days: int
    since: date


@dataclass(frozen=True, slots=True)
class Absence:
    """The keeper is away on these days, both included."""

    from_day: date
    to_day: date
    sitter: PersonId | None = None


@dataclass(frozen=True, slots=True)
class TaskMark:
    """What somebody said about a care task."""

    kind: Literal["done", "later", "dropped"]
    on: date
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """An entry that does not fit: its journal number, why (a short key such as "no_such_batch", "not_enough"), and about what."""

    entry: int
    why: str
    about: str
    on: date


@dataclass(frozen=True, slots=True)
class FreeTime:
    """When the keeper can catch and hand over: weekdays (0 Monday), and hours."""

    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    from_time: time | None = None
    to_time: time | None = None
