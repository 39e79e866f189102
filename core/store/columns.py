"""What a column can hold, so that both databases keep the same values and sort them the same way."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, DateTime, Dialect, Integer, String, Text
from sqlalchemy.types import TypeDecorator

LONG = BigInteger().with_variant(Integer(), "sqlite")
"""A whole number of 64 bits; SQLite numbers rows by itself only in a column called INTEGER."""
ID = String(collation="C").with_variant(String(), "sqlite")
"""An id. Both databases sort it by code points, so that rows are locked in one order everywhere."""
PLAIN = JSON(none_as_null=True)
"""A small value as JSON text."""


class Moment(TypeDecorator[datetime]):
    """A moment, given and taken in UTC. A time without a zone is a mistake in the program and raises `ValueError`."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """UTC; SQLite has no zones, so there the zone is dropped and texts sort as moments do."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"a moment needs a time zone: {value!r}")
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """UTC, with its zone."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


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
