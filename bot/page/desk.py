"""What happens to a message: heard once, answered, and written into the member's log, where every browser of theirs reads it.

1. A message whose id stands in the log already was heard and answered: nothing more happens.
2. Otherwise the conversation hears it. Its effect is committed there, once for the browser's id, however often it is heard.
3. The member's line and the answers are written in one transaction. A crash between 2 and 3 leaves no line, so the browser,
   which has had no word, sends the message again; the conversation then only answers again.

What falls due by itself (a digest, an alert) is written into the log and marked as sent in one transaction.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta

from bot.clock import Clock
from bot.conversation.message import Reply
from bot.conversation.sending import reply_of
from bot.conversation.setting_aside import kind_of, tell_organisers, way_to
from bot.page import lines, words
from bot.page.frames import Note, Pressed
from bot.page.lines import Written
from bot.page.seats import DOOR, Seat
from bot.page.talk import Talker
from bot.replies.set_aside import ENDED
from core.events import PersonId
from core.store import Store, StoreTrouble, Transaction
from core.store.page import PageEntry, PageFile

LOG = logging.getLogger(__name__)
TRIES = 3
"""After so many failures a message is set aside, so that it does not come back for ever."""
AT_ONCE = 100
"""Lines sent in one go."""
FILES_KEPT = timedelta(days=60)
LEASE = timedelta(minutes=1)


@dataclass(slots=True)
class Desk:
    """Messages in, log lines out. Synchronous: called on one thread."""

    store: Store
    talker: Talker
    clock: Clock
    failures: dict[tuple[PersonId, str], int] = field(default_factory=dict)
    farewells: dict[PersonId, str] = field(default_factory=dict)
    """What is still to be said to somebody whose log is gone and may not be written to again."""

    def hear(self, seat: Seat, note: Note) -> bool:
        """Hear a message and write it down with its answers; False where it failed and is to be tried again later.

        Raises StoreTrouble where the store cannot take it now: the message is then no worse for it, and comes again.
        """
        with self.store.read() as tx:
            if tx.pages.heard(seat.person, note.client):
                return True
        begun = self._begin(seat, note) if note.waited else 0
        if begun > TRIES:
            LOG.error("a message from the page is set aside: %s", ENDED)
            self._write(seat.person, note, (Reply(words.SET_ASIDE),), ENDED)
            return True
        aside: str | None = None
        try:
            replies: Sequence[Reply] = self.talker.hear(lines.incoming(seat, note, self.clock.now()))
        except StoreTrouble:
            raise
        except Exception as error:
            LOG.error("a message from the page failed: %s", way_to(error))
            LOG.debug("in its own words:", exc_info=True)
            if not self._once_too_often(seat, note):
                if begun:
                    self._outlived(seat, note)
                return False
            replies, aside = (Reply(words.SET_ASIDE),), kind_of(error)
        self.failures.pop((seat.person, note.client), None)
        self._write(seat.person, note, replies, aside)
        return True

    def _begin(self, seat: Seat, note: Note) -> int:
        """Counts a message that waited before it is heard: it may be what ended the process the last time; how often that was, now."""
        with self.store.write() as tx:
            begun = int(tx.kept.get(_begun(seat.person, note)) or 0) + 1
            tx.kept.set(_begun(seat.person, note), begun)
        return begun

    def _outlived(self, seat: Seat, note: Note) -> None:
        """It failed, but the process did not end of it."""
        with self.store.write() as tx:
            tx.kept.set(_begun(seat.person, note), None)

    def farewell(self, seat: Seat) -> str | None:
        """What is said last to somebody who asked to be forgotten; None for everybody else."""
        return self.farewells.pop(seat.person, None)

    def _once_too_often(self, seat: Seat, note: Note) -> bool:
        key = (seat.person, note.client)
        self.failures[key] = self.failures.get(key, 0) + 1
        return self.failures[key] >= TRIES

    def _write(self, person: PersonId, note: Note, replies: Sequence[Reply], aside: str | None = None) -> None:
        """Write the lines down; where the message is set `aside`, tell the organisers what went wrong."""
        now = self.clock.now()
        written = [lines.own(note, now)]
        for part, reply in enumerate(replies, 1):
            line, files = lines.answer(reply, now)
            instead = note.entry if reply.replaces and isinstance(note, Pressed) else None
            written.append((replace(line, client=note.client, part=part, instead_of=instead), files))
        with self.store.write() as tx:
            found = tx.people.get(person)
            if note.waited:
                tx.kept.set(_begun(person, note), None)
            if aside is not None:
                tell_organisers(tx, f"{DOOR}:{note.client}", found, DOOR, aside, now)
            if found is None or found.forgotten:
                self.farewells[person] = "\n".join(reply.text for reply in replies)
            elif not tx.pages.heard(person, note.client):
                _write(tx, person, written)

    def greet(self, person: PersonId, replies: Sequence[Reply]) -> None:
        """Write what the conversation says to somebody who has just come in."""
        written = [lines.answer(reply, self.clock.now()) for reply in replies]
        with self.store.write() as tx:
            _write(tx, person, written)

    def after(self, person: PersonId, number: int) -> list[PageEntry]:
        """The lines after a number; for a browser that has none yet (0), the newest."""
        with self.store.read() as tx:
            if number == 0:
                return tx.pages.before(person, tx.pages.last(person) + 1, AT_ONCE)
            return tx.pages.after(person, number, AT_ONCE)

    def before(self, person: PersonId, number: int) -> list[PageEntry]:
        """The lines before a number."""
        with self.store.read() as tx:
            return tx.pages.before(person, number, AT_ONCE)

    def file(self, person: PersonId, file: str) -> PageFile | None:
        """A file of the member's own log."""
        with self.store.read() as tx:
            return tx.pages.file(person, file)

    def fall_due(self) -> None:
        """Let the conversation say what fell due, and deliver what is for the page."""
        self.talker.due()
        self.deliver()

    def deliver(self) -> None:
        """Write everything that is due at this door into the logs."""
        now = self.clock.now()
        with self.store.write() as tx:
            for delivery in tx.deliveries.claim(now, AT_ONCE, LEASE, worker=DOOR, doors=(DOOR,)):
                person = delivery.person
                if person is None:
                    tx.deliveries.failed(delivery.id, now, None, "nobody to deliver it to")
                    continue
                tx.deliveries.sent(delivery.id, now, str(_write(tx, person, [lines.answer(reply_of(delivery), now)])))

    def tidy(self) -> None:
        """Let go of files that are old enough to be made afresh when somebody asks."""
        with self.store.write() as tx:
            tx.pages.drop_files(self.clock.now() - FILES_KEPT)


def _begun(person: PersonId, note: Note) -> str:
    return f"begun:{person}:{note.client}"


def _write(tx: Transaction, person: PersonId, written: Sequence[Written]) -> int:
    return tx.pages.write(person, [line for line, _ in written], [file for _, files in written for file in files])
