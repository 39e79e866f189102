"""Where a script is played: straight against the conversation here, through a front door's adapter elsewhere (in the tests)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.message import Button, Origin, Picture, Press, Reply, Text
from bot.conversation.sending import reply_of
from bot.play.script import Script
from core.club import Visit
from core.store import Store

EXAMPLE_PHOTO = Path(__file__).with_name("example.jpg")


@dataclass(frozen=True, slots=True)
class Shown:
    """One message of the bot as somebody saw it: text, button labels, names of attachments."""

    text: str
    labels: tuple[str, ...] = ()
    files: tuple[str, ...] = ()


class Stage(Protocol):
    """What a front door's adapter must be able to do for the player. Names are those of the script's people."""

    def say(self, name: str, text: str) -> list[Shown]:
        """NAME writes a text in a private chat; the replies."""
        ...

    def press(self, name: str, label: str) -> list[Shown]:
        """NAME presses the button with that label under the newest message that has it; the replies."""
        ...

    def edit(self, name: str, text: str) -> list[Shown]:
        """NAME edits the last message to that text; the replies."""
        ...

    def photo(self, name: str, caption: str) -> list[Shown]:
        """NAME sends a photo with that caption; the replies."""
        ...

    def digest(self, name: str) -> list[Shown]:
        """NAME's digest as it stands now; nothing when there is nothing to do."""
        ...

    def advance(self, moment: datetime) -> None:
        """The clock moves on to a moment (UTC); what falls due on the way is sent."""
        ...

    def unasked(self) -> dict[str, list[Shown]]:
        """What people were sent unasked since this was last called."""
        ...


class NoSuchButtonError(Exception):
    """A script presses a button that nobody was shown."""


def shown(reply: Reply) -> Shown:
    """A reply as it is seen."""
    labels = tuple(button.label for row in reply.buttons for button in row)
    return Shown(reply.text, labels, tuple(one.name for one in reply.attachments))


class PlainStage:
    """Plays straight against a conversation on a store."""

    def __init__(self, store: Store, script: Script, moment: datetime) -> None:
        self.clock = SetClock(moment)
        self.store = store
        self.zone = ZoneInfo(script.zone)
        self.conversation = Conversation(store, self.clock)
        self.ids = self.conversation.do(lambda visit: begin(visit, script, moment))
        self.names = {person: name for name, person in self.ids.items()}
        self._buttons: dict[str, list[Button]] = {name: [] for name in self.ids}
        self._messages = 0
        self._last: dict[str, tuple[str, int]] = {}

    def _origin(self, name: str, message: str | None = None) -> Origin:
        self._messages += 1
        return Origin(self.ids[name], "play", name, message or str(self._messages))

    def _see(self, name: str, replies: Sequence[Reply]) -> list[Shown]:
        for reply in replies:
            self._buttons[name] += [button for row in reply.buttons for button in row]
        return [shown(reply) for reply in replies]

    def say(self, name: str, text: str) -> list[Shown]:
        """See `Stage.say`."""
        origin = self._origin(name)
        self._last[name] = (origin.message, 0)
        return self._see(name, self.conversation.hear(Text(origin, text)))

    def press(self, name: str, label: str) -> list[Shown]:
        """See `Stage.press`."""
        wanted = label.casefold()
        found = next((one for one in reversed(self._buttons[name]) if one.label.casefold() == wanted), None)
        if found is None:
            raise NoSuchButtonError(f"{name} was shown no button [{label}]")
        return self._see(name, self.conversation.hear(Press(self._origin(name), found.token)))

    def edit(self, name: str, text: str) -> list[Shown]:
        """See `Stage.edit`."""
        message, revision = self._last[name]
        self._last[name] = (message, revision + 1)
        return self._see(name, self.conversation.hear(Text(self._origin(name, message), text, revision + 1)))

    def photo(self, name: str, caption: str) -> list[Shown]:
        """See `Stage.photo`."""
        return self._see(name, self.conversation.hear(Picture(self._origin(name), EXAMPLE_PHOTO.read_bytes(), caption)))

    def digest(self, name: str) -> list[Shown]:
        """See `Stage.digest`."""
        reply = self.conversation.digest(self.ids[name], "play", name)
        return self._see(name, [reply] if reply else [])

    def advance(self, moment: datetime) -> None:
        """See `Stage.advance`."""
        while self.clock.moment < moment:
            due = self.conversation.next_due()
            self.clock.moment = min(moment, max(due, self.clock.moment + timedelta(minutes=1)))
            self.conversation.due()

    def leap(self, moment: datetime) -> None:
        """The clock moves on to a moment (UTC) at once: no digest is sent on the way; only what is due at that moment is."""
        if moment > self.clock.moment:
            self.clock.moment = moment
            self.conversation.due(digests=False)

    def unasked(self) -> dict[str, list[Shown]]:
        """See `Stage.unasked`."""
        found: dict[str, list[Shown]] = {}
        now = self.clock.now()
        with self.store.write() as tx:
            for delivery in tx.deliveries.claim(now, 1000, timedelta(minutes=5), doors=["play"]):
                name = self.names[delivery.person or ""]
                found.setdefault(name, []).extend(self._see(name, [reply_of(delivery)]))
                tx.deliveries.sent(delivery.id, now)
        return found


def begin(visit: Visit, script: Script, moment: datetime) -> dict[str, str]:
    """The script's club with its people, each of them at the door "play"; person ids by name."""
    beginners = [Beginner(one.name, one.roles, one.keeps) for one in script.people]
    _, known = start_club(
        visit, moment, script.club, zone=script.zone, units=script.units, date_order=script.dates, people=beginners
    )
    for name, person in known.items():
        visit.tx.people.identify("play", name, person.id, name)
    return {name: person.id for name, person in known.items()}
