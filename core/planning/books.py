"""The fishroom's books: what came in and went out by season, the journal of a batch, and everything owned as tables.

A season is a calendar year. Money is what was told: the price of a sale, the price each at the time of collecting. Fish that
went to somebody without a price were given away. Deposits are noted beside the income, never added to it: who returns them or
takes them off the price is between keeper and buyer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from core.events import BatchId
from core.fishroom.state import Batch, Change, Fishroom, Reservation

RAISED = {"stripped", "released", "bought"}
LOST = {"died", "unexplained", "assigned_death"}
PASSED_ON = {"sold", "collected"}


@dataclass(frozen=True, slots=True)
class SeasonBooks:
    """One season (year) of a fishroom, of one strain or of all."""

    season: int
    raised: int = 0
    """Stripped, released or bought in."""
    found: int = 0
    """More than the book had, at counts."""
    lost: int = 0
    """Died or not found at counts."""
    culled: int = 0
    sold: int = 0
    """Fish that went for a price."""
    given_away: int = 0
    bred_on: int = 0
    """Became breeders here."""
    income: Decimal = Decimal(0)
    deposits: Decimal = Decimal(0)
    """Noted for reservations made in the season, whatever became of them."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a batch's journal; `left` is the book after it where it changes or asserts a number."""

    on: date
    what: str
    """A change's kind, or "counted", "measured", "sexed", "moved"."""
    count: int | None = None
    left: int | None = None
    change: Change | None = None
    detail: tuple[str, ...] = ()
    """Plain particulars: a place, lengths, numbers by sex."""


def books(room: Fishroom, strain: str | None = None) -> tuple[SeasonBooks, ...]:
    """The fishroom's seasons, the latest first."""
    batches = [batch for batch in room.batches.values() if strain in (None, batch.strain)]
    changes = [change for batch in batches for change in batch.changes]
    reserved = [r for r in room.reservations.values() if r.deposit and r.batch in {batch.id for batch in batches}]
    seasons = {change.on.year for change in changes} | {one.made.year for one in reserved}
    return tuple(_season(season, changes, reserved) for season in sorted(seasons, reverse=True))


def _season(season: int, changes: Iterable[Change], reserved: Iterable[Reservation]) -> SeasonBooks:
    mine = [change for change in changes if change.on.year == season]
    passed_on = [change for change in mine if change.kind in PASSED_ON]
    return SeasonBooks(
        season=season,
        raised=_sum(change for change in mine if change.kind in RAISED),
        found=_sum(change for change in mine if change.kind == "found"),
        lost=-_sum(change for change in mine if change.kind in LOST),
        culled=-_sum(change for change in mine if change.kind == "culled"),
        sold=-_sum(change for change in passed_on if change.price),
        given_away=-_sum(change for change in passed_on if not change.price),
        bred_on=-_sum(change for change in mine if change.kind == "bred_on"),
        income=sum((change.price for change in passed_on if change.price), Decimal(0)),
        deposits=sum((one.deposit for one in reserved if one.made.year == season), Decimal(0)),
    )


def _sum(changes: Iterable[Change]) -> int:
    return sum(change.count for change in changes)


def held_back_now(room: Fishroom) -> int:
    """Fish kept as future breeders in all living batches."""
    return sum(batch.held_back_count for batch in room.live_batches())


def batch_journal(room: Fishroom, batch: BatchId) -> tuple[Line, ...]:
    """A batch from its beginning to the last buyer, day by day; of one day the changes stand in the order they were told."""
    found = room.batches[batch]
    lines = [*_changes(found), *_assertions(found), *_moves(found)]
    return tuple(sorted(lines, key=lambda line: (line.on, line.change is None)))


def _changes(batch: Batch) -> list[Line]:
    lines, left = [], 0
    for change in sorted(batch.changes, key=lambda change: (change.on, change.entry)):
        left += change.count
        lines.append(Line(change.on, change.kind, change.count, left, change))
    return lines


def _assertions(batch: Batch) -> list[Line]:
    counted = [Line(said.on, "counted", said.count, said.count, detail=(str(said.book),)) for said in batch.counts]
    sexed = [Line(said.on, "sexed", detail=(str(said.males), str(said.females), str(said.unsexed))) for said in batch.sexings]
    measured = [
        Line(seen.on, "measured", len(seen.lengths) or seen.n, detail=(f"{mean:.1f}",))
        for seen in batch.measurements
        if (mean := sum(seen.lengths) / len(seen.lengths) if seen.lengths else seen.mean_mm) is not None
    ]
    return [*counted, *sexed, *measured]


def _moves(batch: Batch) -> list[Line]:
    return [Line(stay.since, "moved", detail=(stay.place,)) for stay in batch.stays[1:] if stay.place is not None]
