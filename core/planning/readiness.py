"""When a buyer can fetch what is reserved: whether the fish are long enough yet, and the next days on which the keeper hands over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.fishroom.state import Fishroom, Reservation
from core.planning.outlook import ready_days
from core.planning.pickups import days_that_suit
from core.planning.promises import Now, how_it_stands

LONG_ENOUGH = 0.5
"""Fish are ready when at least half of the batch is long enough: the keeper nets the larger ones."""


@dataclass(frozen=True, slots=True)
class Readiness:
    """Fish of a reservation, as they will be."""

    mm: float
    """The length meant: the one asked for, else that at which its species is sold."""
    ready: bool
    """Whether they can be fetched now, as far as their length and the offer go."""
    from_day: date | None
    """Otherwise the day from which they likely can; None: not in sight."""
    days: tuple[date, ...]
    """The next days on which a pickup would do, where the keeper does not hand over on any day."""


def readiness(room: Fishroom, one: Reservation, now: Now) -> Readiness | None:
    """When the reservation's fish can be fetched; None where its batch is no longer in the book."""
    batch = room.batches.get(one.batch)
    if batch is None or not batch.count:
        return None
    mm = one.min_mm or how_it_stands(room, batch, now).prospect.saleable_mm
    long = ready_days(room, batch, now.today, mm)
    begins = batch.offer.from_day if batch.offer and batch.offer.from_day else now.today
    ready = long.share_now >= LONG_ENOUGH and begins <= now.today
    half = long.half.likely
    first = now.today if ready else max(half, begins) if half is not None else None
    return Readiness(mm, ready, None if ready else first, _days(room, one, first, now.today) if first is not None else ())


def _days(room: Fishroom, one: Reservation, first: date, today: date) -> tuple[date, ...]:
    start = max(first, today)
    days = days_that_suit(room, one.batch, start, today)
    return () if days == tuple(start + timedelta(days=after) for after in range(len(days))) else days
