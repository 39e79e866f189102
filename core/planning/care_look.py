"""What the rules of care look at: the fishroom on a day, with outlooks worked out once and what was said about tasks."""

from __future__ import annotations

from datetime import date
from typing import Literal

from core.events import BatchId, BroodId, FishId, PlaceName
from core.fishroom.broods import adult_days
from core.fishroom.fish import adult_by
from core.fishroom.state import Batch, Brood, Fish, Fishroom
from core.planning.batch_outlook import BatchOutlook, batch_outlook
from core.planning.brood_outlook import BroodOutlook, brood_outlook
from core.planning.tasks import CareTask, Marks, Rule, Urgency
from core.species import Profile, profile

HabitTask = Literal["water_test", "water_change", "measure", "count"]


class Look:
    """A fishroom as the rules of care see it on a day."""

    def __init__(self, room: Fishroom, day: date) -> None:
        self.room = room
        self.day = day
        self.marks = Marks(room)
        self._broods: dict[BroodId, BroodOutlook | None] = {}
        self._batches: dict[BatchId, BatchOutlook] = {}

    def brood(self, brood: Brood) -> BroodOutlook | None:
        """What to expect of a brood."""
        if brood.id not in self._broods:
            self._broods[brood.id] = brood_outlook(self.room, brood, self.day)
        return self._broods[brood.id]

    def batch(self, batch: Batch) -> BatchOutlook:
        """What to expect of a batch."""
        if batch.id not in self._batches:
            self._batches[batch.id] = batch_outlook(self.room, batch, self.day)
        return self._batches[batch.id]

    def species(self, strain: str) -> Profile:
        """The profile of a strain."""
        return profile(self.room.species_of(strain))

    def in_box(self, batch: Batch) -> bool:
        """Whether most of the batch is in a nursery box."""
        main = self.room.places.get(batch.places[0]) if batch.places else None
        return main is not None and main.type == "box"

    def males_with(self, female: Fish) -> list[Fish]:
        """Adult males of her strain in her place."""
        limit = adult_days(self.room.species_of(female.strain))
        return [
            fish
            for fish in self.room.fish_in(female.place or "")
            if fish.sex == "male" and fish.strain == female.strain and adult_by(fish, self.day, limit)
        ]

    def every(self, task: HabitTask, place: PlaceName | None) -> tuple[int, date] | None:
        """The interval in days that the keeper set for a task (for the place, else for all), and since when."""
        said = self.room.habits.get((task, place)) or self.room.habits.get((task, None))
        return (said.every_days, said.since) if said is not None else None

    def task(
        self,
        rule: Rule,
        subject: str,
        opens: date,
        due: date,
        closes: date | None = None,
        *,
        cycle: str = "once",
        place: PlaceName | None = None,
        urgency: Urgency = Urgency.NORMAL,
        fish: FishId | None = None,
        batch: BatchId | None = None,
        brood: BroodId | None = None,
        reservation: int | None = None,
        **facts: object,
    ) -> CareTask:
        """A task of this fishroom."""
        return CareTask(
            self.room.id, rule, subject, cycle, opens, due, closes, place, urgency, fish, batch, brood, reservation, facts
        )
