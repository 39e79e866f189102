"""What a line about something recorded may need to know."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from bot.replies import naming
from bot.replies.words import Style, counted
from core.events import Entry
from core.fishroom.state import Batch, Fishroom


@dataclass(frozen=True, slots=True)
class Scene:
    """What a line may need: the fishroom after the entry, the reader's style, people's names, and the free texts of the message."""

    room: Fishroom
    style: Style
    names: Mapping[str, str]
    texts: Mapping[str, str]
    past: bool = False
    """A line of a history: the day stands before it, and what is there now is another matter."""
    undone: bool = False
    """A line of what is taken back: what is there now is said when it is."""
    whose: str = ""
    """The keeper's name, where the reader does not keep the fishroom: batch letters belong to a fishroom."""

    def lot(self, batch: str) -> str:
        """ "batch A", of another's fishroom "Jutta's batch A"."""
        whose = f"{self.whose}'s " if self.whose else ""
        return f"{whose}batch {naming.label(batch)}"

    def person(self, person: str | None) -> str:
        """A member's name."""
        return self.names.get(person or "", "a former member")

    def when(self, entry: Entry) -> str:
        """The day, where it is not today; with the time of day where one was told."""
        at = f" {self.style.clock(entry.at)}" if entry.at else ""
        if self.past:
            return f" at{at}" if at else ""
        if entry.on == self.style.today:
            return f" today{at}" if at else ""
        return f" on {self.style.day(entry.on)}{at}"

    def since(self, entry: Entry) -> str:
        """ "since Sat 28 Feb"."""
        return f"since {self.style.day(entry.on) if self.past else self.style.near(entry.on)}"

    def fish(self, fish: str) -> str:
        """A fish's name."""
        return naming.fish(self.room, fish)

    def batch(self, batch: str) -> str:
        """A batch's name."""
        return naming.batch(self.room, batch)

    def left_in(self, batch: str) -> str:
        """How many the book has now."""
        found = self.room.batches.get(batch)
        return "" if found is None or self.past or self.undone else f" {in_it_now(found)}"


def in_it_now(batch: Batch) -> str:
    """ "24 fish now in A."."""
    return f"{counted(batch.count, 'fish', 'fish', approx=batch.approx)} now in {batch.label}."


Words = Callable[[Entry, Any, Scene], str]
"""The sentence for an entry, its event, and the scene."""
