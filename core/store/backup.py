"""Backups: taken while the club goes on, looked through before they are called good, and kept for some days."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest
from pathlib import Path

from core.store.archive import appearing, dump, examine
from core.store.store import Store
from core.store.trouble import Damaged, trouble_of_file, trouble_of_sqlite

_PREFIX = "frywire-"
_PAGES_AT_ONCE = 2000


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was looked through: where it is, how many entries of the journal it holds, its size in bytes."""

    path: Path
    entries: int
    size: int


@dataclass(frozen=True, slots=True)
class Difference:
    """A stream that two databases do not hold alike: the number of its first entry that differs."""

    stream: str
    number: int


def backup(store: Store, path: Path) -> Backup:
    """Writes a backup to `path`: SQLite's own copy where the name ends in ".db" (SQLite only), else the portable archive."""
    if path.suffix == ".db" and store.dialect == "sqlite":
        return Backup(path, _copy(store, path), path.stat().st_size)
    dump(store, path)
    return Backup(path, examine(path).rows.get("journal", 0), path.stat().st_size)


def nightly(store: Store, folder: Path, today: date, keep_days: int) -> Backup:
    """Writes the day's archive into the folder and keeps the newest `keep_days` of them.

    They are counted, not reckoned by the date: a clock that shows next month must not make every copy look old.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise trouble_of_file(error) from error
    made = backup(store, folder / f"{_PREFIX}{today.isoformat()}.jsonl.gz")
    copies = sorted(folder.glob(f"{_PREFIX}????-??-??.jsonl.gz"), key=lambda copy: (copy.stat().st_mtime_ns, copy.name))
    for old in copies[:-keep_days]:
        old.unlink()
    return made


def compare(one: Store, other: Store) -> list[Difference]:
    """The streams whose entries are not the same in both databases; none after a good restore."""
    with one.read() as here, other.read() as there:
        names = sorted(here.journal.streams().keys() | there.journal.streams().keys())
        found = ((name, _first_difference(here.journal.each(name), there.journal.each(name))) for name in names)
        return [Difference(name, number) for name, number in found if number is not None]


def _first_difference(mine: Iterable[object], theirs: Iterable[object]) -> int | None:
    pairs = enumerate(zip_longest(mine, theirs), start=1)
    return next((place for place, (entry, other) in pairs if entry != other), None)


def _copy(store: Store, path: Path) -> int:
    """SQLite's online copy: pages of one moment, even while others write. Raises `Damaged` where it does not check out."""
    with appearing(path) as unfinished, store.read() as tx:
        os.close(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        source = tx.connection.connection.driver_connection
        assert isinstance(source, sqlite3.Connection)  # noqa: S101 - the store is one of SQLite
        try:
            with closing(sqlite3.connect(unfinished)) as copy:
                return _copy_and_check(source, copy)
        except sqlite3.Error as error:
            raise trouble_of_sqlite(error) from error


def _copy_and_check(source: sqlite3.Connection, copy: sqlite3.Connection) -> int:
    source.backup(copy, pages=_PAGES_AT_ONCE)
    if copy.execute("PRAGMA integrity_check").fetchone() != ("ok",):
        raise Damaged("the copy does not check out")
    (entries,) = copy.execute("SELECT count(*) FROM journal").fetchone()
    copy.execute("DELETE FROM snapshots")
    copy.commit()
    copy.execute("PRAGMA journal_mode=DELETE")
    return int(entries)
