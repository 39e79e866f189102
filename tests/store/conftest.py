from __future__ import annotations

import shutil
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
def postgresql(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Store]]:
    """Empty PostgreSQL stores by name, each made once for all tests of a worker and emptied when it is asked for again."""
    opened: dict[str, Store] = {}
    with ExitStack() as stack:

        def ask(name: str) -> Store:
            if name not in opened:
                url = stack.enter_context(fresh_database("postgresql", tmp_path_factory.getbasetemp()))
                opened[name] = Store.open(url)
                stack.callback(opened[name].close)
            return emptied(opened[name])

        yield ask


@pytest.fixture(params=DATABASES)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty SQLite database to copy, which is quicker than making one for each test."""
    path = tmp_path_factory.mktemp("made") / "club.db"
    Store.open(f"sqlite:///{path}").close()
    return path


@pytest.fixture
def blank(made: Path, tmp_path: Path) -> Iterator[Store]:
    """An empty SQLite store."""
    opened = Store.open(f"sqlite:///{shutil.copy(made, tmp_path / 'blank.db')}")
    yield opened
    opened.close()


@pytest.fixture
def store(kind: str, made: Path, tmp_path: Path, postgresql: Callable[[str], Store]) -> Iterator[Store]:
    if kind == "postgresql":
        yield postgresql("club")
        return
    opened = Store.open(f"sqlite:///{shutil.copy(made, tmp_path / 'club.db')}")
    yield opened
    opened.close()


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
