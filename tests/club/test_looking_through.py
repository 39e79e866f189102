"""A snapshot that says something else than its journal is found, named and thrown away."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text, update

from bot.__main__ import main
from core.club.looking_through import SnapshotsLook, look_at_snapshots
from core.fishroom.replay import replay
from core.store import Store, snapshot_form
from core.store.snapshots import Snapshot
from core.store.tables import snapshots
from tests.bench.clubs import Size, club

ROOMS = ("r1", "r2", "r3")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Three fishrooms with a snapshot of each, and some entries after it."""
    with club(Size(members=4, keepers=3, entries=120), tmp_path) as (conversation, _):
        with conversation.store.write() as tx:
            for room in ROOMS:
                tx.snapshots.keep(Snapshot.of(replay(room, tx.journal.entries(f"fishroom:{room}")[:30])))
        yield conversation.store


def make_wrong(store: Store, room: str) -> None:
    """A fish more than there is, and everything else in order."""
    with store.write() as tx:
        state = tx.snapshots.get(room)
        assert state is not None
        state.fish["F9"] = state.fish["F1"]
        tx.snapshots.keep(Snapshot.of(state))


def test_snapshots_that_agree_are_counted(store: Store) -> None:
    assert look_at_snapshots(store) == SnapshotsLook(3, {}, ())


def test_a_wrong_snapshot_is_thrown_away_and_the_others_stay(store: Store) -> None:
    make_wrong(store, "r2")
    assert look_at_snapshots(store) == SnapshotsLook(2, {}, ("r2",))
    assert look_at_snapshots(store) == SnapshotsLook(2, {}, ())


def test_what_is_not_used_is_counted_by_why(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    with store.write() as tx:
        tx.connection.execute(update(snapshots).where(snapshots.c.room == "r1").values(state=b""))
        tx.connection.execute(update(snapshots).where(snapshots.c.room == "r2").values(upto=31))
    assert look_at_snapshots(store) == SnapshotsLook(1, {"damaged": 1, "foreign": 1}, ())
    monkeypatch.setattr(snapshot_form, "mark", lambda: "of another version")
    assert look_at_snapshots(store) == SnapshotsLook(0, {"stale": 3}, ())


def test_a_journal_that_cannot_be_read_accuses_no_snapshot(store: Store) -> None:
    with store.write() as tx:
        tx.connection.execute(text("UPDATE journal SET event = '{}' WHERE stream = 'fishroom:r1' AND number = 3"))
    assert look_at_snapshots(store) == SnapshotsLook(2, {}, ())


def test_check_says_what_it_found(
    store: Store, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{store.url.database}")
    assert main(["check", "--offline"]) == 0
    assert "ok     snapshots: 3 agree with their journals" in capsys.readouterr().out
    make_wrong(store, "r3")
    assert main(["check", "--offline"]) == 1
    assert "WRONG  snapshots: 2 agree with their journals; that of fishroom r3 was wrong" in capsys.readouterr().out
    assert main(["check", "--offline"]) == 0
