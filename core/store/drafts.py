"""What a conversation has open: asks that wait for an answer, and the little it remembers of each person in each chat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Row, bindparam, delete, select, update

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import drafts, kept, memory

DraftState = Literal["open", "answered", "expired", "dropped"]


@dataclass(frozen=True, slots=True)
class Draft:
    """An open ask: what was understood so far (`draft`), of which words, written when (local time)."""

    id: int
    person: PersonId
    door: str
    chat: str
    about: str
    draft: Mapping[str, Any]
    text: str
    written: datetime
    expires: datetime
    state: DraftState
    room: str | None = None


class Drafts(Subject):
    """Open asks within a transaction."""

    def open(
        self,
        person: PersonId,
        door: str,
        chat: str,
        *,
        about: str,
        draft: Mapping[str, Any],
        text: str,
        written: datetime,
        expires: datetime,
        room: str | None = None,
    ) -> Draft:
        """A new open ask. `written` is local, without a zone; `expires` a moment."""
        row = {"person": person, "door": door, "chat": chat, "room": room, "about": about, "draft": dict(draft)}
        told = {"words": text, "written": written, "expires": expires, "state": "open"}
        made = drafts.insert().values(**row, **told).returning(*drafts.c)
        return _draft(self.connection.execute(made).one())

    def newest(self, person: PersonId, door: str, chat: str, now: datetime) -> Draft | None:
        """The newest ask that is open for the person in the chat, or None."""
        here = {"person": person, "door": door, "chat": chat, "moment": now}
        row = self.connection.execute(_NEWEST, here).one_or_none()
        return _draft(row) if row else None

    def get(self, draft: int) -> Draft | None:
        """The ask, in whatever state, or None."""
        row = self.connection.execute(select(drafts).where(drafts.c.id == draft)).one_or_none()
        return _draft(row) if row else None

    def open_of(self, person: PersonId) -> list[Draft]:
        """Everything that is open for the person anywhere, oldest first, expired or not yet told as such."""
        return [_draft(row) for row in self._where(drafts, ("id",), person=person, state="open")]

    def expired(self, now: datetime, limit: int = 1000) -> list[Draft]:
        """Open asks whose time is over, so that they can be let go aloud; `close` each."""
        over = (drafts.c.state == "open") & (drafts.c.expires <= now)
        return [_draft(row) for row in self.connection.execute(select(drafts).where(over).order_by(drafts.c.id).limit(limit))]

    def next_expiry(self, after: datetime) -> datetime | None:
        """When the next open ask is over, after a moment."""
        still_open = (drafts.c.state == "open") & (drafts.c.expires > after)
        query = select(drafts.c.expires).where(still_open).order_by(drafts.c.expires).limit(1)
        return self.connection.execute(query).scalar_one_or_none()

    def change(self, draft: int, *, about: str, values: Mapping[str, Any], expires: datetime) -> None:
        """The ask goes on: what it is about now, and what is understood so far."""
        changed = update(drafts).where(drafts.c.id == draft).values(about=about, draft=dict(values), expires=expires)
        self.connection.execute(changed)

    def close(self, draft: int, state: DraftState = "answered") -> bool:
        """The ask is no longer open; False where it was not."""
        still_open = (drafts.c.id == draft) & (drafts.c.state == "open")
        return self.connection.execute(update(drafts).where(still_open).values(state=state)).rowcount == 1

    def prune(self, before: datetime) -> int:
        """Removes closed asks that expired before a moment; how many."""
        old = (drafts.c.state != "open") & (drafts.c.expires < before)
        return self.connection.execute(delete(drafts).where(old)).rowcount


class Memory(Subject):
    """The little that is remembered of a person in a chat: last spoken of, place scanned, numbers of the last digest …"""

    def get(self, person: PersonId, door: str, chat: str) -> dict[str, Any]:
        """What is remembered; empty at first."""
        row = self._where(memory, person=person, door=door, chat=chat).one_or_none()
        return dict(row.value) if row else {}

    def set(self, person: PersonId, door: str, chat: str, value: Mapping[str, Any]) -> None:
        """Remembers exactly this."""
        self._keep(memory, {"person": person, "door": door, "chat": chat, "value": dict(value)})

    def change(self, person: PersonId, door: str, chat: str, **values: Any) -> None:
        """Remembers these values besides the others; None forgets one."""
        merged = self.get(person, door, chat) | values
        self.set(person, door, chat, {name: value for name, value in merged.items() if value is not None})


class Kept(Subject):
    """Single values of the whole installation, by key."""

    def get(self, key: str) -> Any:
        """The value, or None."""
        return self.connection.execute(select(kept.c.value).where(kept.c.key == key)).scalar_one_or_none()

    def set(self, key: str, value: Any) -> None:
        """Keeps a JSON value under the key; None removes it."""
        if value is None:
            self.connection.execute(delete(kept).where(kept.c.key == key))
        else:
            self._keep(kept, {"key": key, "value": value})


_NEWEST = (
    select(drafts)
    .where(drafts.c.person == bindparam("person"), drafts.c.door == bindparam("door"), drafts.c.chat == bindparam("chat"))
    .where(drafts.c.state == "open", drafts.c.expires > bindparam("moment"))
    .order_by(drafts.c.id.desc())
    .limit(1)
)


def _draft(row: Row[Any]) -> Draft:
    return Draft(
        id=row.id,
        person=row.person,
        door=row.door,
        chat=row.chat,
        about=row.about,
        draft=row.draft,
        text=row.words or "",
        written=row.written,
        expires=row.expires,
        state=row.state,
        room=row.room,
    )
