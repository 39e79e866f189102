"""Water, feeding, notes and pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.events.base import BatchId, Event, FishId, PlaceName


@dataclass(frozen=True, slots=True)
class WaterTested(Event):
    """Readings: pH, total ammonia, nitrite and nitrate in mg/L, °C, carbonate and general hardness in degrees."""

    place: PlaceName
    ph: float | None = None
    tan_mg_l: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    temp_c: float | None = None
    kh_dkh: float | None = None
    gh_dgh: float | None = None
    kit_unit: Literal["N", "NH3"] | None = None
    """Unit of the ammonia kit at the time of the test."""


@dataclass(frozen=True, slots=True)
class WaterChanged(Event):
    """Part of the water was replaced."""

    place: PlaceName
    percent: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class Fed(Event):
    """A feeding, of a place or a batch."""

    place: PlaceName | None = None
    batch: BatchId | None = None
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class Noted(Event):
    """A note. `text` is a key into the side table of free texts, so that it can be blanked on request."""

    text: str
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Photographed(Event):
    """A picture kept by us under `photo`; `text` is the caption's key in the side table."""

    photo: str
    text: str | None = None
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None
