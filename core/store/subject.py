"""What the subjects of a transaction share: its connection, and rows that are put once or put again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table
from sqlalchemy.dialects import postgresql, sqlite

from core.store.tables import counters

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
        statement = self._insert(table).values(**values).on_conflict_do_nothing()
        return self.connection.execute(statement.returning(*table.primary_key.columns)).one_or_none() is not None

    def _keep(self, table: Table, values: Mapping[str, Any]) -> None:
        """Adds a row, or changes the one with the same primary key."""
        key = [column.name for column in table.primary_key]
        rest = {name: value for name, value in values.items() if name not in key}
        statement = self._insert(table).values(**values)
        if rest:
            self.connection.execute(statement.on_conflict_do_update(index_elements=key, set_=rest))
        else:
            self.connection.execute(statement.on_conflict_do_nothing())

    def _add_all(self, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
        """Adds rows that are known to be new."""
        if rows:
            self.connection.execute(table.insert(), list(rows))

    def _count(self, club: str, name: str) -> int:
        """The next number (1, 2, 3 …) of the club's counter, taken in this transaction."""
        statement = self._insert(counters).values(club=club, name=name, value=1)
        counted = statement.on_conflict_do_update(
            index_elements=["club", "name"], set_={"value": counters.c.value + 1}
        ).returning(counters.c.value)
        number: int = self.connection.execute(counted).scalar_one()
        return number

    def _insert(self, table: Table) -> postgresql.Insert | sqlite.Insert:
        return sqlite.insert(table) if self.connection.dialect.name == "sqlite" else postgresql.insert(table)
