"""Fishrooms to plan for, told as keepers tell them."""

from __future__ import annotations

import pytest

from core.events import Joined, PlaceAdded, StrainAdded
from tests.fishroom.conftest import Telling


@pytest.fixture
def marit() -> Telling:
    """A tank at 27 °C with three yellow lab females and their male, a box that hangs in it, a box with its own water, a tub."""
    return Telling().on(
        -60,
        StrainAdded("lab", "Yellow lab", "yellow-lab"),
        PlaceAdded("tank 1", "tank", 240.0, 27.0),
        PlaceAdded("box 1", "box", 8.0, hangs_in="tank 1"),
        PlaceAdded("box 2", "box", 10.0, 27.0),
        PlaceAdded("tub", "tub", 500.0, 25.0),
        *(Joined(f"F{n}", "female", str(n), "lab", "tank 1") for n in (4, 5, 6)),
        Joined("M1", "male", "1", "lab", "tank 1"),
    )
