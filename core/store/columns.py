"""What a column can hold, so that both databases keep the same values and sort them the same way."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, Date, DateTime, Dialect, Integer, String, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

LONG = BigInteger().with_variant(Integer(), "sqlite")
"""A whole number of 64 bits; SQLite numbers rows by itself only in a column called INTEGER."""
ID = String(collation="C").with_variant(String(), "sqlite")
"""An id. Both databases sort it by code points, so that rows are locked in one order everywhere."""
PLAIN = JSON(none_as_null=True)
"""A small value as JSON text."""


class Moment(TypeDecorator[datetime]):
    """A moment, given and taken in UTC. A time without a zone is a mistake in the program and raises `ValueError`.

    SQLite has no moments: there it is ISO 8601 text of one width, which sorts as moments do.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Text on SQLite."""
        return dialect.type_descriptor(String() if dialect.name == "sqlite" else DateTime(timezone=True))

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """In UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"a moment needs a time zone: {value!r}")
        moment = value.astimezone(UTC)
        return moment.isoformat(" ", "microseconds") if dialect.name == "sqlite" else moment

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """In UTC."""
        if value is None:
            return None
        return datetime.fromisoformat(value) if dialect.name == "sqlite" else value.astimezone(UTC)


class Day(TypeDecorator[date]):
    """A day; ISO 8601 text on SQLite, which has no days."""

    impl = Date
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Text on SQLite."""
        return dialect.type_descriptor(String() if dialect.name == "sqlite" else Date())

    def process_bind_param(self, value: date | None, dialect: Dialect) -> Any:
        """As the database holds it."""
        return value.isoformat() if value is not None and dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """As a day."""
        return date.fromisoformat(value) if value is not None and dialect.name == "sqlite" else value


class Words(TypeDecorator[str]):
    """Something a person wrote. PostgreSQL cannot hold NUL and no database half a character: they become U+FFFD."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """The text with what no database can hold replaced."""
        return None if value is None else storable(value)


def storable(text: str) -> str:
    """`text` with NUL and lone surrogates replaced by U+FFFD."""
    if "\0" in text:
        text = text.replace("\0", "\ufffd")
    if text.isascii():
        return text
    return "".join("\ufffd" if "\ud800" <= letter <= "\udfff" else letter for letter in text)


Values = dict[str, Any]
"""A row by column name."""
