"""Setting up a fishroom: places, strains, fish and young fish that come in, names and parents."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from core.events.base import BatchId, Event, FishId, PlaceName, PlaceType, StrainKey


@dataclass(frozen=True, slots=True)
class PlaceAdded(Event):
    """A tank, nursery box, tub or pond stands in the fishroom; said again, it changes the particulars that are given."""

    place: PlaceName
    type: PlaceType
    litres: float | None = None
    temp_c: float | None = None
    hangs_in: PlaceName | None = None
    hard_to_catch: bool | None = None
    loop: bool | None = None


@dataclass(frozen=True, slots=True)
class PlaceRetired(Event):
    """The place is no longer used."""

    place: PlaceName


@dataclass(frozen=True, slots=True)
class StrainAdded(Event):
    """A strain is kept here; `species` is the key of a species profile ("general" where none fits)."""

    strain: StrainKey
    name: str
    species: str = "general"
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Joined(Event):
    """One individually known fish came in, or grew up here out of a batch (`from_batch`: leaves its count, keeps its parents)."""

    fish: FishId
    sex: Literal["male", "female"]
    label: str
    strain: StrainKey
    to: PlaceName | None = None
    origin: str | None = None
    from_batch: BatchId | None = None
    nickname: str | None = None
    born: date | None = None
    formerly: str | None = None
    """Pedigree id of the same fish in the fishroom it came from ("ROOM/F4")."""


@dataclass(frozen=True, slots=True)
class BatchJoined(Event):
    """Young fish bought or given in."""

    batch: BatchId
    strain: StrainKey
    count: int
    approx: bool = False
    to: PlaceName | None = None
    origin: str | None = None
    mean_mm: float | None = None
    born: date | None = None
    formerly: str | None = None
    """Pedigree id of the batch in the fishroom it came from."""


@dataclass(frozen=True, slots=True)
class Named(Event):
    """A breeder is given a nickname."""

    fish: FishId
    nickname: str


@dataclass(frozen=True, slots=True)
class Parents(Event):
    """Somebody says who the parents of a fish or a batch are."""

    subject: FishId | BatchId
    sire: FishId | None = None
    dam: FishId | None = None
