"""Batches and who moves where: counts, losses, sizes, sexes, what is split, merged, kept and given."""

from __future__ import annotations

from dataclasses import dataclass

from core.events.base import BatchId, Event, FishId, PersonId, PlaceName, Sex


@dataclass(frozen=True, slots=True)
class Moved(Event):
    """A fish, or a batch or part of it, goes to another place."""

    to: PlaceName
    fish: FishId | None = None
    batch: BatchId | None = None
    count: int | None = None
    sex: Sex | None = None
    from_place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Counted(Event):
    """The batch was counted: an assertion, so a difference from the book becomes a dated "unexplained" change."""

    batch: BatchId
    count: int
    approx: bool = False


@dataclass(frozen=True, slots=True)
class Died(Event):
    """Deaths: of a known fish, in a batch, or found in a place that holds several batches (then unassigned until a count)."""

    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None
    count: int = 1
    approx: bool = False
    after_count: bool | None = None
    """For a day that also has a count: whether the loss came after that count (None: told in order)."""


@dataclass(frozen=True, slots=True)
class Measured(Event):
    """Lengths of some fish of a batch, in mm; or their mean with the number measured."""

    batch: BatchId
    lengths: tuple[float, ...] = ()
    mean_mm: float | None = None
    n: int | None = None


@dataclass(frozen=True, slots=True)
class Sexed(Event):
    """What the batch now holds by sex; what is not named stays unsexed."""

    batch: BatchId
    males: int | None = None
    females: int | None = None
    unsexed: int | None = None


@dataclass(frozen=True, slots=True)
class Split(Event):
    """Part of a batch becomes a batch of its own."""

    batch: BatchId
    new: BatchId
    count: int | None = None
    sex: Sex | None = None
    to: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Merged(Event):
    """Batches are put together under the name of one of them. `hybrid` where their strains differ and the keeper said yes."""

    batches: tuple[BatchId, ...]
    into: BatchId
    hybrid: bool = False


@dataclass(frozen=True, slots=True)
class Mixed(Event):
    """Batches share water and can no longer be told apart: one stock from now on, under the name of `into`."""

    batches: tuple[BatchId, ...]
    into: BatchId
    place: PlaceName


@dataclass(frozen=True, slots=True)
class ToldApart(Event):
    """The keeper says that batches sharing a place can be told apart (by size, fins); asked once."""

    batches: tuple[BatchId, ...]
    place: PlaceName


@dataclass(frozen=True, slots=True)
class HeldBack(Event):
    """Some of the batch are kept as future breeders: still in it, but not to be promised."""

    batch: BatchId
    count: int
    sex: Sex | None = None


@dataclass(frozen=True, slots=True)
class Culled(Event):
    """Fish taken out for faults."""

    batch: BatchId
    count: int


@dataclass(frozen=True, slots=True)
class Left(Event):
    """A known fish left the fishroom: sold, given away, retired; `member` received it, `to_room` where they keep a fishroom."""

    fish: FishId
    member: PersonId | None = None
    to_room: str | None = None
