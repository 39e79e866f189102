"""What came in: kept before the platform is told that it arrived, handled in order within a chat, and handled once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Row, Select, delete, func, select, update

from core.store.subject import Subject
from core.store.tables import inbox

TRIES = 3
"""A message that failed so often is set aside, so that those behind it go on."""


@dataclass(frozen=True, slots=True)
class Arrived:
    """Something that came in by a door. `tries` counts the failures so far."""

    id: int
    door: str
    external: str
    chat: str
    payload: Mapping[str, Any]
    received: datetime
    state: Literal["pending", "done", "aside"]
    tries: int
    error: str | None = None


class Inbox(Subject):
    """What came in, within a transaction."""

    def keep(self, door: str, external: str, chat: str, payload: Mapping[str, Any], now: datetime) -> bool:
        """Keeps what came in; False where the door brought it before."""
        row = {"door": door, "external": external, "chat": chat, "payload": dict(payload), "received": now}
        return self._add_new(inbox, row | {"state": "pending", "tries": 0})

    def pending(self, door: str) -> list[Arrived]:
        """Everything that is still to be handled, in the order it came."""
        return self._arrived(select(inbox).where(inbox.c.door == door, inbox.c.state == "pending"))

    def pending_of(self, door: str, chat: str) -> list[Arrived]:
        """What a chat wrote that is still to be handled, in the order it came."""
        return self._arrived(select(inbox).where(inbox.c.door == door, inbox.c.state == "pending", inbox.c.chat == chat))

    def waiting_chats(self, door: str) -> list[str]:
        """Chats that wrote what is still to be handled, the longest waiting first."""
        here = select(inbox.c.chat).where(inbox.c.door == door, inbox.c.state == "pending")
        return list(self.connection.execute(here.group_by(inbox.c.chat).order_by(func.min(inbox.c.id))).scalars())

    def externals_of(self, door: str, chat: str) -> list[str]:
        """The ids by which the door knows what a chat wrote that is still to be handled, in the order it came."""
        here = select(inbox.c.external).where(inbox.c.door == door, inbox.c.state == "pending", inbox.c.chat == chat)
        return list(self.connection.execute(here.order_by(inbox.c.id)).scalars())

    def get(self, door: str, external: str) -> Arrived | None:
        """What the door brought under this id, or None."""
        row = self.connection.execute(select(inbox).where(inbox.c.door == door, inbox.c.external == external)).one_or_none()
        return _arrived(row) if row else None

    def done(self, arrived: int) -> None:
        """It was handled; said in the transaction that holds its effect."""
        self.connection.execute(update(inbox).where(inbox.c.id == arrived).values(state="done", error=None))

    def failed(self, arrived: int, error: str) -> bool:
        """Handling it failed; True where that was once too often and it is set aside."""
        here = inbox.c.id == arrived
        counted = update(inbox).where(here).values(tries=inbox.c.tries + 1, error=error)
        tries = self.connection.execute(counted.returning(inbox.c.tries)).scalar_one_or_none() or 0
        if tries >= TRIES:
            self.connection.execute(update(inbox).where(here).values(state="aside"))
        return tries >= TRIES

    def begun(self, arrived: int, tries: int) -> None:
        """Handling it begins as the try of that number, in a process that may not outlive it; or it is taken back to that many."""
        self.connection.execute(update(inbox).where(inbox.c.id == arrived).values(tries=tries))

    def set_aside(self, arrived: int, error: str) -> None:
        """It is not tried any more."""
        values = {"state": "aside", "error": error}
        self.connection.execute(update(inbox).where(inbox.c.id == arrived).values(values))

    def aside(self, door: str) -> list[Arrived]:
        """What was set aside, for the organiser."""
        return self._arrived(select(inbox).where(inbox.c.door == door, inbox.c.state == "aside"))

    def retry(self, arrived: int) -> None:
        """What was set aside is tried again."""
        self.connection.execute(update(inbox).where(inbox.c.id == arrived).values(state="pending", tries=0, error=None))

    def last_received(self, door: str) -> datetime | None:
        """When the door last brought something."""
        query = select(inbox.c.received).where(inbox.c.door == door).order_by(inbox.c.id.desc()).limit(1)
        return self.connection.execute(query).scalar_one_or_none()

    def prune(self, before: datetime) -> int:
        """Removes what was handled and came before a moment (the door must not bring it again); how many rows."""
        old = (inbox.c.state == "done") & (inbox.c.received < before)
        return self.connection.execute(delete(inbox).where(old)).rowcount

    def _arrived(self, query: Select[Any]) -> list[Arrived]:
        return [_arrived(row) for row in self.connection.execute(query.order_by(inbox.c.id))]


def _arrived(row: Row[Any]) -> Arrived:
    return Arrived(row.id, row.door, row.external, row.chat, row.payload or {}, row.received, row.state, row.tries, row.error)
