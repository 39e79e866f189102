"""What the subjects of a transaction share: its connection, and rows that are put once or put again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, CursorResult, Executable, Select, Table, bindparam, select
from sqlalchemy.dialects import sqlite

from core.store.tables import counters

if TYPE_CHECKING:
    from sqlalchemy.dialects import postgresql

READING = "frywire_reading"
"""The execution option that marks a transaction that only reads."""


class Subject:
    """One subject of the store within a transaction."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    @property
    def _reading(self) -> bool:
        """Whether this transaction only reads."""
        return bool(self.connection.get_execution_options().get(READING))

    def _add_new(self, table: Table, values: Mapping[str, Any]) -> bool:
        """Adds a row unless one with its key is there; whether it was added."""
        return self.connection.execute(_adding(table, self._dialect), dict(values)).one_or_none() is not None

    def _keep(self, table: Table, values: Mapping[str, Any]) -> None:
        """Adds a row, or changes the one with the same primary key."""
        self.connection.execute(_keeping(table, self._dialect, tuple(values)), dict(values))

    def _add_all(self, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
        """Adds rows that are known to be new."""
        if rows:
            self.connection.execute(table.insert(), list(rows))

    def _where(self, table: Table, order: tuple[str, ...] = (), **values: object) -> CursorResult[Any]:
        """The rows whose columns have these values."""
        return self.connection.execute(_finding(table, tuple(values), order), values)

    def _count(self, club: str, name: str) -> int:
        """The next number (1, 2, 3 …) of the club's counter, taken in this transaction."""
        taken = self.connection.execute(_counting(self._dialect), {"club": club, "name": name, "value": 1})
        number: int = taken.scalar_one()
        return number

    @property
    def _dialect(self) -> str:
        return self.connection.dialect.name


# Building a statement costs more than running it: each is built once.


@cache
def _finding(table: Table, names: tuple[str, ...], order: tuple[str, ...]) -> Select[Any]:
    conditions = (table.c[name] == bindparam(name, type_=table.c[name].type) for name in names)
    return select(table).where(*conditions).order_by(*(table.c[name] for name in order))


@cache
def _adding(table: Table, dialect: str) -> Executable:
    return _insert(table, dialect).on_conflict_do_nothing().returning(*table.primary_key.columns)


@cache
def _keeping(table: Table, dialect: str, names: tuple[str, ...]) -> Executable:
    key = [column.name for column in table.primary_key]
    statement = _insert(table, dialect)
    rest = {name: statement.excluded[name] for name in names if name not in key}
    return statement.on_conflict_do_update(index_elements=key, set_=rest) if rest else statement.on_conflict_do_nothing()


@cache
def _counting(dialect: str) -> Executable:
    counted = {"value": counters.c.value + 1}
    statement = _insert(counters, dialect).on_conflict_do_update(index_elements=["club", "name"], set_=counted)
    return statement.returning(counters.c.value)


def _insert(table: Table, dialect: str) -> postgresql.Insert | sqlite.Insert:
    if dialect == "postgresql":
        from sqlalchemy.dialects import postgresql  # most clubs start without it

        return postgresql.insert(table)
    return sqlite.insert(table)
