"""A care task: what is to be done for whom, when, why, and by which events it is fulfilled. Nobody edits a task.

Its key is made of what does not change while the task is the same one: fishroom, rule, subject, cycle. What a keeper said
about it ("done", "later", "never for this one") is remembered against the key: done hides this cycle, later puts it off,
dropped hides every cycle of this rule for this subject.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import IntEnum
from typing import Literal

from core.events import BatchId, BroodId, FishId, PlaceName
from core.fishroom.state import Fishroom

Rule = Literal[
    "holding_check",
    "prepare_box",
    "strip",
    "release_expected",
    "brood_overdue",
    "collect_fry",
    "mother_rest",
    "mother_return",
    "first_feed",
    "box_feed",
    "box_water",
    "count",
    "settle_deaths",
    "move_up",
    "measure",
    "sex",
    "separate",
    "hold_back",
    "offer",
    "water_test",
    "water_change",
    "retest",
    "rest_female",
    "related_pair",
    "catch",
    "stop_feeding",
    "bag",
    "missed",
    "answer_proposal",
    "confirm",
    "before_away",
    "sitter_look",
    "sitter_feed",
    "sitter_water",
    "sitter_leave",
]


class Urgency(IntEnum):
    """How much a task presses."""

    ROUTINE = 0
    NORMAL = 1
    SOON = 2
    NOW = 3


@dataclass(frozen=True, slots=True)
class Trait:
    """What holds of every task of a rule."""

    done_by: tuple[str, ...] = ()
    """Kinds of event that fulfil it by themselves."""
    can_wait: bool = True
    """Whether it may be put off until the keeper is back."""


TRAITS: Mapping[Rule, Trait] = {
    "holding_check": Trait(("still_holding", "holding", "brood_lost", "released", "stripped")),
    "prepare_box": Trait(("stripped",), can_wait=False),
    "strip": Trait(("stripped", "released", "brood_lost"), can_wait=False),
    "release_expected": Trait(("released", "stripped", "brood_lost")),
    "brood_overdue": Trait(("released", "stripped", "brood_lost", "still_holding")),
    "collect_fry": Trait(("counted", "released")),
    "mother_rest": Trait((), can_wait=False),
    "mother_return": Trait(("moved",)),
    "first_feed": Trait(("fed",), can_wait=False),
    "box_feed": Trait((), can_wait=False),
    "box_water": Trait((), can_wait=False),
    "count": Trait(("counted", "sexed")),
    "settle_deaths": Trait(("counted",)),
    "move_up": Trait(("moved",)),
    "measure": Trait(("measured",)),
    "sex": Trait(("sexed",)),
    "separate": Trait(("moved", "split")),
    "hold_back": Trait(("held_back",)),
    "offer": Trait(("offered",)),
    "water_test": Trait(("water_tested",)),
    "water_change": Trait(("water_changed",)),
    "retest": Trait(("water_tested",), can_wait=False),
    "rest_female": Trait(("moved",)),
    "related_pair": Trait(("moved", "left")),
    "catch": Trait((), can_wait=False),
    "stop_feeding": Trait((), can_wait=False),
    "bag": Trait(("collected", "no_show", "cancelled"), can_wait=False),
    "missed": Trait(("collected", "no_show", "cancelled")),
    "answer_proposal": Trait(("pickup_agreed", "pickup_refused", "pickup_set"), can_wait=False),
    "confirm": Trait(("confirmed", "declined"), can_wait=False),
    "before_away": Trait((), can_wait=False),
    "sitter_look": Trait((), can_wait=False),
    "sitter_feed": Trait(("fed",), can_wait=False),
    "sitter_water": Trait(("water_changed",), can_wait=False),
    "sitter_leave": Trait((), can_wait=False),
}


@dataclass(frozen=True, slots=True)
class CareTask:
    """Something to be done. It shows from `opens`, is meant for `due`, and is past after `closes` (None: stays until done)."""

    room: str
    rule: Rule
    subject: str
    """A brood, batch, place, fish or reservation, by id."""
    cycle: str
    """Which time round: a day, or "once"."""
    opens: date
    due: date
    closes: date | None = None
    place: PlaceName | None = None
    """Where one has to stand to do it."""
    urgency: Urgency = Urgency.NORMAL
    fish: FishId | None = None
    batch: BatchId | None = None
    brood: BroodId | None = None
    reservation: int | None = None
    facts: Mapping[str, object] = field(default_factory=dict)
    """The reasons and numbers, by name; which ones a rule has, its own function says."""

    @property
    def key(self) -> str:
        """What marks are remembered against."""
        return f"{self.room}/{self.rule}:{self.subject}:{self.cycle}"

    @property
    def done_by(self) -> tuple[str, ...]:
        """Kinds of event that fulfil it by themselves."""
        return TRAITS[self.rule].done_by

    @property
    def can_wait(self) -> bool:
        """Whether it may be put off until the keeper is back."""
        return TRAITS[self.rule].can_wait

def room_of_key(key: str) -> str:
    """The fishroom that a task's key belongs to."""
    return key.partition("/")[0]


REMINDED_AFTER = (0, 1, 3, 7, 14, 28)
"""Days after it opened on which a task that can wait is told in full again; then every `REMINDED_EVERY` days."""
REMINDED_EVERY = 14
PRESSING_FOR, PRESSED_EVERY = 2, 3
"""Days for which what must be done now is told in full every morning, and every how many after that; in between in a few words."""
PRESSED_FOR = 7
"""Days for which a task that should be done soon is told in full every morning."""


def told_in_full(task: CareTask, day: date) -> bool:
    """Whether the day's list says all about it, or only that it is still open: the same words every morning are not read."""
    age = (day - task.opens).days
    if task.urgency is Urgency.ROUTINE or day in (task.due, task.closes):
        return True
    if task.urgency is Urgency.NOW and (age <= PRESSING_FOR or age % PRESSED_EVERY == 0):
        return True
    return age in REMINDED_AFTER or age % REMINDED_EVERY == 0 or (task.urgency is Urgency.SOON and age < PRESSED_FOR)


def told_at_all(task: CareTask, day: date) -> bool:
    """Whether the day's list still names it: what nobody did for four weeks only now and then, but habits that were set always."""
    return told_in_full(task, day) or (day - task.opens).days <= REMINDED_AFTER[-1] or task.facts.get("said") is True


class Marks:
    """What was said about tasks of a fishroom, looked up by rule and subject."""

    def __init__(self, room: Fishroom) -> None:
        self._room = room
        self._dropped: set[str] = set()
        self._done: dict[str, date] = {}
        for key, mark in room.task_marks.items():
            about = key.rpartition(":")[0]
            if mark.kind == "dropped":
                self._dropped.add(about)
            elif mark.kind == "done":
                self._done[about] = max(mark.on, self._done.get(about, mark.on))

    def last_done(self, rule: Rule, subject: str) -> date | None:
        """The last day on which a task of the rule was said to be done for the subject."""
        return self._done.get(f"{self._room.id}/{rule}:{subject}")

    def applied(self, tasks: Iterable[CareTask]) -> list[CareTask]:
        """The tasks that are still to be done, those put off opening on their new day."""
        return [shown for task in tasks if (shown := self._shown(task)) is not None]

    def _shown(self, task: CareTask) -> CareTask | None:
        if task.key.rpartition(":")[0] in self._dropped:
            return None
        mark = self._room.task_marks.get(task.key)
        if mark is None:
            return task
        if mark.kind != "later" or mark.until is None:
            return None
        closes = task.closes and max(task.closes, mark.until)
        return replace(task, opens=max(task.opens, mark.until), due=max(task.due, mark.until), closes=closes)


def days(number: float) -> timedelta:
    """So many whole days."""
    return timedelta(days=round(number))
