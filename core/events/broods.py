"""Broods: spawning, holding, and how it ends."""

from __future__ import annotations

from dataclasses import dataclass

from core.events.base import BatchId, BroodId, Event, FishId, PlaceName


@dataclass(frozen=True, slots=True)
class Spawned(Event):
    """A pair was seen spawning; with a female, her brood begins."""

    female: FishId | None = None
    male: FishId | None = None
    brood: BroodId | None = None


@dataclass(frozen=True, slots=True)
class Holding(Event):
    """The female carries eggs or fry since the day of the entry (or was first seen to)."""

    female: FishId
    brood: BroodId
    male: FishId | None = None


@dataclass(frozen=True, slots=True)
class StillHolding(Event):
    """She was looked at and still carries; her start day stays."""

    female: FishId


@dataclass(frozen=True, slots=True)
class BroodLost(Event):
    """She swallowed, spat or lost the brood."""

    female: FishId


@dataclass(frozen=True, slots=True)
class Released(Event):
    """She let the fry go herself. With a count they become `batch`, swimming where she was."""

    female: FishId
    batch: BatchId | None = None
    count: int | None = None
    approx: bool = False


@dataclass(frozen=True, slots=True)
class Stripped(Event):
    """The fry were taken from her mouth: `count` alive, `eggs` unhatched or undeveloped, `dead`."""

    female: FishId
    batch: BatchId
    count: int
    approx: bool = False
    eggs: int | None = None
    dead: int | None = None
    to: PlaceName | None = None
