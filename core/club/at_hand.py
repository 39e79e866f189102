"""Fishrooms' states at hand between visits: the latest, a few of earlier days to replay from, and snapshots kept in the store.

All of them are states of committed transactions. None of them is ever changed.
"""

from __future__ import annotations

import logging
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import suppress
from threading import RLock
from typing import Any

from core.fishroom.state import Fishroom
from core.store import Store
from core.store.snapshot_form import UNFIT
from core.store.snapshots import Snapshot
from core.store.trouble import Busy

LOG = logging.getLogger(__name__)
ROOMS = 2_000
"""Fishrooms kept in memory; the longest unused are let go."""
LONG = 1_000
"""Entries of a journal from which on earlier states are kept: a shorter one is replayed in some hundredths of a second."""
EARLIER = 3
"""So many of them. They stand at the ends of days: what is put right is mostly of today or yesterday."""
MOVED_ON = 200
"""Entries after which a fishroom's snapshot is made anew: replaying so many takes a few milliseconds."""
AT_ONCE = 20
"""Snapshots made one after the other, before others have their turn."""


class AtHand:
    """The states that one process has at hand. Safe to use from several threads."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._rooms: OrderedDict[str, Fishroom] = OrderedDict()
        self._earlier: dict[str, list[Fishroom]] = {}
        self._kept: dict[str, int] = {}
        """By fishroom, the entry that its snapshot stands on, as far as this process knows."""
        self._outdated: set[str] = set()
        """Fishrooms of which something was told that reaches behind their snapshots: what is built on those is a replay of all."""
        self._turn = RLock()

    def get(self, room: str) -> Fishroom | None:
        """The fishroom as it was at the end of an earlier visit."""
        return self._rooms.get(room)

    def remember(self, room: Fishroom, built_on: int | None = None) -> None:
        """The fishroom as it is at the end of a visit; one that saw less than another visit is left aside.

        Where it had to be replayed, `built_on` is the number of the state that this began with (0: none): later ones are of no use.
        """
        with self._turn:
            known = self._rooms.get(room.id)
            if known is not None and known.number > room.number:
                return
            if known is not None and known.latest and room.latest and known.latest < room.latest:
                self._remember_earlier(known)
            if built_on is not None:
                self._forget_later(room, built_on)
            self._rooms[room.id] = room
            self._rooms.move_to_end(room.id)
            while len(self._rooms) > ROOMS:
                gone, _ = self._rooms.popitem(last=False)
                self._earlier.pop(gone, None)

    def _remember_earlier(self, room: Fishroom) -> None:
        if room.number >= LONG:
            self._earlier[room.id] = [*self._earlier.get(room.id, ()), room][-EARLIER:]

    def _forget_later(self, room: Fishroom, number: int) -> None:
        self._earlier[room.id] = [one for one in self._earlier.get(room.id, ()) if one.number <= number]
        if room.number >= LONG and self._kept.get(room.id, 0) > number:
            self._outdated.add(room.id)

    def earlier(self, room: Fishroom, tx: Any) -> Iterator[Fishroom]:
        """Earlier states of the fishroom, the latest first; the last of them is its snapshot."""
        yield from reversed(self._earlier.get(room.id, ()))
        if room.number >= LONG and (found := self.snapshot(room.id, tx)) is not None:
            yield found

    def snapshot(self, room: str, tx: Any) -> Fishroom | None:
        """The fishroom's snapshot, where there is one that holds."""
        found: Fishroom | None = tx.snapshots.get(room)
        self._kept[room] = found.number if found is not None else 0
        return found

    def keep_snapshots(self, moved_on: int = MOVED_ON, at_once: int = AT_ONCE) -> int:
        """Keep snapshots of fishrooms whose journals moved on by so many entries since their last; how many. No reply waits for it.

        Where somebody else is writing for long, the next time will do.
        """
        with self._turn:
            moved = [room for room in self._rooms.values() if self._wants_one(room, moved_on)]
        with suppress(Busy):
            return sum(self._keep_snapshot(room, moved_on) for room in moved[:at_once])
        return 0

    def _keep_snapshot(self, room: Fishroom, moved_on: int) -> bool:
        """Unless another worker did meanwhile."""
        with self._store.read() as tx:
            kept = self._kept[room.id] = tx.snapshots.upto(room.id)
        if not self._wants_one(room, moved_on):
            return False
        try:
            snapshot = Snapshot.of(self._best(room, kept + moved_on // 2))
        except UNFIT as trouble:
            LOG.warning("no snapshot of fishroom %s can be made: %s", room.id, type(trouble).__name__)
            self._now_kept(room.id, room.number)
            return False
        with self._store.write() as tx:
            tx.snapshots.keep(snapshot)
        self._now_kept(room.id, snapshot.upto)
        return True

    def _now_kept(self, room: str, upto: int) -> None:
        self._kept[room] = upto
        self._outdated.discard(room)

    def _wants_one(self, room: Fishroom, moved_on: int) -> bool:
        return room.id in self._outdated or room.number - self._kept.get(room.id, 0) >= moved_on

    def _best(self, room: Fishroom, least: int) -> Fishroom:
        """An earlier state that stands far enough on, since what is put right can be replayed from it; else the latest."""
        return next((one for one in self._earlier.get(room.id, ()) if one.number >= least), room)
