"""Stores for the tests, on SQLite and where there is a server on PostgreSQL, and an event to tell."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from core.events import Holding, Source
from core.store import NewEntry, Store
from tests.databases import DATABASES, emptied, fresh_database

Tell = Callable[..., NewEntry]
Stores = Callable[[str, str], Store]


@pytest.fixture(scope="session")
def stores(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stores]:
    """Empty stores by database and name, each made once for all tests of a worker and emptied when it is asked for again."""
    opened: dict[tuple[str, str], Store] = {}
    folder = tmp_path_factory.mktemp("stores")
    with ExitStack() as stack:

        def ask(kind: str, name: str) -> Store:
            if (kind, name) not in opened:
                opened[kind, name] = Store.open(stack.enter_context(fresh_database(kind, folder)))
                stack.callback(opened[kind, name].close)
            return emptied(opened[kind, name])

        yield ask


@pytest.fixture(params=DATABASES)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def store(kind: str, stores: Stores) -> Store:
    """An empty store on either database."""
    return stores(kind, "club")


@pytest.fixture
def blank(stores: Stores) -> Store:
    """Another empty store, on SQLite."""
    return stores("sqlite", "blank")


@pytest.fixture
def shared(store: Store) -> str:
    """The address of an empty store, for several workers to open."""
    return store.url.render_as_string(hide_password=False)


@pytest.fixture
def url(kind: str, tmp_path: Path) -> Iterator[str]:
    """The address of a database nobody opened yet."""
    with fresh_database(kind, tmp_path) as found:
        yield found


@pytest.fixture
def now() -> datetime:
    return datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def holding(now: datetime) -> Tell:
    """An entry that says that a female holds, told in a message of its own."""

    def tell(message: str | None = None, *, by: str = "marit", told: datetime = now, revision: int = 0) -> NewEntry:
        source = None if message is None else Source("telegram:1", message, revision)
        return NewEntry(Holding("F4", "3"), date(2026, 3, 2), told, by, source=source)

    return tell
