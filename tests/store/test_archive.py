"""The whole book goes into one file and comes back, on either database; what is damaged is refused."""

from __future__ import annotations

import gzip
import json
import resource
import stat
import threading
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

import pytest

from core.fishroom.state import Fishroom
from core.store import DiskFailed, DiskFull, NewEntry, NewerSchema, NotEmpty, Store, Unreachable, UnsuitableArchive
from core.store.archive import dump, examine, restore
from core.store.backup import Difference, backup, compare, nightly
from core.store.snapshots import Snapshot
from core.store.tables import LASTING
from tests.databases import DATABASES
from tests.store.traces import settle_in

MINUTE = timedelta(minutes=1)
Tell = Callable[..., NewEntry]


@pytest.fixture
def club(store: Store, now: datetime) -> Store:
    """A store with a row in nearly every table."""
    settle_in(store, now)
    return store


@pytest.fixture(params=DATABASES)
def empty(request: pytest.FixtureRequest, stores: Callable[[str, str], Store]) -> Store:
    """An empty store on either database, to restore into."""
    return stores(request.param, "blank")


def everything(store: Store) -> dict[str, list[tuple[object, ...]]]:
    with store.read() as tx:
        return {
            table.name: [tuple(row) for row in tx.connection.execute(table.select().order_by(*table.primary_key.columns))]
            for table in LASTING.sorted_tables
        }


def test_a_club_moves_whole_from_either_database_to_either(club: Store, empty: Store, tmp_path: Path, now: datetime) -> None:
    told = dump(club, tmp_path / "club.jsonl.gz")
    assert restore(tmp_path / "club.jsonl.gz", empty) == told
    assert everything(empty) == everything(club)
    assert compare(club, empty) == []
    assert told.rows["journal"] == 2


def test_a_restored_club_goes_on_where_it_was(club: Store, empty: Store, tmp_path: Path, now: datetime, holding: Tell) -> None:
    dump(club, tmp_path / "club.jsonl.gz")
    restore(tmp_path / "club.jsonl.gz", empty)
    with empty.write() as tx:
        assert tx.journal.lock(["fishroom:r1"]) == {"fishroom:r1": 2}
        assert tx.journal.append("fishroom:r1", [holding("99")], {})[0].number == 3
        assert tx.inbox.keep("telegram", "2", "chat7", {}, now)
        assert not tx.inbox.keep("telegram", "1", "chat7", {}, now)
        due: dict[str, Any] = {"door": "page", "chat": "1", "kind": "notice", "payload": {}, "due_at": now, "now": now}
        assert tx.deliveries.put("new", **due)
    assert compare(club, empty) == [Difference("fishroom:r1", 3)]


def test_an_archive_is_one_moment_while_others_write(club: Store, blank: Store, tmp_path: Path, holding: Tell) -> None:
    stop = threading.Event()

    def write_on() -> None:
        number = 0
        while not stop.is_set():
            number += 1
            with club.write() as tx:
                tx.journal.lock(["fishroom:r1", "fishroom:r2"])
                tx.journal.append("fishroom:r1", [holding(f"w{number}")], {})
                tx.journal.append("fishroom:r2", [holding(f"w{number}")], {})

    writer = threading.Thread(target=write_on)
    writer.start()
    try:
        for number in range(3):
            dump(club, tmp_path / f"{number}.gz")
    finally:
        stop.set()
        writer.join()
    restore(tmp_path / "2.gz", blank)
    with blank.read() as tx:
        heads = tx.journal.streams()
        assert heads["fishroom:r1"] - 2 == heads["fishroom:r2"] > 0
        assert [entry.number for entry in tx.journal.entries("fishroom:r2")] == list(range(1, heads["fishroom:r2"] + 1))


def test_an_archive_is_for_its_owners_eyes(club: Store, tmp_path: Path) -> None:
    dump(club, tmp_path / "club.gz")
    assert stat.S_IMODE((tmp_path / "club.gz").stat().st_mode) == 0o600
    assert list(tmp_path.glob("*.part")) == []


def test_a_backup_is_never_poured_over_a_club(club: Store, tmp_path: Path) -> None:
    dump(club, tmp_path / "club.gz")
    before = everything(club)
    with pytest.raises(NotEmpty, match="empty database"):
        restore(tmp_path / "club.gz", club)
    assert everything(club) == before


def changed(path: Path, change: Callable[[list[bytes]], list[bytes]]) -> Path:
    """The archive with its lines changed, zipped anew."""
    with gzip.open(path, "rb") as zipped:
        lines = change(zipped.readlines())
    other = path.with_name("changed.gz")
    other.write_bytes(gzip.compress(b"".join(lines)))
    return other


DAMAGES: dict[str, Callable[[list[bytes]], list[bytes]]] = {
    "a word changed": lambda lines: [line.replace(b"Lakers", b"Takers") for line in lines],
    "a line left out": lambda lines: lines[:3] + lines[4:],
    "a line twice": lambda lines: [*lines[:3], lines[2], *lines[3:]],
    "the end missing": lambda lines: lines[:-1],
    "only the end": lambda lines: lines[-1:],
    "nothing": lambda _: [],
    "not JSON": lambda lines: [lines[0], b"female 4 holding\n", *lines[1:]],
    "another kind of JSON": lambda lines: [lines[0], b"[1, 2, 3]\n", *lines[1:]],
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_archive_is_refused_and_nothing_written(
    blank: Store, tmp_path: Path, now: datetime, damage: str
) -> None:
    source = Store.open(f"sqlite:///{tmp_path / 'source.db'}")
    settle_in(source, now)
    dump(source, tmp_path / "club.gz")
    source.close()
    before = everything(blank)
    with pytest.raises(UnsuitableArchive):
        restore(changed(tmp_path / "club.gz", DAMAGES[damage]), blank)
    assert everything(blank) == before


@pytest.mark.parametrize("content", [b"", b"female 4 holding", gzip.compress(b"x" * 100, mtime=0)[:-9], b"\x1f\x8b" + b"\0" * 50])
def test_what_is_no_archive_is_refused(blank: Store, tmp_path: Path, content: bytes) -> None:
    (tmp_path / "club.gz").write_bytes(content)
    with pytest.raises(UnsuitableArchive):
        restore(tmp_path / "club.gz", blank)


def test_an_archive_cut_off_anywhere_is_refused(blank: Store, tmp_path: Path, now: datetime) -> None:
    settle_in(blank, now)
    dump(blank, tmp_path / "club.gz")
    whole = (tmp_path / "club.gz").read_bytes()
    for end in range(0, len(whole), max(1, len(whole) // 40)):
        (tmp_path / "cut.gz").write_bytes(whole[:end])
        with pytest.raises(UnsuitableArchive):
            examine(tmp_path / "cut.gz")


def test_an_archive_that_is_not_there_says_so(blank: Store, tmp_path: Path) -> None:
    with pytest.raises(Unreachable, match=r"none\.gz"):
        restore(tmp_path / "none.gz", blank)


def test_a_backup_into_nowhere_says_so(blank: Store, tmp_path: Path) -> None:
    with pytest.raises(Unreachable, match="nowhere"):
        backup(blank, tmp_path / "nowhere" / "club.gz")


@pytest.fixture
def no_room() -> Iterator[Callable[[], None]]:
    """From when it is called, no file of this process may grow beyond 64 KiB: the next best thing to a full disk."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    yield lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (65_536, limits[1]))
    resource.setrlimit(resource.RLIMIT_FSIZE, limits)


@pytest.mark.parametrize("name", ["club.jsonl.gz", "club.db"])
def test_a_backup_without_room_says_so_and_leaves_the_last_one(
    blank: Store, tmp_path: Path, name: str, no_room: Callable[[], None]
) -> None:
    with blank.write() as tx:
        tx.photos.put(Random(1).randbytes(300_000), "image/jpeg", 1, 1, "marit")
    (tmp_path / name).write_bytes(b"the last one")
    no_room()
    with pytest.raises((DiskFull, DiskFailed), match="room"):
        backup(blank, tmp_path / name)
    assert (tmp_path / name).read_bytes() == b"the last one"
    assert list(tmp_path.glob("*.part")) == []


def test_an_archive_of_a_newer_version_is_left_alone(blank: Store, tmp_path: Path) -> None:
    dump(blank, tmp_path / "club.gz")
    head = json.dumps({"frywire": 1, "schema": "9999"}).encode() + b"\n"
    newer = changed(tmp_path / "club.gz", lambda lines: [head, *lines[1:]])
    with pytest.raises(NewerSchema):
        restore(newer, blank)


# --- backups ---------------------------------------------------------------------------------------------------------


def test_a_backup_says_what_it_holds(club: Store, tmp_path: Path) -> None:
    made = backup(club, tmp_path / "club.jsonl.gz")
    assert (made.entries, made.size) == (2, (tmp_path / "club.jsonl.gz").stat().st_size)


def test_a_copy_of_the_sqlite_file_opens_as_a_club(tmp_path: Path, now: datetime) -> None:
    original = Store.open(f"sqlite:///{tmp_path / 'club.db'}")
    settle_in(original, now)
    made = backup(original, tmp_path / "copy.db")
    assert made.entries == 2
    copy = Store.open(f"sqlite:///{tmp_path / 'copy.db'}")
    assert compare(original, copy) == []
    assert everything(copy) == everything(original)
    assert stat.S_IMODE((tmp_path / "copy.db").stat().st_mode) == 0o600
    for each in (original, copy):
        each.close()


def test_nightly_backups_are_kept_for_some_days(club: Store, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    for day in range(6, 11):
        nightly(club, folder, date(2026, 3, day), keep_days=3)
    (folder / "frywire-notes.txt").write_text("mine")
    nightly(club, folder, date(2026, 3, 10), keep_days=3)
    kept = [f"frywire-2026-03-{day:02}.jsonl.gz" for day in (8, 9, 10)]
    assert sorted(path.name for path in folder.iterdir()) == [*kept, "frywire-notes.txt"]


def test_two_clubs_that_differ_are_told_apart(club: Store, blank: Store, tmp_path: Path, holding: Tell) -> None:
    restore_into(club, blank, tmp_path)
    with blank.write() as tx:
        tx.journal.lock(["fishroom:new"])
        tx.journal.append("fishroom:new", [holding("1")], {})
        tx.connection.exec_driver_sql("UPDATE journal SET by_person = 'loki' WHERE stream = 'fishroom:r1' AND number = 2")
    assert compare(club, blank) == [Difference("fishroom:new", 1), Difference("fishroom:r1", 2)]


def restore_into(source: Store, target: Store, folder: Path) -> None:
    dump(source, folder / "moved.gz")
    restore(folder / "moved.gz", target)


def test_snapshots_are_in_no_backup_of_either_kind(club: Store, tmp_path: Path) -> None:
    with club.write() as tx:
        tx.snapshots.keep(Snapshot.of(Fishroom("r1", 2)))
        assert tx.snapshots.rooms() == ["r1"]
    backup(club, tmp_path / "club.gz")
    assert b"snapshots" not in gzip.decompress((tmp_path / "club.gz").read_bytes())
    if club.dialect == "sqlite":
        backup(club, tmp_path / "club.db")
        copy = Store.open(f"sqlite:///{tmp_path / 'club.db'}")
        with copy.read() as tx:
            assert tx.snapshots.rooms() == []
            assert tx.journal.head("fishroom:r1") == 2
        copy.close()


def test_an_archive_that_brings_snapshots_of_its_own_is_refused(club: Store, blank: Store, tmp_path: Path) -> None:
    """A stranger's backup may say what was told, not what it adds up to. Its check sum is in order."""
    dump(club, tmp_path / "club.gz")

    def with_one(lines: list[bytes]) -> list[bytes]:
        rows = json.loads(lines[-1])["rows"] | {"snapshots": 1}
        row = {"room": "r1", "upto": 2, "mark": "", "entry": "", "sum": "", "state": ""}
        lines = [*lines[:-1], json.dumps(["snapshots", row]).encode() + b"\n"]
        return [*lines, json.dumps({"rows": rows, "sha256": sha256(b"".join(lines)).hexdigest()}).encode() + b"\n"]

    with pytest.raises(UnsuitableArchive) as refused:
        restore(changed(tmp_path / "club.gz", with_one), blank)
    assert refused.value.detail == "unknown table snapshots"
    with blank.read() as tx:
        assert (tx.snapshots.rooms(), tx.journal.streams()) == ([], {})
