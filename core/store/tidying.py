"""Keeping the store tidy and knowing that it is whole: what is over is cleared away, and every stream is counted through."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, func, or_, select

from core.events import StreamId
from core.store.store import Store
from core.store.tables import guesses, invitations, journal, sessions, streams
from core.store.transaction import Transaction
from core.store.trouble import Damaged


@dataclass(frozen=True, slots=True)
class Look:
    """What a look through the store found; `broken` streams do not hold the entries 1, 2, 3 … up to their head."""

    streams: int
    entries: int
    broken: tuple[StreamId, ...]


def tidy(tx: Transaction, before: datetime) -> int:
    """Removes what ended before a moment (messages in and out, buttons, asks, sign-ins, invitations); how many rows.

    The doors must no longer bring what is older: a message cleared away and brought again is kept again, though not recorded again.
    """
    cleared = tx.inbox.prune(before) + tx.deliveries.prune(before) + tx.buttons.prune(before) + tx.drafts.prune(before)
    for table, over in (
        (sessions, sessions.c.expires < before),
        (invitations, or_(invitations.c.expires < before, invitations.c.used_at < before)),
        (guesses, guesses.c.since < before),
    ):
        cleared += tx.connection.execute(delete(table).where(over)).rowcount
    return cleared


def look_through(store: Store) -> Look:
    """Counts every stream through. Raises `Damaged` where SQLite's own check of the file finds fault."""
    with store.read() as tx:
        if store.dialect == "sqlite" and (found := tx.connection.exec_driver_sql("PRAGMA quick_check").scalar_one()) != "ok":
            raise Damaged(str(found).splitlines()[0])
        counted = select(journal.c.stream, func.count().label("entries"), func.max(journal.c.number).label("last"))
        by_stream = counted.group_by(journal.c.stream).subquery()
        query = select(streams.c.stream, streams.c.head, by_stream.c.entries, by_stream.c.last)
        joined = query.outerjoin(by_stream, by_stream.c.stream == streams.c.stream)
        rows = tx.connection.execute(joined.order_by(streams.c.stream)).all()
    broken = tuple(row.stream for row in rows if not row.head == (row.entries or 0) == (row.last or 0))
    return Look(len(rows), sum(row.entries or 0 for row in rows), broken)
