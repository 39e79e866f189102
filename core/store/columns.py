"""What a column can hold, so that both databases keep the same values and sort them the same way."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sqlalchemy import JSON, BigInteger, Date, DateTime, Dialect, Integer, String, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

LONG = BigInteger().with_variant(Integer(), "sqlite")
"""A whole number of 64 bits; SQLite numbers rows by itself only in a column called INTEGER."""
ID = String(collation="C").with_variant(String(), "sqlite")
"""An id. Both databases sort it by code points, so that rows are locked in one order everywhere."""
LOG = logging.getLogger(__name__)


class Plain(TypeDecorator[Any]):
    """A small value as JSON text. Text that is none (a file edited by hand, a bad disk) reads as {}, and the log says so: one
    damaged value must not keep a whole club waiting.
    """

    impl = JSON(none_as_null=True)
    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """The database's own, with a net under it."""
        decode = super().result_processor(dialect, coltype)

        def process(value: Any) -> Any:
            try:
                return decode(value) if decode else value
            except ValueError:
                LOG.error("a value in the database is not JSON and reads as empty; frywire check says more")
                return {}

        return process


PLAIN = Plain()
"""A small value as JSON text."""


class Zone(TypeDecorator[str]):
    """The name of a time zone. One that is not known on this machine reads as `instead`, and the log says so."""

    impl = String
    cache_ok = True

    def __init__(self, instead: str | None) -> None:
        super().__init__()
        self.instead = instead

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        """The name, if there is such a zone."""
        if value is None or is_zone(value):
            return value
        LOG.error("the database holds an unknown time zone and %s is taken instead; frywire check says more", self.instead)
        return self.instead


@cache
def is_zone(name: str) -> bool:
    """Whether there is a time zone of that name."""
    try:
        return bool(ZoneInfo(name))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False



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
