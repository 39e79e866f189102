"""What a fishroom holds: places, fish, broods, batches, promises, and what happened to each, as plain values.

Everything inside is a frozen value (`living`, `records`; all can be had from here); only the `Fishroom` itself and its
dictionaries, lists and histories change, and only `replay` changes them. `Fishroom.fork()` gives an independent copy at the cost
of copying the dictionaries, for "what if this were so?"; what was told over the years is shared.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date, datetime, time
from decimal import Decimal
from typing import Literal

from core.events import BatchId, BroodId, FishId, PersonId, PlaceName, Sex, StrainKey
from core.fishroom.history import History
from core.fishroom.living import (
    UNKNOWN_PARENTS,
    Batch,
    Brood,
    Change,
    ChangeKind,
    CountSaid,
    Fish,
    Group,
    Measurement,
    Offer,
    Parentage,
    Place,
    SexingSaid,
    Stay,
    Strain,
    UnassignedDeaths,
)
from core.fishroom.records import (
    Absence,
    Feeding,
    FreeTime,
    HabitSaid,
    Note,
    Problem,
    Reservation,
    ReservationStatus,
    TaskMark,
    WaterChange,
    WaterTest,
)

__all__ = [
    "UNKNOWN_PARENTS",
    "Absence",
    "Batch",
    "Brood",
    "Change",
    "ChangeKind",
    "Club",
    "CountSaid",
    "Feeding",
    "Fish",
    "Fishroom",
    "FreeTime",
    "Group",
    "HabitSaid",
    "History",
    "Measurement",
    "Note",
    "Offer",
    "Parentage",
    "Place",
    "Problem",
    "Reservation",
    "ReservationStatus",
    "SexingSaid",
    "Stay",
    "Strain",
    "TaskMark",
    "Texts",
    "UnassignedDeaths",
    "WaterChange",
    "WaterTest",
    "Wish",
]


@dataclass(slots=True)
class Fishroom:
    """The state of one fishroom after a number of journal entries."""

    id: str
    number: int = 0
    """Journal entries taken in."""
    latest: date | None = None
    position: tuple[date, time, int] | None = None
    """Day, time of day and order of the last entry applied: a later one can simply be added, an earlier one means a replay."""
    strains: dict[StrainKey, Strain] = field(default_factory=dict)
    places: dict[PlaceName, Place] = field(default_factory=dict)
    fish: dict[FishId, Fish] = field(default_factory=dict)
    broods: dict[BroodId, Brood] = field(default_factory=dict)
    holding: dict[FishId, BroodId] = field(default_factory=dict)
    """Females that carry now, with their open brood."""
    batches: dict[BatchId, Batch] = field(default_factory=dict)
    told_apart: set[frozenset[BatchId]] = field(default_factory=set)
    unassigned: list[UnassignedDeaths] = field(default_factory=list)
    reservations: dict[int, Reservation] = field(default_factory=dict)
    strain_prices: dict[tuple[StrainKey, Sex | None], Decimal] = field(default_factory=dict)
    water_tests: dict[PlaceName, History[WaterTest]] = field(default_factory=dict)
    """By the water (see `water_of`: a hanging box's tests are its tank's), in order; so are the changes."""
    water_changes: dict[PlaceName, History[WaterChange]] = field(default_factory=dict)
    feedings: History[Feeding] = field(default_factory=History)
    notes: History[Note] = field(default_factory=History)
    habits: dict[tuple[str, PlaceName | None], HabitSaid] = field(default_factory=dict)
    absences: list[Absence] = field(default_factory=list)
    task_marks: dict[str, TaskMark] = field(default_factory=dict)
    free: FreeTime = field(default_factory=FreeTime)
    settings: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    # Small questions that everybody asks; anything that needs a day, a moment or a number of biology lives elsewhere.

    def fork(self) -> Fishroom:
        """An independent copy: the values inside are shared, since they never change."""
        copy = replace(self)
        for name in _CONTAINERS:
            setattr(copy, name, getattr(self, name).copy())
        copy.water_tests = {place: tests.copy() for place, tests in self.water_tests.items()}
        copy.water_changes = {place: changes.copy() for place, changes in self.water_changes.items()}
        return copy

    def live_batches(self) -> list[Batch]:
        """Batches with fish in them that were not merged away, in the order of their beginning."""
        return [batch for batch in self.batches.values() if batch.merged_into is None and batch.count > 0]

    def batches_in(self, place: PlaceName) -> list[Batch]:
        """Live batches with fish in the place."""
        return [batch for batch in self.live_batches() if place in batch.places]

    def fish_in(self, place: PlaceName) -> list[Fish]:
        """Known breeders in the place now."""
        return [fish for fish in self.fish.values() if fish.alive_here and fish.place == place]

    def water_of(self, place: PlaceName) -> PlaceName:
        """The place whose water this is: a hanging box's tank, else itself."""
        found = self.places.get(place)
        return found.hangs_in if found and found.hangs_in else place

    def brood_of(self, female: FishId) -> Brood | None:
        """The brood she carries now."""
        brood = self.holding.get(female)
        return self.broods[brood] if brood else None

    def species_of(self, strain: StrainKey) -> str:
        """Key of the strain's species profile."""
        return self.strains[strain].species if strain in self.strains else "general"


_CONTAINERS = tuple(f.name for f in fields(Fishroom) if f.name not in {"id", "number", "latest", "position", "free"})


@dataclass(frozen=True, slots=True)
class Passed:
    """Fish that somebody who wished was asked about and did not take."""

    room: str
    batch: BatchId
    count: int
    when: datetime
    """When they said so, or the time to answer was over."""
    said: bool
    """Whether they said no; else they were silent."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A line of the club's wanted list."""

    number: int
    member: PersonId
    strain: StrainKey
    count: int
    made: datetime
    sex: Sex | None = None
    by_day: date | None = None
    min_mm: float | None = None
    status: Literal["waiting", "offered", "met", "dropped"] = "waiting"
    offer: tuple[str, BatchId, int, datetime] | None = None
    """Fishroom, batch, number and answer-by moment of the running proposal."""
    passed: tuple[Passed, ...] = ()
    """What the member has passed on or let lapse, the earliest first."""


@dataclass(slots=True)
class Club:
    """What the club's own stream says."""

    id: str
    number: int = 0
    settings: dict[str, str] = field(default_factory=dict)
    wishes: dict[int, Wish] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


Texts = Mapping[str, str]
"""Free texts by key, as far as they have not been blanked."""
