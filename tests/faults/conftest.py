"""A club that talks, on a disk and by a clock that can be made to fail."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.message import Origin, Text
from bot.mornings import MORNING, next_morning
from bot.telegram import rate
from core.store import Store

MONDAY = datetime(2026, 3, 2, 9, tzinfo=UTC)


class Fishrooms:
    """Marit organises and keeps, Oleg keeps, Wren buys; each at the door "play"."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.clock = SetClock(MONDAY)
        self.messages = 0
        self.open()
        with self.store.write() as tx:
            club = tx.clubs.add("Gravel Lane", zone="Europe/Berlin", id="c1")
            for name, roles in (("Marit", ["organiser", "keeper"]), ("Oleg", ["keeper"]), ("Wren", ["buyer"])):
                person = tx.people.add(name, MONDAY, id=name.lower())
                tx.people.identify("play", name, person.id, name)
                tx.clubs.join(club.id, person.id, roles, MONDAY)  # type: ignore[arg-type]
                tx.mornings.set(person.id, next_morning(ZoneInfo(club.zone), MORNING, MONDAY))
                if "keeper" in roles:
                    tx.clubs.add_room(name, [club.id], [person.id], id=f"r-{person.id}")

    def open(self) -> None:
        self.store = Store.open(f"sqlite:///{self.path}")
        self.conversation = Conversation(self.store, self.clock)

    def reopen(self) -> None:
        self.store.close()
        self.open()

    def say(self, person: str, text: str, message: str | None = None) -> str:
        self.messages += 1
        origin = Origin(person, "play", person.capitalize(), message or str(self.messages))
        return "\n".join(reply.text for reply in self.conversation.hear(Text(origin, text)))

    def entries(self, person: str) -> int:
        with self.store.read() as tx:
            return tx.journal.head(f"fishroom:r-{person}")

    def sent(self, person: str) -> list[tuple[str, str]]:
        """(key, words) of everything put among the deliveries for the person."""
        with self.store.read() as tx:
            return [(one.key, str(one.payload.get("text"))) for one in tx.deliveries.to(person, 500)]


@pytest.fixture
def club(tmp_path: Path) -> Iterator[Fishrooms]:
    found = Fishrooms(tmp_path / "club.sqlite")
    for person in ("marit", "oleg"):
        found.say(person, "new tank 1, 240 litres, 26 C")
        found.say(person, "added 4 female yellow labs and a male to tank 1")
    yield found
    found.store.close()


@pytest.fixture(autouse=True)
def unhurried_platform(monkeypatch: pytest.MonkeyPatch) -> None:
    """The platform's pace has tests of its own."""
    monkeypatch.setattr(rate, "BURST", 1000)
    monkeypatch.setattr(rate, "OVERALL_PER_SECOND", 1000)
