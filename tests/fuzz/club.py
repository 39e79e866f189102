"""A club that hears whatever it is told, on a store of its own, with a keeper, three buyers and an organiser."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.message import Button, Incoming, Origin, Press, Reply, Text
from core.club import Visits
from core.events import Entry, Voided
from core.fishroom.state import Fishroom
from core.store import Store

FIRST = datetime(2026, 3, 2, 8, tzinfo=UTC)
KEEPER, BUYERS, ORGANISER = "Marit", ("Bo", "Cy", "Dee"), "Odd"
BEGAN_WITH = 60
SETTING_UP = (
    "new tank 1, 300 litres, 26 C",
    "new tub, 500 litres, 26 C",
    "added 4 female yellow labs and a male to tank 1",
    f"bought {BEGAN_WITH} young yellow labs, 60 mm, into tub",
    "A for sale",
)


class Club:
    """The conversation, its people by name, and every message that was sent."""

    def __init__(self, url: str | None = None) -> None:
        self._folder = TemporaryDirectory()
        self.url = url or f"sqlite:///{Path(self._folder.name) / 'club.db'}"
        self.clock = SetClock(FIRST)
        self.store = Store.open(self.url)
        self.conversation = Conversation(self.store, self.clock)
        people = [Beginner(ORGANISER, ("organiser",)), Beginner(KEEPER, ("keeper",)), *(Beginner(name, ("buyer",)) for name in BUYERS)]
        self.club, known = self.conversation.do(lambda visit: start_club(visit, FIRST, "Harbour Club", people=people))
        self.ids = {name: person.id for name, person in known.items()}
        self.room_id = self.conversation.do(lambda visit: visit.room_of(self.ids[KEEPER], self.club.id))
        self._numbers = count(1)
        self.buttons: dict[str, list[Button]] = {name: [] for name in self.ids}
        self.last: dict[str, Incoming] = {}
        self.revisions: dict[str, int] = {}
        self.texts: dict[str, str] = {}

    def close(self) -> None:
        """Let go of everything."""
        self.store.close()
        self._folder.cleanup()

    def pass_days(self, days: int) -> None:
        """Time goes by, and what is due by itself falls due."""
        self.clock.moment += timedelta(days=days, minutes=7)
        self.conversation.due()

    def said_in(self, message: str) -> str:
        """The text of a message; empty for what was no text."""
        return self.texts.get(message, "")

    def restart(self) -> None:
        """The bot stops and starts again on the same database: nothing is at hand any more."""
        self.store.close()
        self.store = Store.open(self.url)
        self.conversation = Conversation(self.store, self.clock)

    def origin(self, name: str, message: str | None = None) -> Origin:
        """Where the person writes from."""
        return Origin(self.ids[name], "page", name, message or str(next(self._numbers)))

    def say(self, name: str, text: str) -> list[Reply]:
        """Say something new."""
        return self._hear(name, Text(self.origin(name), text))

    def edit(self, name: str, message: str, text: str) -> list[Reply]:
        """Edit a message."""
        self.revisions[message] = self.revisions.get(message, 0) + 1
        return self._hear(name, Text(self.origin(name, message), text, self.revisions[message]))

    def press(self, name: str, token: str) -> list[Reply]:
        """Press a button."""
        return self._hear(name, Press(self.origin(name), token))

    def _hear(self, name: str, incoming: Incoming) -> list[Reply]:
        self.last[name] = incoming
        if isinstance(incoming, Text):
            self.texts[incoming.origin.message] = incoming.text
        self.clock.moment += timedelta(minutes=1)
        replies = self.conversation.hear(incoming)
        self.buttons[name] += [button for reply in replies for row in reply.buttons for button in row]
        return replies

    # what stands in the journal, read by itself -----------------------------------------------------------------

    def heads(self) -> dict[str, int]:
        """The last number of every stream."""
        with self.store.read() as tx:
            return dict(tx.journal.streams())

    def entries_of(self, name: str, message: str, revision: int | None = None) -> list[Entry]:
        """What a message put into the journal, without what only takes back."""
        with self.store.read() as tx:
            found = tx.journal.of_message(f"page:{name}", message, revision)
        return [entry for entry in found if not isinstance(entry.event, Voided)]

    def room(self) -> Fishroom:
        """The fishroom as the running bot has it."""
        with self.conversation.visits.read() as visit:
            return visit.room(self.room_id)

    def room_anew(self) -> Fishroom:
        """The fishroom replayed from the journal alone."""
        with Visits(self.store).read() as visit:
            return visit.room(self.room_id)
