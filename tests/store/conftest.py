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


@pytest.fixture(scope="session")
def postgresql(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], Store]]:
    """One PostgreSQL database for all tests of a worker, made when it is first asked for."""
    opened: list[Store] = []
    with ExitStack() as stack:

        def ask() -> Store:
            if not opened:
                opened.append(Store.open(stack.enter_context(fresh_database("postgresql", tmp_path_factory.getbasetemp()))))
                stack.callback(opened[0].close)
            return emptied(opened[0])

        yield ask


@pytest.fixture(params=DATABASES)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def store(kind: str, tmp_path: Path, postgresql: Callable[[], Store]) -> Iterator[Store]:
    if kind == "postgresql":
        yield postgresql()
        return
    opened = Store.open(f"sqlite:///{tmp_path / 'club.db'}")
    yield opened
    opened.close()


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
