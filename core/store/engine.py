"""How the store speaks to its database: one engine that writes and one that only reads, on SQLite or PostgreSQL.

SQLite keeps a write-ahead log, forces each commit to the disk, checks foreign keys, and takes the write lock when a transaction
begins: a transaction that read first and asked for the lock later would be refused whenever another had written meanwhile.
"""

from __future__ import annotations

import json
import os
import sqlite3
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import msgspec
from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError

from core.store.subject import READING
from core.store.trouble import ReadOnly, Unreachable, UnusableAddress, trouble_of_file

BUSY_SECONDS = 10.0
"""How long a writer waits for another one."""
_POSTGRESQL = {"postgresql", "postgres", "postgresql+psycopg"}
_PATIENCE = {"lock_timeout": int(BUSY_SECONDS * 1000), "idle_in_transaction_session_timeout": 60_000}
"""In milliseconds: how long PostgreSQL lets a worker wait for a lock, and hold one while doing nothing."""
_OLDEST_SQLITE = (3, 35, 0)
"""RETURNING is from 3.35."""


def address(url: str) -> URL:
    """`url` as SQLAlchemy takes it. Raises `UnusableAddress`, which never quotes a password."""
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError):
        raise UnusableAddress from None
    if parsed.drivername in _POSTGRESQL:
        return parsed.set(drivername="postgresql+psycopg")
    if parsed.drivername not in {"sqlite", "sqlite+pysqlite"} or parsed.database in {None, "", ":memory:"}:
        raise UnusableAddress(parsed.render_as_string(hide_password=True))
    return parsed.set(drivername="sqlite+pysqlite")


def engines(url: URL) -> tuple[Engine, Engine]:
    """The engine that writes and the engine that reads."""
    return _sqlite(url) if url.drivername.startswith("sqlite") else _postgresql(url)


def _from_json(written: str | bytes) -> Any:
    """The value. Python's own reader takes several times as long, and takes some things that are not quite JSON (NaN)."""
    try:
        return msgspec.json.decode(written)
    except msgspec.DecodeError:
        return json.loads(written)


def _sqlite(url: URL) -> tuple[Engine, Engine]:
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        raise Unreachable(f"SQLite 3.35 or later is needed, this is {sqlite3.sqlite_version}")
    _make_private(Path(url.database or "").absolute())
    options: dict[str, Any] = {"connect_args": {"timeout": BUSY_SECONDS}, "hide_parameters": True, "json_deserializer": _from_json}
    writer = create_engine(url, **options)
    reader = create_engine(url, **options, pool_size=8)
    pragmas = ("foreign_keys=ON", f"busy_timeout={int(BUSY_SECONDS * 1000)}")
    _on_connect(writer, ("journal_mode=WAL", "synchronous=FULL", *pragmas))
    _on_connect(reader, (*pragmas, "query_only=ON"))
    _on_begin(writer, "BEGIN IMMEDIATE")
    _on_begin(reader, "BEGIN")
    return writer, reader.execution_options(**{READING: True})


def _make_private(path: Path) -> None:
    """Makes the file where there is none, for its owner only: it holds people's contacts. SQLite's side files follow it.

    SQLite makes files beside it, so the folder has to be writable too; its own error for that does not say so.
    """
    if not path.parent.is_dir():
        raise Unreachable(f"no folder {path.parent}")
    try:
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    except FileExistsError:
        if not all(os.access(each, os.W_OK) for each in (path, path.parent)):
            raise ReadOnly(str(path)) from None
    except OSError as error:
        raise trouble_of_file(error) from error


def _on_connect(engine: Engine, pragmas: tuple[str, ...]) -> None:
    @event.listens_for(engine, "connect")
    def prepare(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None
        for pragma in pragmas:
            _ask(connection, f"PRAGMA {pragma}")


def _ask(connection: sqlite3.Connection, statement: str) -> None:
    """Executes a statement, again where SQLite says "busy" at once.

    It does so, whatever the busy timeout, where two connections change a new file to a write-ahead log in the same moment: each
    would wait for the other.
    """
    last = monotonic() + BUSY_SECONDS
    while True:
        try:
            connection.execute(statement)
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or monotonic() > last:
                raise
            sleep(0.02)


def _on_begin(engine: Engine, statement: str) -> None:
    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql(statement)


def _postgresql(url: URL) -> tuple[Engine, Engine]:
    connect = {"connect_timeout": 10, "options": " ".join(f"-c {name}={value}" for name, value in _PATIENCE.items())}
    options: dict[str, Any] = {"hide_parameters": True, "pool_pre_ping": True, "connect_args": connect, "json_deserializer": _from_json}
    writer = create_engine(url, **options, isolation_level="READ COMMITTED")
    reader = create_engine(url, **options, isolation_level="REPEATABLE READ").execution_options(
        postgresql_readonly=True, **{READING: True}
    )
    return writer, reader
