"""Invented clubs of any size, with years of journal, for the studies in this folder.

Fishrooms are filled through the store, not through conversation: a million entries would take hours to say. What stands in them
is what a keeper's days are made of: feedings, water, a few deaths and counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.message import Origin, Reply, Text
from core import events as e
from core.store import NewEntry, Store

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
STRAIN = "yellow-lab"
SETTING_UP = (
    e.StrainAdded(STRAIN, "yellow labs", "labidochromis-caeruleus", ("yellow lab",)),
    e.PlaceAdded("tank 1", "tank", 300.0, 26.0),
    e.PlaceAdded("tank 2", "tank", 200.0, 26.0),
    e.PlaceAdded("box 1", "box", None, None, "tank 1"),
    e.PlaceAdded("tub", "tub", 400.0, 26.0),
    e.Joined("M1", "male", "1", STRAIN, "tank 1", born=date(2024, 1, 1)),
    *(e.Joined(f"F{n}", "female", str(n), STRAIN, "tank 1", born=date(2024, 1, 1)) for n in range(1, 7)),
    e.BatchJoined("A", STRAIN, 60, to="tub", mean_mm=30.0, born=date(2025, 11, 1)),
    e.Offered("A"),
    e.Holding("F2", "1"),
)
"""What every fishroom begins with: 15 entries."""
DAILY: tuple[e.Event, ...] = (
    e.Fed("tank 1"),
    e.Fed("tub", "A", 2.0),
    e.WaterTested("tank 1", ph=8.0, tan_mg_l=0.0, nitrite_mg_l=0.0, nitrate_mg_l=20.0, temp_c=26.0),
    e.WaterChanged("tank 1", 30.0),
    e.Fed("tank 2"),
    e.Counted("A", 60),
    e.Fed("tub", "A", 2.0),
    e.WaterChanged("tub", 50.0),
    e.TaskDone("water:tank 1"),
    e.StillHolding("F2"),
)
"""What goes on after that, over and over."""
MESSAGES = (
    "fed tub",
    "water change tank 1 30%",
    "female 3 holding",
    "counted 57 in A",
    "1 died in A",
    "tank 2: pH 8.1, temp 26",
    "female 3 lost her brood",
    "A average 35 mm",
)
"""What a keeper then says; each records something."""


@dataclass(frozen=True, slots=True)
class Size:
    """How large a club is. Every fishroom has the same number of entries."""

    members: int = 10
    keepers: int = 2
    entries: int = 1_000
    broods: int = 0
    """So many broods raised and sold in each fishroom, in place of the entries."""


@contextmanager
def club(size: Size, folder: Path | None = None) -> Iterator[tuple[Conversation, SetClock]]:
    """A conversation on a fresh SQLite store with such a club; members are known at the door "page" by their ids."""
    with TemporaryDirectory(dir=folder) as made:
        store = Store.open(f"sqlite:///{Path(made) / 'club.db'}")
        clock = SetClock(NOW)
        conversation = Conversation(store, clock)
        try:
            conversation.do(lambda visit: _people(visit, size))
            fill(store, size)
            yield conversation, clock
        finally:
            store.close()


def _people(visit: object, size: Size) -> None:
    keepers = [Beginner(f"Keeper{n}", ("keeper",)) for n in range(1, size.keepers + 1)]
    others = [Beginner(f"Buyer{n}", ("buyer",)) for n in range(1, size.members - size.keepers + 1)]
    _, known = start_club(visit, NOW, "Harbour Club", zone="Europe/Oslo", people=[*keepers, *others])  # type: ignore[arg-type]
    for person in known.values():
        visit.tx.people.identify("page", person.id, person.id, person.id)  # type: ignore[attr-defined]


def life(entries: int) -> Iterator[NewEntry]:
    """A fishroom's entries: set up, then its days, the last of them yesterday."""
    days = max(1, (entries - len(SETTING_UP)) // len(DAILY))
    first = NOW - timedelta(days=days + 1)
    for number in range(entries):
        since = max(0, number - len(SETTING_UP))
        told = min(first + timedelta(days=since // len(DAILY), seconds=since % len(DAILY)), NOW - timedelta(days=1))
        event = SETTING_UP[number] if number < len(SETTING_UP) else DAILY[since % len(DAILY)]
        yield NewEntry(event, told.date(), told, "p1")


def seasons(broods: int) -> Iterator[NewEntry]:
    """A fishroom's entries: set up, then a brood every six days, stripped, counted, measured and sold; the last of them lately."""
    first = NOW - timedelta(days=6 * broods + 120)
    happened: list[tuple[int, e.Event]] = [(0, event) for event in SETTING_UP[:-1]]
    for number in range(1, broods + 1):
        female, batch, day = f"F{1 + number % 6}", f"Z{number}", 6 * number
        happened += [
            (day, e.Holding(female, f"brood {number}")),
            (day + 3, e.Stripped(female, batch, 20, to="tub")),
            (day + 40, e.Counted(batch, 19)),
            (day + 60, e.Measured(batch, mean_mm=30.0)),
            (day + 90, e.Sold(batch, 19)),
        ]
    for day, event in sorted(happened, key=lambda one: one[0]):
        told = first + timedelta(days=day)
        yield NewEntry(event, told.date(), told, "p1")


def fill(store: Store, size: Size) -> None:
    """Give every fishroom its share of the entries."""
    with store.read() as tx:
        streams = [room.stream for room in tx.clubs.all_rooms()]
    each = size.entries // max(1, len(streams))
    for first in range(0, len(streams), AT_ONCE):
        with store.write() as tx:
            for stream in streams[first : first + AT_ONCE]:
                entries = seasons(size.broods) if size.broods else life(each)
                tx.journal.lock([stream])
                while some := list(islice(entries, 50_000)):
                    tx.journal.append(stream, some)


AT_ONCE = 100
"""Fishrooms filled in one transaction."""


class Member:
    """Somebody who writes, one message after another."""

    def __init__(self, conversation: Conversation, clock: SetClock, person: str = "p1") -> None:
        self.conversation = conversation
        self.clock = clock
        self.person = person
        self.said = 0

    def say(self, text: str) -> list[Reply]:
        """Say something, three hours after the last thing."""
        self.said += 1
        self.clock.moment += timedelta(hours=3)
        return self.conversation.hear(Text(Origin(self.person, "page", self.person, f"m{self.said}"), text))

    def timed(self, text: str) -> float:
        """Seconds from door to reply."""
        began = perf_counter()
        self.say(text)
        return perf_counter() - began
