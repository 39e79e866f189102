"""Bringing a database to today's shape: a fresh one is made at once, an older one is migrated, a newer one is left alone."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, Index, delete, insert, inspect, select, text
from sqlalchemy.dialects import registry
from sqlalchemy.schema import CreateIndex, CreateTable, ExecutableDDLElement

import core.store.page  # noqa: F401 - its tables belong to the lasting ones
from core.store.tables import CACHE, CACHE_NUMBER, HEAD, LASTING, read_schema
from core.store.trouble import Damaged, NewerSchema

if TYPE_CHECKING:
    from alembic.config import Config

MIGRATIONS = Path(__file__).parent / "migrations"
_LOCK = 7_160_254_331
"""An arbitrary number: the advisory lock under which PostgreSQL's workers migrate one after the other."""


def prepare(writer: Engine) -> None:
    """Makes or migrates the lasting tables, and drops and makes the cache where its number changed."""
    with writer.connect() as connection:
        if _ready(connection):
            return
    with writer.begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SET LOCAL lock_timeout = 0"))
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
        _prepare(connection)


def _ready(connection: Connection) -> bool:
    return _revision(connection) == HEAD and _cache_number(connection) == CACHE_NUMBER


def _prepare(connection: Connection) -> None:
    revision = _revision(connection)
    if revision is None:
        create(connection)
    elif revision != HEAD:
        migrate(connection, revision)
    if _cache_number(connection) != CACHE_NUMBER:
        refill(connection)


def create(connection: Connection) -> None:
    """Makes the lasting tables as they are today and stamps them with the newest migration."""
    if inspect(connection).has_table("journal"):
        raise Damaged("tables without a migration number")
    for statement in _creation(connection.dialect.name):
        connection.exec_driver_sql(statement)
    key = "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)"
    connection.execute(text(f"CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, {key})"))
    connection.execute(text("INSERT INTO alembic_version VALUES (:head)"), {"head": HEAD})


@cache
def _creation(dialect: str) -> tuple[str, ...]:
    """The statements that make the lasting tables, worded once for all databases of a kind."""
    kind = registry.load(dialect)()
    making: list[ExecutableDDLElement] = []
    for table in LASTING.sorted_tables:
        making += [CreateTable(table), *map(CreateIndex, sorted(table.indexes, key=_name))]
    return tuple(str(each.compile(dialect=kind)) for each in making)


def _name(index: Index) -> str:
    return str(index.name)


def migrate(connection: Connection, revision: str | None, to: str = "head") -> None:
    """Runs the migrations from `revision` on. Raises `NewerSchema` for one that this version does not know."""
    from alembic import command

    if revision is not None and not known(revision):
        raise NewerSchema(f"migration {revision}, this version knows {HEAD}")
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, to)


def known(revision: str) -> bool:
    """Whether this version knows the migration."""
    from alembic.script import ScriptDirectory

    return revision == HEAD or revision in {each.revision for each in ScriptDirectory.from_config(_config()).walk_revisions()}


def _config() -> Config:
    """What alembic wants to know. It is imported where it is needed only: most starts migrate nothing."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config


def refill(connection: Connection) -> None:
    """Drops the cache, in whatever shape it is, and makes it empty."""
    for name in ("fresh", "shelf", "tasks", "pedigree", *CACHE.tables):
        connection.execute(text(f"DROP TABLE IF EXISTS {name}"))
    CACHE.create_all(connection)
    connection.execute(delete(read_schema))
    connection.execute(insert(read_schema).values(number=CACHE_NUMBER))


def _revision(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one_or_none()


def _cache_number(connection: Connection) -> int | None:
    if not inspect(connection).has_table("read_schema"):
        return None
    return connection.execute(select(read_schema.c.number)).scalar_one_or_none()
