"""How big a batch is and when it is ready, how many will be there, and of which sex: what the fishroom's own records say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from core.biology.days import Window
from core.biology.growth import Ahead, Part, Range, mixed_fish_mm, mixed_share_at_least
from core.biology.size import mean_weight_g
from core.events import BatchId
from core.fishroom.state import Batch, Fishroom
from core.planning.batch_growth import Strand, measured_on, strands
from core.planning.temperature import Basis, DayWindow
from core.species import Profile, profile

Purpose = Literal["out_of_box", "sexable", "saleable"]
PURPOSES: tuple[Purpose, ...] = ("out_of_box", "saleable", "sexable")
HALF, MOST = 0.5, 0.9


@dataclass(frozen=True, slots=True)
class ReadyDays:
    """When half, and when nine in ten, of the batch are at least this long."""

    mm: float
    half: DayWindow
    most: DayWindow
    share_now: float
    """Expected share of the batch that is this long today (0–1)."""


@dataclass(frozen=True, slots=True)
class BatchOutlook:
    """A batch as it is expected to be on a day."""

    batch: BatchId
    day: date
    count: int
    age_days: int | None
    """Since spawning, where that is known."""
    fish_mm: Range
    """Length of a fish taken blindly: nine in ten are between low and high."""
    mean_mm: Range
    """Mean length: what is not known of the batch as a whole."""
    mean_g: Range
    """Mean weight in grams."""
    ready: dict[Purpose, ReadyDays]
    measured: date | None
    """Last measured."""
    measurements: int
    temperature_c: float
    """Mean over its life so far, in the largest part's water."""
    basis: Basis
    parts: int
    """Over how many batches and waters the answer is mixed."""


def batch_outlook(room: Fishroom, batch: Batch, day: date) -> BatchOutlook:
    """Size and ready days of a batch as known on `day`."""
    species = profile(room.species_of(batch.strain))
    found = strands(room, batch, day)
    now, ahead = [strand.part(day) for strand in found], [strand.ahead() for strand in found]
    weights = [strand.growth.mean_g(part.warmth) for strand, part in zip(found, now, strict=True)]
    means = [strand.growth.mean_mm(part.warmth) for strand, part in zip(found, now, strict=True)]
    lengths = measured_on(batch, day)
    main = found[0]
    return BatchOutlook(
        batch=batch.id,
        day=day,
        count=batch.count,
        age_days=(day - batch.spawned).days if batch.spawned else None,
        fish_mm=mixed_fish_mm(now),
        mean_mm=_weighted(found, means),
        mean_g=_weighted(found, weights),
        ready={purpose: _ready(ahead, now, size_for(species, purpose)) for purpose in PURPOSES},
        measured=lengths[-1].on if lengths else None,
        measurements=len(lengths),
        temperature_c=main.warmth.mean_c,
        basis=main.warmth.basis,
        parts=len(found),
    )


def ready_days(room: Fishroom, batch: Batch, day: date, mm: float) -> ReadyDays:
    """When half, and when nine in ten, of the batch are at least `mm` long."""
    found = strands(room, batch, day)
    return _ready([strand.ahead() for strand in found], [strand.part(day) for strand in found], mm)


def size_for(species: Profile, purpose: Purpose) -> float:
    """The length in mm at which young of the species are ready for something."""
    sizes = {
        "out_of_box": species.ready_mm.out_of_box,
        "sexable": species.ready_mm.sexable,
        "saleable": species.ready_mm.saleable,
    }
    return sizes[purpose].likely


def weight_g(outlook: BatchOutlook, species: Profile) -> float:
    """The likely mean weight in grams of a fish of the batch."""
    return mean_weight_g(outlook.mean_mm.likely, species.growth.spread.likely, species.length_weight)


def _weighted(found: Sequence[Strand], ranges: Sequence[Range]) -> Range:
    """The parts are slow or fast together, so their bounds are weighted like their middles."""
    pairs = list(zip((strand.share for strand in found), ranges, strict=True))
    return Range(
        sum(share * each.low for share, each in pairs),
        sum(share * each.likely for share, each in pairs),
        sum(share * each.high for share, each in pairs),
    )


def _ready(ahead: Sequence[Ahead], now: Sequence[Part], mm: float) -> ReadyDays:
    """From each part's growth foreseen, and as it is today."""
    shares = [part.share for part in now]
    return ReadyDays(
        mm,
        half=DayWindow.of(_reaches(ahead, shares, mm, HALF)),
        most=DayWindow.of(_reaches(ahead, shares, mm, MOST)),
        share_now=mixed_share_at_least(now, mm),
    )


def _reaches(ahead: Sequence[Ahead], shares: Sequence[float], mm: float, share: float) -> Window:
    """For several parts the days of each are weighted by its share, which is near enough for a plan."""
    windows = [each.reaches(mm, share) for each in ahead]

    def weighted(days: Sequence[float]) -> float:
        return sum(part * when for part, when in zip(shares, days, strict=True))

    return Window(
        weighted([window.earliest for window in windows]),
        weighted([window.likely for window in windows]),
        weighted([window.latest for window in windows]),
    )
