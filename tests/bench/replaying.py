"""Replay: a fishroom's journal read from the database, decoded and folded, against reading the same rows and parsing their JSON alone;
and what is put right in so long a journal, in processor time.
"""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from bot.clock import SetClock
from bot.conversation import Conversation
from core.club import Visits
from tests.bench.clubs import MESSAGES, Member, Size, club
from tests.bench.figures import Line, Study, timed

ROWS = "SELECT stream, number, event, on_day, told, by_person, at_time, door, message, revision, day_order FROM journal"
SLIPS = {
    "a message of today taken back": "take back",
    "something told of yesterday": "water change tank 1 30% yesterday",
    "something told of three months ago": "fed tub 90 days ago",
}
DAYS = 10
"""So many days of talk before anything is put right."""


def study(entries: int = 100_000, folder: Path | None = None) -> Study:
    """One fishroom with so many entries."""
    with TemporaryDirectory(dir=folder) as made, club(Size(2, 1, entries), Path(made)) as (conversation, clock):
        store = conversation.store
        with store.read() as tx:
            room_id = tx.clubs.all_rooms()[0].id
        with Visits(store).read() as visit:
            seconds, room = timed(lambda: visit.room(room_id))
        with store.read() as tx:
            bare, _ = timed(lambda: [json.loads(row[2]) for row in tx.connection.exec_driver_sql(ROWS)])
        slips = put_right(conversation, clock)
    rate = room.number / seconds
    line = Line(
        f"replay of {room.number:,} entries",
        f"{rate:,.0f} events/s",
        f"rows and JSON alone {room.number / bare:,.0f}/s: {seconds / bare:.1f} times as long",
        "making a value of each event",
    )
    return Study([line, *slips], {"replay_events_s": round(rate)})


def put_right(conversation: Conversation, clock: SetClock) -> list[Line]:
    """What a slip costs after some days of talk, and after a restart."""
    member = Member(conversation, clock)
    _talk(member, DAYS)
    going_on = {slip: _worked(member, text) for slip, text in SLIPS.items()}
    _talk(member, 3)
    conversation.end()
    lines = []
    for slip, text in SLIPS.items():
        member.conversation = Conversation(conversation.store, clock)
        member.say("water")
        again = _worked(member, text)
        lines.append(Line(f"  {slip}", f"{1000 * going_on[slip]:.0f} ms", f"after a restart {1000 * again:.0f} ms"))
    return lines


def _talk(member: Member, days: int) -> None:
    for _ in range(days):
        for text in MESSAGES:
            member.say(text)
        member.conversation.due()


def _worked(member: Member, text: str) -> float:
    began = process_time()
    member.say(text)
    return process_time() - began
