"""The read tables: what club-wide questions read, refreshed by whoever appends, and dropped whenever their shape changes.

Each fishroom's rows are good until a moment (holds expire, fish grow) and up to an entry of its journal; past either they are
`stale` and a reader has them computed again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, Table, delete, func, or_, select

from core.events import StrainKey
from core.store.subject import Subject
from core.store.tables import club_rooms, fresh, pedigree, rooms, shelf, streams, tasks

_STREAM = "fishroom:"


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """Fish of a batch that can be promised, of one sex ("any" where it was not sexed); `mm` is the mean length now."""

    room: str
    batch: str
    strain: StrainKey
    promisable: int
    sex: str = "any"
    ready: date | None = None
    mm: float | None = None
    price: Decimal | None = None
    data: Mapping[str, Any] = field(default_factory=dict)
    valid_until: datetime | None = None


@dataclass(frozen=True, slots=True)
class TaskRow:
    """A care task that falls due, by its stable key."""

    room: str
    key: str
    due: date
    place: str | None = None
    urgent: bool = False
    data: Mapping[str, Any] = field(default_factory=dict)
    valid_until: datetime | None = None


@dataclass(frozen=True, slots=True)
class PedigreeRow:
    """An animal or batch by its pedigree id ("ROOM/F4"), with its parents as shares: `[[sire, dam, share], …]`."""

    id: str
    room: str
    strain: StrainKey
    sex: str
    parents: Sequence[Sequence[Any]] = ()
    formerly: str | None = None
    data: Mapping[str, Any] = field(default_factory=dict)


class ReadTables(Subject):
    """How fresh the read tables are, within a transaction."""

    def refreshed(self, room: str, upto: int, valid_until: datetime | None) -> None:
        """The fishroom's rows now hold what its journal says up to entry `upto`, and are good until a moment."""
        self._keep(fresh, {"room": room, "upto": upto, "valid_until": valid_until})

    def stale(self, now: datetime) -> list[str]:
        """The fishrooms whose rows have to be computed again: past their moment, behind their journal, or never filled."""
        behind = or_(fresh.c.room.is_(None), fresh.c.upto < streams.c.head, fresh.c.valid_until <= now)
        query = select(rooms.c.id).join(streams, streams.c.stream == _STREAM + rooms.c.id)
        query = query.outerjoin(fresh, fresh.c.room == rooms.c.id).where(behind, streams.c.head > 0)
        return list(self.connection.execute(query.order_by(rooms.c.id)).scalars())

    def empty(self) -> None:
        """Throws everything away; every fishroom is stale then."""
        for table in (fresh, shelf, tasks, pedigree):
            self.connection.execute(delete(table))


class Shelf(Subject):
    """What can be promised, within a transaction."""

    def replace(self, room: str, rows: Iterable[ShelfRow]) -> None:
        """The fishroom's rows are these now."""
        self.connection.execute(delete(shelf).where(shelf.c.room == room))
        self._add_all(shelf, [_values(row, shelf) for row in rows])

    def find(
        self,
        *,
        club: str | None = None,
        room: str | None = None,
        strain: StrainKey | None = None,
        sex: str | None = None,
        ready_by: date | None = None,
        min_mm: float | None = None,
    ) -> list[ShelfRow]:
        """Rows with something to promise, of a club or a fishroom: the soonest ready first.

        `sex` finds unsexed ("any") fish too; `ready_by` finds what is ready on that day or before.
        """
        query = select(shelf).where(shelf.c.promisable > 0)
        if club is not None:
            query = query.join(club_rooms, club_rooms.c.room == shelf.c.room).where(club_rooms.c.club == club)
        if sex is not None:
            query = query.where(shelf.c.sex.in_((sex, "any")))
        wanted = {shelf.c.room: room, shelf.c.strain: strain}
        query = query.where(*(column == value for column, value in wanted.items() if value is not None))
        if ready_by is not None:
            query = query.where(shelf.c.ready <= ready_by)
        if min_mm is not None:
            query = query.where(shelf.c.mm >= min_mm)
        query = query.order_by(shelf.c.ready.is_(None), shelf.c.ready, shelf.c.room, shelf.c.batch, shelf.c.sex)
        return [ShelfRow(**row._mapping) for row in self.connection.execute(query)]


class Tasks(Subject):
    """Care tasks that fall due, within a transaction."""

    def replace(self, room: str, rows: Iterable[TaskRow]) -> None:
        """The fishroom's rows are these now."""
        self.connection.execute(delete(tasks).where(tasks.c.room == room))
        self._add_all(tasks, [_values(row, tasks) for row in rows])

    def due(self, of_rooms: Iterable[str], upto: date) -> list[TaskRow]:
        """What is due in the fishrooms on that day or before: the urgent first, then by place and day."""
        query = select(tasks).where(tasks.c.room.in_(sorted(of_rooms)), tasks.c.due <= upto)
        query = query.order_by(tasks.c.urgent.desc(), tasks.c.room, tasks.c.place, tasks.c.due, tasks.c.key)
        return [TaskRow(**row._mapping) for row in self.connection.execute(query)]


class Pedigree(Subject):
    """Who descends from whom, over all fishrooms, within a transaction."""

    def replace(self, room: str, rows: Iterable[PedigreeRow]) -> None:
        """The fishroom's animals are these now."""
        self.connection.execute(delete(pedigree).where(pedigree.c.room == room))
        self._add_all(pedigree, [_values(row, pedigree) for row in rows])

    def of_rooms(self, of_rooms: Iterable[str]) -> list[PedigreeRow]:
        """The animals of these fishrooms."""
        return self._rows(select(pedigree).where(pedigree.c.room.in_(sorted(of_rooms))))

    def all(self) -> list[PedigreeRow]:
        """Every animal."""
        return self._rows(select(pedigree))

    def get(self, animal: str) -> PedigreeRow | None:
        """One animal or batch by its pedigree id, or None."""
        return next(iter(self._rows(select(pedigree).where(pedigree.c.id == animal))), None)

    def count(self) -> int:
        """How many animals there are."""
        return self.connection.execute(select(func.count()).select_from(pedigree)).scalar_one()

    def _rows(self, query: Select[Any]) -> list[PedigreeRow]:
        return [PedigreeRow(**row._mapping) for row in self.connection.execute(query.order_by(pedigree.c.id))]


def _values(row: ShelfRow | TaskRow | PedigreeRow, table: Table) -> dict[str, Any]:
    values = {column.name: getattr(row, column.name) for column in table.c}
    return values | {"data": dict(row.data)}
