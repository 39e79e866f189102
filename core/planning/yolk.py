"""When the fry of a batch have used up their yolk and must be fed."""

from __future__ import annotations

from datetime import date

from core.fishroom.state import Batch, Fishroom
from core.planning.brood_outlook import brood_outlook
from core.planning.temperature import DayWindow


def yolk_gone(room: Fishroom, batch: Batch, day: date) -> DayWindow | None:
    """When the yolk is gone: for fry stripped from a brood whose beginning is known. Fry she released herself have none left."""
    brood = room.broods.get(batch.brood) if batch.brood else None
    if brood is None or brood.outcome != "stripped":
        return None
    outlook = brood_outlook(room, brood, day)
    return outlook.yolk if outlook is not None else None


def first_food(room: Fishroom, batch: Batch, day: date) -> DayWindow | None:
    """The days until which the fry are not to be fed; None once the yolk is surely or likely gone, or where nothing is known."""
    window = yolk_gone(room, batch, day)
    return window if window is not None and window.likely is not None and day < window.likely else None
