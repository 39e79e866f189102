"""Replay: a fishroom's journal read from the database, decoded and folded, against reading the same rows and parsing their JSON alone."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory

from core.club import Visits
from tests.bench.clubs import Size, club
from tests.bench.figures import Line, Study, timed

ROWS = "SELECT stream, number, event, on_day, told, by_person, at_time, door, message, revision, day_order FROM journal"


def study(entries: int = 100_000, folder: Path | None = None) -> Study:
    """One fishroom with so many entries."""
    with TemporaryDirectory(dir=folder) as made, club(Size(2, 1, entries), Path(made)) as (conversation, _):
        store = conversation.store
        with store.read() as tx:
            room_id = tx.clubs.all_rooms()[0].id
        with Visits(store).read() as visit:
            seconds, room = timed(lambda: visit.room(room_id))
        with store.read() as tx:
            bare, _ = timed(lambda: [json.loads(row[2]) for row in tx.connection.exec_driver_sql(ROWS)])
    rate = room.number / seconds
    line = Line(
        f"replay of {room.number:,} entries",
        f"{rate:,.0f} events/s",
        f"rows and JSON alone {room.number / bare:,.0f}/s: {seconds / bare:.1f} times as long",
        "making a value of each event",
    )
    return Study([line], {"replay_events_s": round(rate)})
