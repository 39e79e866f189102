"""The journal's envelope: what is taken back, where an entry came from, and the entry itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from core.events.base import Event, PersonId, StreamId


@dataclass(frozen=True, slots=True)
class Voided(Event):
    """The entry with this number of the same stream counts as never said. Voiding a `Voided` restores what it took back."""

    target: int


@dataclass(frozen=True, slots=True)
class Source:
    """Which message an entry came from: front door and chat, the platform's message id, and the revision (0, then edits)."""

    door: str
    message: str
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a stream's journal.

    `on` and `at` are the local day and time of day when it happened; `told` the moment (UTC) it was told. `order` places it among
    entries of one day: usually its own number, but an edited message keeps the order of the entry it replaces.
    """

    stream: StreamId
    number: int
    event: Event
    on: date
    told: datetime
    by: PersonId
    at: time | None = None
    source: Source | None = None
    order: int = 0
