"""The machine's trouble is told in plain words, and nothing is half recorded."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import event, text

from core.store import Busy, Damaged, DiskFull, NewEntry, ReadOnly, Store, StoreTrouble, Transaction, Unreachable, engine
from tests.databases import fresh_database, on_a_server

ROOM = "fishroom:r1"
Tell = Callable[..., NewEntry]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "club.db"


@pytest.fixture
def sqlite(file: Path) -> Iterator[Store]:
    store = Store.open(f"sqlite:///{file}")
    yield store
    store.close()


def record(store: Store, holding: Tell, message: str) -> None:
    with store.write() as tx:
        tx.journal.lock([ROOM])
        tx.journal.append(ROOM, [holding(message)], {})


def count(store: Store) -> int:
    with store.read() as tx:
        return len(tx.journal.entries(ROOM))


def troubles(kind: type[StoreTrouble] = StoreTrouble) -> list[type[StoreTrouble]]:
    return [kind, *(each for below in kind.__subclasses__() for each in troubles(below))]


@pytest.mark.parametrize("kind", troubles())
def test_every_trouble_is_a_sentence(kind: type[StoreTrouble]) -> None:
    sentence = str(kind())
    assert sentence == " ".join((kind.__doc__ or "").split())
    assert sentence.endswith(".")
    assert str(kind("SQLITE_FULL")) == f"{sentence} (SQLITE_FULL)"


def test_a_full_disk_says_so_and_what_was_recorded_stays(sqlite: Store, holding: Tell) -> None:
    """SQLite's page limit fails as a full disk does: SQLITE_FULL (documentation, "PRAGMA max_page_count")."""
    record(sqlite, holding, "1")

    @event.listens_for(sqlite.writer, "begin")
    def limit(connection: object) -> None:
        connection.exec_driver_sql("PRAGMA max_page_count = 1")  # type: ignore[attr-defined]

    def fill(tx: Transaction) -> None:
        tx.journal.lock([ROOM])
        tx.journal.append(ROOM, [holding("2")], {"t": "x" * 1_000_000})

    with pytest.raises(DiskFull, match="Make room"):
        sqlite.run(fill)
    event.remove(sqlite.writer, "begin", limit)
    sqlite.writer.dispose()
    assert count(sqlite) == 1
    record(sqlite, holding, "2")
    assert count(sqlite) == 2


def test_a_read_only_database_says_so(sqlite: Store, holding: Tell) -> None:
    record(sqlite, holding, "1")

    @event.listens_for(sqlite.writer, "begin")
    def forbid(connection: object) -> None:
        connection.exec_driver_sql("PRAGMA query_only = ON")  # type: ignore[attr-defined]

    with pytest.raises(ReadOnly, match="cannot be written to"):
        record(sqlite, holding, "2")
    assert count(sqlite) == 1


def test_a_database_that_is_locked_for_long_is_busy(
    sqlite: Store, holding: Tell, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.05)
    hurried = Store.open(f"sqlite:///{file}")
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(Busy, match="Try again"):
        record(hurried, holding, "1")
    assert count(hurried) == 0
    other.execute("COMMIT")
    record(hurried, holding, "1")
    assert count(hurried) == 1
    other.close()
    hurried.close()


def test_a_damaged_file_is_found_out(file: Path, holding: Tell) -> None:
    store = Store.open(f"sqlite:///{file}")
    with store.write() as tx:
        tx.journal.lock([ROOM])
        tx.journal.append(ROOM, [holding(str(number)) for number in range(2000)], {})
    store.close()
    with sqlite3.connect(file) as direct:
        (page_size,) = direct.execute("PRAGMA page_size").fetchone()
        (root,) = direct.execute("SELECT rootpage FROM sqlite_master WHERE name = 'journal'").fetchone()
    direct.close()
    content = bytearray(file.read_bytes())
    content[(root - 1) * page_size : root * page_size] = b"\xff" * page_size
    file.write_bytes(content)
    broken = Store.open(f"sqlite:///{file}")
    with pytest.raises(Damaged, match="restore the last backup"):
        count(broken)
    broken.close()


def test_what_members_wrote_is_in_no_error(store: Store, now: datetime) -> None:
    def twice(tx: Transaction) -> None:
        tx.people.add("Zanzibar", now, id="p")
        tx.people.add("Zanzibar", now, id="p")

    with pytest.raises(StoreTrouble) as failed:
        store.run(twice)
    assert "Zanzibar" not in str(failed.value) + str(failed.value.__cause__)


def test_busy_work_is_done_again(store: Store, holding: Tell) -> None:
    tries: list[int] = []

    def work(tx: Transaction) -> str:
        tries.append(1)
        tx.journal.lock([ROOM])
        tx.journal.append(ROOM, [holding("1")], {})
        if len(tries) < 3:
            raise Busy
        return "done"

    assert store.run(work) == "done"
    assert (len(tries), count(store)) == (3, 1)


def test_work_that_stays_busy_is_given_up(store: Store) -> None:
    tries: list[int] = []

    def work(_: Transaction) -> None:
        tries.append(1)
        raise Busy

    with pytest.raises(Busy):
        store.run(work, tries=4)
    assert len(tries) == 4


def test_writing_within_writing_is_a_mistake_not_a_standstill(store: Store) -> None:
    with store.write(), pytest.raises(RuntimeError, match="within another"):
        store.run(lambda tx: tx.people.all())
    with store.write() as tx:
        assert tx.people.all() == []


# --- PostgreSQL's own ------------------------------------------------------------------------------------------------


@on_a_server
def test_a_server_that_went_away_says_so_and_is_found_again(kind: str, tmp_path: Path, holding: Tell) -> None:
    with fresh_database(kind, tmp_path) as url:
        store = Store.open(url)
        record(store, holding, "1")

        def lose_connection(tx: Transaction) -> None:
            mine = tx.connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
            with store.read() as other:
                other.connection.execute(text("SELECT pg_terminate_backend(:pid)"), {"pid": mine})
            tx.journal.lock([ROOM])

        with pytest.raises(Unreachable):
            store.run(lose_connection)
        record(store, holding, "2")
        assert count(store) == 2
        store.close()


@on_a_server
def test_a_read_only_server_says_so(kind: str, tmp_path: Path, holding: Tell) -> None:
    with fresh_database(kind, tmp_path) as url:
        store = Store.open(url)
        with store.write() as tx:
            forbid = f"ALTER DATABASE {store.url.database} SET default_transaction_read_only = on"
            tx.connection.exec_driver_sql(forbid)
        store.close()
        store = Store.open(url)
        with pytest.raises(ReadOnly):
            record(store, holding, "1")
        store.close()


@on_a_server
def test_a_database_that_is_not_there_says_so(kind: str, tmp_path: Path) -> None:
    with fresh_database(kind, tmp_path) as url, pytest.raises(Unreachable):
        Store.open(url + "_other")
