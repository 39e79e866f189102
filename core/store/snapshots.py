"""Snapshots: fishrooms' states kept beside the journal, so that a start need not replay all of it. They are a cache.

A snapshot says which entry of its fishroom's journal it stands on, and a print of it; which code made it; and the check sum of its
bytes. One of which anything does not hold is as good as none: the journal is replayed. No backup carries them.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Literal

from sqlalchemy import Row, Select, bindparam, delete, select

from core.fishroom.state import Fishroom
from core.store import snapshot_form
from core.store.subject import Subject
from core.store.tables import journal, snapshots

LOG = logging.getLogger(__name__)
Soundness = Literal["sound", "stale", "foreign", "damaged"]
"""Stale: made by other code. Foreign: the journal does not hold the entry it stands on. Damaged: its bytes are not what they were."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A fishroom's state as bytes, after an entry of its journal."""

    room: str
    upto: int
    state: bytes

    @classmethod
    def of(cls, room: Fishroom) -> Snapshot:
        """Of a state that is committed. This takes some milliseconds, and is no part of a transaction."""
        return cls(room.id, room.number, snapshot_form.write(room))


class Snapshots(Subject):
    """Snapshots within a transaction."""

    def keep(self, snapshot: Snapshot) -> None:
        """Keeps it in place of the fishroom's earlier one. Not kept where the journal does not hold the entry that it stands on."""
        entry = self.connection.execute(_ENTRY, {"stream": _stream(snapshot.room), "number": snapshot.upto}).one_or_none()
        if entry is None:
            return
        marks = {"mark": snapshot_form.mark(), "entry": _print_of(entry), "sum": _sum_of(snapshot.state)}
        self._keep(snapshots, {"room": snapshot.room, "upto": snapshot.upto, "state": snapshot.state, **marks})

    def get(self, room: str) -> Fishroom | None:
        """The fishroom's state after the entry that its snapshot stands on; None where there is none that holds."""
        row = self._row(room)
        if row is None or _soundness(row) != "sound":
            return None
        try:
            state = snapshot_form.read(row.state)
        except snapshot_form.UNFIT:
            LOG.warning("the snapshot of fishroom %s cannot be read; its journal is replayed", room)
            return None
        return state if (state.id, state.number) == (room, row.upto) else None

    def upto(self, room: str) -> int:
        """The entry that the fishroom's snapshot stands on; 0 where there is none that holds."""
        row = self._row(room)
        return row.upto if row is not None and _soundness(row) == "sound" else 0

    def soundness(self, room: str) -> Soundness | None:
        """Whether the fishroom's snapshot holds, as far as can be told without the journal; None where there is none."""
        row = self._row(room)
        return None if row is None else _soundness(row)

    def drop(self, rooms: Iterable[str]) -> None:
        """Throws away the snapshots of these fishrooms."""
        self.connection.execute(delete(snapshots).where(snapshots.c.room.in_(sorted(rooms))))

    def empty(self) -> None:
        """Throws all of them away."""
        self.connection.execute(delete(snapshots))

    def rooms(self) -> list[str]:
        """The fishrooms that have one, whether it holds or not, by id."""
        return list(self.connection.execute(select(snapshots.c.room).order_by(snapshots.c.room)).scalars())

    def _row(self, room: str) -> Row[Any] | None:
        return self.connection.execute(_SNAPSHOT, {"room": room, "stream": _stream(room)}).one_or_none()


def _soundness(row: Row[Any]) -> Soundness:
    if row.mark != snapshot_form.mark():
        return "stale"
    if row.told is None or row.entry != _print_of(row):
        return "foreign"
    return "sound" if row.sum == _sum_of(row.state) else "damaged"


def _stream(room: str) -> str:
    return f"fishroom:{room}"


def _print_of(entry: Row[Any]) -> str:
    """A print of an entry. It tells journals apart: two never have an entry in common that was told in the same microsecond."""
    values = [*(str(entry._mapping[column.name]) for column in _TELLING), entry.event]
    return sha256(json.dumps(values, sort_keys=True).encode()).hexdigest()


def _sum_of(state: bytes) -> str:
    return sha256(state).hexdigest()


_TELLING = (journal.c.on_day, journal.c.at_time, journal.c.told, journal.c.by_person, journal.c.day_order)
_THIS = (journal.c.stream == bindparam("stream")) & (journal.c.number == snapshots.c.upto)
_SNAPSHOT: Select[Any] = (
    select(snapshots, journal.c.event, *_TELLING).outerjoin(journal, _THIS).where(snapshots.c.room == bindparam("room"))
)
_ENTRY: Select[Any] = select(journal.c.event, *_TELLING).where(
    journal.c.stream == bindparam("stream"), journal.c.number == bindparam("number")
)
