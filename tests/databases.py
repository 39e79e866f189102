"""Databases for tests: a SQLite file, and a PostgreSQL server where the environment names one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import create_engine, make_url, text

from core.store import Store
from core.store.tables import CACHE, LASTING

SERVER = "FRYWIRE_TEST_POSTGRESQL"
WHY_NOT = f"{SERVER} names no PostgreSQL server (.ci/postgresql starts one)"
NEEDS_POSTGRESQL = [pytest.mark.postgresql, *([] if os.environ.get(SERVER) else [pytest.mark.skip(reason=WHY_NOT)])]
"""Marks by which tests skip without a server; as a mark, so that pytest says it once a file."""
DATABASES = ("sqlite", pytest.param("postgresql", marks=NEEDS_POSTGRESQL))
"""Parameters for a fixture that runs each test on both."""
on_a_server = pytest.mark.parametrize("kind", [pytest.param("postgresql", marks=NEEDS_POSTGRESQL)])
"""For a test of what only a server does; it is given the `kind`."""


def server() -> str:
    """The URL of the PostgreSQL server, for tests that are marked with `NEEDS_POSTGRESQL`."""
    return os.environ[SERVER]


@contextmanager
def fresh_database(kind: str, folder: Path) -> Iterator[str]:
    """The URL of an empty database, gone afterwards."""
    if kind == "sqlite":
        yield f"sqlite:///{folder / f'{uuid4().hex}.db'}"
        return
    url, name = make_url(server()).set(drivername="postgresql+psycopg"), f"frywire_test_{uuid4().hex}"
    admin = create_engine(url, isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    try:
        yield url.set(database=name).render_as_string(hide_password=False)
    finally:
        with admin.connect() as connection:
            connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
        admin.dispose()


def emptied(store: Store) -> Store:
    """The store with every row gone, quicker than a new one."""
    lasting = [table.name for table in reversed(LASTING.sorted_tables) if table.name != "read_schema"]
    deletions = [f"DELETE FROM {name}" for name in [*lasting, *CACHE.tables]]
    with store.write() as tx:
        for statement in deletions if store.dialect == "sqlite" else ["; ".join(deletions)]:
            tx.connection.exec_driver_sql(statement)
    return store
