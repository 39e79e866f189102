"""A snapshot is the state that the journal adds up to, or it is nothing."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import update

from core.club.fingerprint import canonical
from core.events import Fed
from core.fishroom.history import PAGE, History
from core.fishroom.replay import bring_up, replay
from core.fishroom.state import Feeding, Fishroom
from core.store import NewEntry, Store, snapshot_form
from core.store.snapshots import Snapshot
from core.store.tables import journal as journal_table
from core.store.tables import snapshots
from tests.fishroom.streams import ANYHOW, VOIDS, Told, journal, told_anew, with_voids

ROOM, STREAM = "r1", "fishroom:r1"
DAY = date(2026, 3, 2)
laws = settings(max_examples=30, deadline=None)
Tell = Callable[..., NewEntry]


# --- the law ---------------------------------------------------------------------------------------------------------


@laws
@given(ANYHOW, VOIDS, st.integers(0, 60), st.data())
def test_a_snapshot_and_what_was_told_since_are_the_whole_journal(
    told: list[Told], voids: list[tuple[int, int]], cut: int, data: st.DataObject
) -> None:
    """Also where it was told late, taken back, put back, or told anew in the place of something earlier."""
    entries = told_anew(with_voids(journal(told), voids), data.draw(st.lists(st.integers(0, 40), max_size=2)))
    early = replay("fishroom:marit", entries[:cut])
    restored = bring_up(snapshot_form.read(snapshot_form.write(early)), entries[cut:], lambda: entries)
    whole = replay("fishroom:marit", entries)
    assert restored == whole
    assert canonical(restored) == canonical(whole)


def anything(hint: Any) -> st.SearchStrategy[Any]:
    """Any value of a type of the state."""
    arguments = get_args(hint)
    match get_origin(hint) or hint:
        case kind if kind is History:
            return st.lists(anything(arguments[0]), max_size=2).map(History)
        case kind if kind in (UnionType, Union):
            return st.one_of(st.none() if one is NoneType else anything(one) for one in arguments)
        case kind if kind is tuple and arguments[-1] is not ...:
            return st.tuples(*map(anything, arguments))
        case kind if kind is tuple:
            return st.lists(anything(arguments[0]), max_size=2).map(tuple)
        case kind if kind in (list, set, frozenset):
            return st.lists(anything(arguments[0]), max_size=2).map(kind)
        case kind if kind is dict:
            return st.dictionaries(*map(anything, arguments), max_size=2)
        case kind if kind is Literal:
            return st.sampled_from(arguments)
        case kind if is_dataclass(kind) and isinstance(kind, type):
            hints = get_type_hints(kind)
            return st.builds(kind, **{one.name: anything(hints[one.name]) for one in fields(kind)})
        case kind:
            return PLAIN[kind]


PLAIN: dict[Any, st.SearchStrategy[Any]] = {
    str: st.text(max_size=5),
    int: st.integers(-(2**63), 2**63 - 1),
    float: st.floats(allow_nan=False),
    bool: st.booleans(),
    Decimal: st.decimals(allow_nan=False),
    date: st.dates(),
    datetime: st.datetimes(timezones=st.just(UTC)),
    time: st.times(),
}


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_whatever_can_stand_in_a_state_comes_back_as_it_was(data: st.DataObject) -> None:
    """Every field of every kind of line, at the ends of what it can hold too."""
    hints = get_type_hints(Fishroom)
    some = data.draw(st.sets(st.sampled_from(sorted(hints)), max_size=6))
    room = Fishroom(**{"id": "r1"} | {name: data.draw(anything(hints[name])) for name in sorted(some)})
    assert snapshot_form.read(snapshot_form.write(room)) == room


def test_pages_of_a_long_history_come_back_line_by_line() -> None:
    meals = [Feeding(DAY + timedelta(days=n), None, "tub", None, n / 7) for n in range(3 * PAGE + 5)]
    room = Fishroom("r1", feedings=History(meals))
    read = snapshot_form.read(snapshot_form.write(room))
    assert read.feedings[-1] == meals[-1]
    assert list(reversed(read.feedings)) == meals[::-1]
    read.feedings.append(meals[0])
    assert list(read.feedings) == [*meals, meals[0]]
    assert snapshot_form.write(snapshot_form.read(snapshot_form.write(room))) == snapshot_form.write(room)


def test_what_settles_a_states_meaning_is_in_its_mark() -> None:
    """Whatever the fold is made of has to be in the print of the code, or a state could outlive what it meant."""
    from ast import ImportFrom, parse, walk
    from importlib.util import find_spec

    todo, seen = ["core.fishroom.replay", "core.store.snapshot_form"], set[str]()
    while todo:
        name = todo.pop()
        spec = find_spec(name)
        if name in seen or spec is None or spec.origin is None:
            continue
        seen.add(name)
        nodes = [node for node in walk(parse(Path(spec.origin).read_text())) if isinstance(node, ImportFrom)]
        for node in nodes:
            if node.module and node.module.startswith("core"):
                todo += [node.module, *(f"{node.module}.{one.name}" for one in node.names if is_module(node.module, one.name))]
    covered = tuple(snapshot_form.MEANING)
    assert {name for name in seen if not name.startswith(covered)} <= {"core"}


def is_module(parent: str, name: str) -> bool:
    from importlib.util import find_spec

    spec = find_spec(parent)
    return bool(spec and spec.submodule_search_locations and find_spec(f"{parent}.{name}"))


# --- what is not used ------------------------------------------------------------------------------------------------


@pytest.fixture
def kept(store: Store, now: datetime) -> Store:
    """A fishroom with three meals, and a snapshot of it."""
    with store.write() as tx:
        tx.journal.lock([STREAM])
        meals = [NewEntry(Fed("tub"), DAY, now + timedelta(minutes=n), "marit") for n in range(3)]
        room = replay(ROOM, tx.journal.append(STREAM, meals))
        tx.snapshots.keep(Snapshot.of(room))
        assert tx.snapshots.get(ROOM) == room
    return store


def test_a_snapshot_holds_until_something_about_it_does_not(kept: Store) -> None:
    with kept.read() as tx:
        assert tx.snapshots.soundness(ROOM) == "sound"
        assert (tx.snapshots.upto(ROOM), tx.snapshots.upto("r2")) == (3, 0)
        assert tx.snapshots.soundness("r2") is None


def test_a_snapshot_made_by_other_code_is_not_used(kept: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(snapshot_form, "mark", lambda: "of another version")
    with kept.write() as tx:
        assert tx.snapshots.soundness(ROOM) == "stale"
        assert tx.snapshots.get(ROOM) is None
        tx.snapshots.keep(Snapshot.of(replay(ROOM, tx.journal.entries(STREAM))))
        assert tx.snapshots.soundness(ROOM) == "sound"


@pytest.mark.parametrize("place", [0, 20, -1])
def test_a_snapshot_with_a_broken_byte_is_not_used(kept: Store, place: int) -> None:
    with kept.write() as tx:
        state = bytearray(tx.connection.execute(snapshots.select()).one().state)
        state[place] ^= 1
        tx.connection.execute(update(snapshots).values(state=bytes(state)))
        assert tx.snapshots.soundness(ROOM) == "damaged"
        assert tx.snapshots.get(ROOM) is None


@pytest.mark.parametrize(
    "change", [{"by_person": "loki"}, {"on_day": date(2026, 3, 1)}, {"event": {"kind": "fed", "place": "tank 1"}}, {"number": 9}]
)
def test_a_snapshot_of_another_journal_is_not_used(kept: Store, change: dict[str, Any]) -> None:
    with kept.write() as tx:
        tx.connection.execute(update(journal_table).where(journal_table.c.number == 3).values(**change))
        assert tx.snapshots.soundness(ROOM) == "foreign"
        assert tx.snapshots.get(ROOM) is None


def test_a_snapshot_is_not_used_for_another_fishroom(kept: Store, now: datetime) -> None:
    with kept.write() as tx:
        tx.journal.lock(["fishroom:r2"])
        tx.journal.append("fishroom:r2", [NewEntry(Fed("tub"), DAY, now + timedelta(minutes=n), "marit") for n in range(3)])
        tx.connection.execute(update(snapshots).values(room="r2"))
        assert tx.snapshots.get("r2") is None


def test_a_state_ahead_of_its_journal_is_not_kept(kept: Store) -> None:
    """A transaction that was taken back leaves a state that never was."""
    with kept.write() as tx:
        tx.snapshots.keep(Snapshot(ROOM, 4, b""))
        assert tx.snapshots.upto(ROOM) == 3


class Trap:
    """What an attacker would put into a backup."""

    def __reduce__(self) -> tuple[Any, ...]:
        return Path.touch, (self.sprung,)

    def __init__(self, sprung: Path) -> None:
        self.sprung = sprung


def test_nothing_that_stands_in_a_snapshot_is_run(kept: Store, tmp_path: Path) -> None:
    sprung = tmp_path / "sprung"
    with kept.write() as tx:
        tx.snapshots.keep(Snapshot(ROOM, 3, pickle.dumps(Trap(sprung))))
        assert tx.snapshots.soundness(ROOM) == "sound"
        assert tx.snapshots.get(ROOM) is None
    assert not sprung.exists()


@pytest.mark.parametrize("state", [b"", b"\x80", b"x\x9c\x03\x00\x00\x00\x00\x01"])
def test_bytes_that_are_no_state_are_not_used(kept: Store, state: bytes) -> None:
    with kept.write() as tx:
        tx.snapshots.keep(Snapshot(ROOM, 3, state))
        assert tx.snapshots.get(ROOM) is None


def test_snapshots_are_thrown_away_one_by_one_or_all_together(kept: Store) -> None:
    with kept.write() as tx:
        tx.snapshots.drop(["r2"])
        assert tx.snapshots.rooms() == ["r1"]
        tx.snapshots.drop([ROOM])
        assert tx.snapshots.rooms() == []
        tx.snapshots.empty()
