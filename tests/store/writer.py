"""A worker to be killed: records messages of two entries in two fishrooms, and says each number once it is committed.

Run as `python -m tests.store.writer URL FIRST`.
"""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime

from core.events import Holding, Source
from core.store import NewEntry, Store

ROOMS = ("fishroom:r1", "fishroom:r2")


def write_on(url: str, first: int) -> None:
    """Never ends by itself."""
    store = Store.open(url)
    number = first
    while True:
        told = datetime(2026, 3, 2, 9, tzinfo=UTC)
        entry = NewEntry(Holding("F4", "3"), date(2026, 3, 2), told, "marit", source=Source("telegram:1", str(number)))
        with store.write() as tx:
            tx.journal.lock(ROOMS)
            for room in ROOMS:
                tx.journal.append(room, [entry], {f"{room}{number}": "a note"})
            tx.journal.counter("c1", "reservation")
        print(number, flush=True)
        number += 1


if __name__ == "__main__":
    write_on(sys.argv[1], int(sys.argv[2]))
