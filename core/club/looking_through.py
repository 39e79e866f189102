"""Whether snapshots say what their journals say: each is held against a replay, one fishroom after the other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import takewhile

from core.fishroom.replay import replay
from core.store import Store, Unreadable
from core.store.snapshots import Soundness


@dataclass(frozen=True, slots=True)
class SnapshotsLook:
    """How many snapshots agree with their journals, how many are not used and why, and the fishrooms of those that are wrong."""

    agree: int
    unused: Mapping[Soundness, int]
    wrong: tuple[str, ...]


def look_at_snapshots(store: Store) -> SnapshotsLook:
    """Replays each fishroom up to the entry that its snapshot stands on. A wrong snapshot is thrown away: the journal is right."""
    with store.read() as tx:
        rooms = tx.snapshots.rooms()
    sound = {room: _soundness(store, room) for room in rooms}
    agree = {room: _agrees(store, room) for room in rooms if sound[room] == "sound"}
    wrong = tuple(room for room in rooms if agree.get(room) is False)
    if wrong:
        with store.write() as tx:
            tx.snapshots.drop(wrong)
    unused: Counter[Soundness] = Counter(why for why in sound.values() if why is not None and why != "sound")
    return SnapshotsLook(sum(map(bool, agree.values())), unused, wrong)


def _soundness(store: Store, room: str) -> Soundness | None:
    with store.read() as tx:
        return tx.snapshots.soundness(room)


def _agrees(store: Store, room: str) -> bool | None:
    """None where it cannot be told: its journal cannot be read, or another snapshot has taken its place."""
    with store.read() as tx:
        upto, state = tx.snapshots.upto(room), tx.snapshots.get(room)
        if not upto:
            return None
        try:
            return state == replay(room, takewhile(lambda entry: entry.number <= upto, tx.journal.each(f"fishroom:{room}")))
        except Unreadable:
            return None
