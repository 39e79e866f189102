"""Who is at a chat: of many workers one handles what came from it, in order; the others keep what they are brought and leave it to that one.

A hold is a lease: it is kept up while there is something in hand, left as soon as nothing of the chat waits, and lapses where its
worker died. Whoever keeps a message asks for the hold in the same transaction; whoever leaves one looks, under the same row's lock,
whether something came in meanwhile. So a message is never left lying between two workers.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, timedelta
from typing import Literal

from sqlalchemy import and_, delete, select, update

from core.store.subject import Subject
from core.store.tables import chat_holds, inbox

LEASE = timedelta(minutes=5)
"""How long a hold lasts that is not kept up."""
Hold = Literal["ours", "new", "lapsed"]
"""Held before; nobody held it; taken over from a worker that did not keep it up."""


class Holds(Subject):
    """Chats in the hands of workers, within a transaction."""

    def take(self, door: str, chat: str, worker: str, now: datetime, *, wait: bool = True) -> Hold | None:
        """The chat for this worker; None where another one is at it. `wait`: for one that is just taking or leaving it."""
        here = and_(chat_holds.c.door == door, chat_holds.c.chat == chat)
        held = {"worker": worker, "lease_until": now + LEASE}
        if self._add_new(chat_holds, {"door": door, "chat": chat, **held}):
            return "new"
        row = self.connection.execute(select(chat_holds).where(here).with_for_update(skip_locked=not wait)).one_or_none()
        if row is None:  # left at this very moment; or, where we do not wait, somebody is about to decide
            return self.take(door, chat, worker, now) if wait else None
        if row.worker != worker and row.lease_until > now:
            return None
        self.connection.execute(update(chat_holds).where(here).values(held))
        return "ours" if row.worker == worker else "lapsed"

    def keep_up(self, door: str, chats: Collection[str], worker: str, now: datetime) -> int:
        """The worker is still at these chats; how many of them are still its own."""
        if not chats:
            return 0
        own = and_(chat_holds.c.door == door, chat_holds.c.worker == worker, chat_holds.c.chat.in_(sorted(chats)))
        return self.connection.execute(update(chat_holds).where(own).values(lease_until=now + LEASE)).rowcount

    def leave(self, door: str, chat: str, worker: str) -> bool:
        """The worker has nothing of the chat in hand any more; False, and it stays with it, where something waits that came meanwhile."""
        own = and_(chat_holds.c.door == door, chat_holds.c.chat == chat, chat_holds.c.worker == worker)
        if self.connection.execute(select(chat_holds.c.chat).where(own).with_for_update()).one_or_none() is None:
            return True
        waits = select(inbox.c.id).where(inbox.c.door == door, inbox.c.chat == chat, inbox.c.state == "pending").limit(1)
        if self.connection.execute(waits).first() is not None:
            return False
        self.connection.execute(delete(chat_holds).where(own))
        return True

    def leave_all(self, door: str, worker: str) -> int:
        """The worker begins or ends: whatever it held is free; how many chats."""
        own = and_(chat_holds.c.door == door, chat_holds.c.worker == worker)
        return self.connection.execute(delete(chat_holds).where(own)).rowcount
