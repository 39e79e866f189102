"""Keeping the store tidy and knowing that it is whole: what is over is cleared away, and every stream is counted through."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import String, delete, func, or_, select, type_coerce

from core.events import StreamId
from core.store.columns import is_zone
from core.store.store import Store
from core.store.tables import clubs, guesses, invitations, journal, persons, rooms, sessions, streams
from core.store.transaction import Transaction
from core.store.trouble import Damaged, Unreadable


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


def odd_values(store: Store, most: int = 10) -> list[str]:
    """What a look at every value finds that cannot be read and is read as something else, or not at all; `most` of them."""
    found: list[str] = []
    with store.read() as tx:
        for table, what in ((clubs, "club"), (persons, "person")):
            rows = tx.connection.execute(select(table.c.id, type_coerce(table.c.zone, String))).all()
            found += [f"the time zone of {what} {id_} is unknown" for id_, zone in rows if zone is not None and not is_zone(zone)]
        if store.dialect == "sqlite":
            for table in (clubs, persons, rooms):
                broken = select(table.c.id).where(func.json_valid(type_coerce(table.c.prefs, String)) == 0)
                found += [f"the choices of {table.name} {id_} are not JSON" for id_ in tx.connection.execute(broken).scalars()]
        for stream in tx.journal.streams():
            try:
                deque(tx.journal.each(stream), maxlen=0)
            except Unreadable as trouble:
                found.append(f"{trouble.detail} cannot be read")
    return found[:most]
