"""A small fishroom to tell things to."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from core.events import BatchJoined, Entry, Event, Joined, PlaceAdded, StrainAdded
from core.fishroom.replay import replay
from core.fishroom.state import Batch, Fishroom

MONDAY = date(2026, 3, 2)


class Telling:
    """A journal that is told one thing after another; `room` is what it adds up to."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self.day = MONDAY

    def on(self, day: int, *events: Event, at: time | None = None) -> Telling:
        """Tells things of the day so many days after the Monday."""
        for event in events:
            self.entries.append(self._entry(event, MONDAY + timedelta(days=day), at))
        return self

    def _entry(self, event: Event, on: date, at: time | None) -> Entry:
        number = len(self.entries) + 1
        told = datetime(2026, 5, 1, tzinfo=UTC) + timedelta(minutes=number)
        return Entry("fishroom:marit", number, event, on, told, "marit", at, order=number)

    @property
    def room(self) -> Fishroom:
        return replay("fishroom:marit", self.entries)

    def batch(self, letter: str) -> Batch:
        return self.room.batches[letter]

    @property
    def problems(self) -> list[tuple[str, str]]:
        return [(problem.why, problem.about) for problem in self.room.problems]


@pytest.fixture
def empty() -> Telling:
    return Telling()


@pytest.fixture
def marit() -> Telling:
    """Two tanks, a box that hangs in the first, a tub; three yellow labs and a demasoni female, one lab male; batches A and B."""
    return Telling().on(
        0,
        StrainAdded("lab", "Yellow lab", "yellow-lab"),
        StrainAdded("demasoni", "Demasoni"),
        PlaceAdded("tank 1", "tank", 240.0, 26.0),
        PlaceAdded("tank 2", "tank", 160.0),
        PlaceAdded("box 1", "box", 4.0, hangs_in="tank 1"),
        PlaceAdded("tub", "tub", 500.0),
        *(Joined(f"F{n}", "female", str(n), "lab", "tank 1") for n in (4, 5, 6)),
        Joined("F1", "female", "1", "demasoni", "tank 2"),
        Joined("M1", "male", "1", "lab", "tank 1"),
        BatchJoined("A", "lab", 20, to="tub", born=date(2026, 1, 5)),
        BatchJoined("B", "lab", 10, to="tub"),
    )
