"""Against what a message is read: the club, the moment, the writer, and what was spoken of; and a number with what it counts."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from bot.reading import days
from bot.reading.names import Names
from bot.reading.values import Context


@dataclass
class Memory:
    """What the message has spoken of so far, and the day at its head."""

    female: str | None = None
    male: str | None = None
    batches: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    there: str | None = None
    """The place last spoken of, or gone to."""
    reservation: str | None = None
    member: str | None = None
    """Who else was last spoken of by name."""
    parameter: str | None = None
    """The one water value last told of."""
    head_day: days.DaySpan | None = None
    taken: list[str] = field(default_factory=list)
    new_places: list[str] = field(default_factory=list)
    """Places that the message itself has added."""
    unread: list[str] = field(default_factory=list)
    """Names and numbers that stood by themselves, and were not understood."""


@dataclass(frozen=True)
class Scene:
    """Against what and when a message is read."""

    names: Names
    now: datetime
    by: str
    context: Context
    memory: Memory
    text: str = ""


@dataclass(frozen=True)
class Quantity:
    """A number with what it counts: `noun` is "", "fry", "egg" or "dead"; `bare` where no noun or sex is said."""

    at: int
    end: int
    value: int | float | None
    sex: str | None = None
    noun: str = ""
    strain: str | None = None
    approx: bool = False
    why: str = ""
    said: str = ""
    spelt: bool = False

    @property
    def bare(self) -> bool:
        """Whether it could as well be a label: digits, with no noun, sex or doubt."""
        return not (self.sex or self.noun or self.strain or self.approx or self.why or self.spelt)
