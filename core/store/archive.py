"""A club in one file that either database can be filled from: each row of each lasting table as a line of JSON, zipped.

The first line says which schema the rows have; each further one is `["table", {column: value}]`; the last holds the number of
rows and the SHA-256 of every line before it, so that a file that was cut off or changed is refused before anything is written.
Days and moments are ISO 8601, bytes are base64, money is text.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import os
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any, BinaryIO, cast

from sqlalchemy import Column, Connection, DateTime, LargeBinary, Numeric, Table, Time, func, select, text

from core.store.columns import Day, Moment
from core.store.schema import known
from core.store.store import Store
from core.store.tables import HEAD, LASTING, chat_holds, read_schema
from core.store.trouble import NewerSchema, NotEmpty, UnsuitableArchive, trouble_of_file

FORMAT = 1
_BATCH = 500
_LEFT_OUT = {read_schema.name, chat_holds.name}


@dataclass(frozen=True, slots=True)
class Archived:
    """What an archive holds: rows per table, and the check sum of its lines."""

    rows: dict[str, int]
    sha256: str


def dump(store: Store, path: Path) -> Archived:
    """Writes the archive, readable by its owner only, while the club goes on: it is one moment's view. Replaces `path` whole."""
    with appearing(path) as unfinished, store.read() as tx, _private(unfinished) as raw:
        archived = _write(tx.connection, raw)
        raw.flush()
        os.fsync(raw.fileno())
    return archived


def restore(path: Path, store: Store) -> Archived:
    """Fills the empty database of `store` with the archive: everything or, where anything is wrong, nothing.

    Raises `UnsuitableArchive`, `NewerSchema` or `NotEmpty`.
    """
    archived = examine(path)
    with store.write() as tx:
        if _holds_something(tx.connection):
            raise NotEmpty
        for table, rows in _batches(path):
            tx.connection.execute(table.insert(), rows)
        _count_on(tx.connection)
        tx.snapshots.empty()
    return archived


def examine(path: Path) -> Archived:
    """What the archive says it holds, after every line was checked against its check sum. Raises `UnsuitableArchive`."""
    digest, rows, last = hashlib.sha256(), dict[str, int](), None
    for line in _lines(path):
        if last is not None:
            digest.update(last)
            _tally(last, rows)
        last = line
    end = _json(last or b"")
    if not isinstance(end, dict) or end.get("sha256") != digest.hexdigest() or end.get("rows") != rows:
        raise UnsuitableArchive("incomplete or changed")
    return Archived(rows, digest.hexdigest())


@contextmanager
def appearing(path: Path) -> Iterator[Path]:
    """A name beside `path` to write to, which takes the place of `path` once everything went well, and is gone otherwise."""
    unfinished = path.with_name(path.name + ".part")
    try:
        unfinished.unlink(missing_ok=True)
        yield unfinished
        unfinished.replace(path)
    except OSError as error:
        raise trouble_of_file(error) from error
    finally:
        unfinished.unlink(missing_ok=True)


def _private(path: Path) -> BinaryIO:
    return cast(BinaryIO, os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb"))


def _write(connection: Connection, raw: BinaryIO) -> Archived:
    digest, rows = hashlib.sha256(), dict[str, int]()
    with gzip.GzipFile(fileobj=raw, mode="wb", mtime=0, filename="", compresslevel=6) as zipped:

        def write(value: Any) -> None:
            line = json.dumps(value, separators=(",", ":")).encode() + b"\n"
            digest.update(line)
            zipped.write(line)

        write({"frywire": FORMAT, "schema": HEAD})
        for table in _tables():
            for row in _rows(connection, table):
                write([table.name, row])
                rows[table.name] = rows.get(table.name, 0) + 1
        end = {"rows": rows, "sha256": digest.hexdigest()}
        zipped.write(json.dumps(end, separators=(",", ":")).encode() + b"\n")
    return Archived(rows, digest.hexdigest())


def _tables() -> list[Table]:
    return [table for table in LASTING.sorted_tables if table.name not in _LEFT_OUT]


def _rows(connection: Connection, table: Table) -> Iterator[dict[str, Any]]:
    query = select(table).order_by(*table.primary_key.columns).execution_options(yield_per=_BATCH)
    for row in connection.execute(query):
        yield {name: _plain(value) for name, value in row._mapping.items() if value is not None}


def _plain(value: Any) -> Any:
    match value:
        case datetime() | date() | time():
            return value.isoformat()
        case bytes():
            return base64.b64encode(value).decode("ascii")
        case Decimal():
            return str(value)
        case _:
            return value


def _value(column: Column[Any], plain: Any) -> Any:
    if plain is None:
        return None
    match column.type:
        case Moment() | DateTime():
            return datetime.fromisoformat(plain)
        case Day():
            return date.fromisoformat(plain)
        case Time():
            return time.fromisoformat(plain)
        case LargeBinary():
            return base64.b64decode(plain)
        case Numeric(asdecimal=True):
            return Decimal(plain)
        case _:
            return plain


def _lines(path: Path) -> Iterator[bytes]:
    try:
        with gzip.open(path, "rb") as zipped:
            yield from zipped
    except (gzip.BadGzipFile, EOFError, zlib.error) as error:
        raise UnsuitableArchive("not readable to its end") from error
    except OSError as error:
        raise trouble_of_file(error) from error


def _json(line: bytes) -> Any:
    try:
        return json.loads(line)
    except ValueError:
        raise UnsuitableArchive("a line is not JSON") from None


def _tally(line: bytes, rows: dict[str, int]) -> None:
    match _json(line):
        case [str() as name, dict()]:
            rows[name] = rows.get(name, 0) + 1
        case {"frywire": int() as made, "schema": str() as schema}:
            if made > FORMAT or not known(schema):
                raise NewerSchema(f"archive of schema {schema}, this version knows {HEAD}")
        case _:
            raise UnsuitableArchive("a line is not one of an archive")


def _batches(path: Path) -> Iterator[tuple[Table, list[dict[str, Any]]]]:
    """The archive's rows by table, some at a time; a column that was added since has its default."""
    batch: list[dict[str, Any]] = []
    table: Table | None = None
    for line in _lines(path):
        value = _json(line)
        if not isinstance(value, list):
            continue
        name, row = value
        if name not in LASTING.tables:
            raise UnsuitableArchive(f"unknown table {name}")
        if table is not None and (table.name != name or len(batch) == _BATCH):
            yield table, batch
            batch = []
        table = LASTING.tables[name]
        batch.append({column.name: _value(column, row.get(column.name)) for column in table.columns})
    if table is not None and batch:
        yield table, batch


def _holds_something(connection: Connection) -> bool:
    return any(connection.execute(select(func.count()).select_from(table)).scalar_one() for table in _tables())


def _count_on(connection: Connection) -> None:
    """Lets PostgreSQL number new rows after those that came with a number. SQLite does so by itself."""
    if connection.dialect.name != "postgresql":
        return
    for table in _tables():
        for column in table.primary_key.columns:
            if column.autoincrement is True:
                sequence = f"pg_get_serial_sequence('{table.name}', '{column.name}')"
                following = f"(SELECT coalesce(max({column.name}), 0) + 1 FROM {table.name})"  # noqa: S608 - names of ours
                connection.execute(text(f"SELECT setval({sequence}, {following}, false)"))
