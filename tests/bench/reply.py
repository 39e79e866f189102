"""A recorded message from the door to its reply, against the bare cost of one durable commit on the same disk; and how flat that stays.

The journal grows from a thousand entries to a million in ten fishrooms, the members from ten to ten thousand (one in ten a keeper).
How flat is told in processor time: the disk does the same for every message, and what else the machine does is not counted. The first
reply after a start is timed twice: from the journal alone, as after an update, and with the snapshots that a clean stop leaves.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from itertools import cycle, islice
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import process_time

from bot.conversation import Conversation
from tests.bench.clubs import MESSAGES, Member, Size, club
from tests.bench.figures import Line, Study, worst
from tests.bench.figures import timed as seconds_of

WARM = 32
KEEPERS = 10
BROODS = 600
"""Of ten years: five a month."""


def commits(folder: Path) -> Iterator[float]:
    """Seconds of one durable commit after another: one row, write-ahead log, forced to the disk."""
    connection = sqlite3.connect(folder / "bare.db", isolation_level=None)
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=FULL")
    connection.execute("CREATE TABLE IF NOT EXISTS said (number INTEGER PRIMARY KEY, words TEXT)")

    def once() -> None:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("INSERT INTO said (words) VALUES ('female 4 holding')")
        connection.execute("COMMIT")

    try:
        while True:
            yield seconds_of(once)[0]
    finally:
        connection.close()


@dataclass(slots=True)
class Timed:
    """Seconds of each reply in one club (on the clock, and of the processor) and of a bare commit after each; and of the very first
    reply, for which all is replayed, and the first after a restart.
    """

    first: float = 0.0
    restarted: float = 0.0
    said: list[float] = field(default_factory=list)
    worked: list[float] = field(default_factory=list)
    bare: list[float] = field(default_factory=list)

    @property
    def typical(self) -> float:
        """The median reply."""
        return median(self.said)

    @property
    def work(self) -> float:
        """The processor's time for the median reply."""
        return median(self.worked)


def side_by_side(sizes: Sequence[Size], messages: int, folder: Path) -> dict[Size, Timed]:
    """Clubs of these sizes, written to in turn, message by message, so that whatever else the machine does meets all of them alike."""
    found = {size: Timed() for size in sizes}
    with ExitStack() as stack:
        members = {size: Member(*stack.enter_context(club(size, folder))) for size in sizes}
        for size, member in members.items():
            found[size].first = member.timed(MESSAGES[0])
            member.conversation.end()
            member.conversation = Conversation(member.conversation.store, member.clock)
            found[size].restarted = member.timed(MESSAGES[1])
            for text in islice(cycle(MESSAGES), 2, WARM):
                member.say(text)
        durable = commits(Path(stack.enter_context(TemporaryDirectory(dir=folder))))
        for text in islice(cycle(MESSAGES), messages):
            for size, member in members.items():
                began = process_time()
                found[size].said.append(member.timed(text))
                found[size].worked.append(process_time() - began)
                found[size].bare.append(next(durable))
    return found


def study(largest: int = 1_000_000, most_members: int = 10_000, messages: int = 240, folder: Path | None = None) -> Study:
    """All sizes."""
    journals = [Size(20, KEEPERS, entries) for entries in sorted({1_000, largest // 10, largest})]
    clubs = [Size(members, max(1, members // 10), 2 * members) for members in sorted({10, most_members // 10, most_members})]
    rooms = [Size(10, 1, 0, broods) for broods in (1, BROODS)]
    with TemporaryDirectory(dir=folder) as made:
        by_broods = side_by_side(rooms, messages, Path(made))
        by_journal = side_by_side(journals, messages, Path(made))
        by_members = side_by_side(clubs, messages, Path(made))
    small, large = by_journal[journals[0]], by_journal[journals[-1]]
    few, many = by_members[clubs[0]], by_members[clubs[-1]]
    typical, commit = small.typical, median(small.bare)
    lines = [
        Line(
            "a recorded message, door to reply",
            f"{1000 * typical:.2f} ms (99%: {1000 * worst(small.said):.1f})",
            f"one durable commit {1000 * commit:.2f} ms: {typical / commit:.1f} times",
            "Python between the statements; the disk takes one commit of it",
        ),
        *(
            Line(
                f"  with {size.entries:,} entries in the journal",
                f"{1000 * timed.typical:.2f} ms",
                f"{timed.work / small.work:.2f} of the work with 1,000; first reply after a restart {timed.restarted:.2f} s,"
                f" from the journal alone {timed.first:.1f} s",
                "memory that is further away",
            )
            for size, timed in by_journal.items()
        ),
        Line(
            f"  with {BROODS} broods raised and sold in the fishroom",
            f"{1000 * by_broods[rooms[1]].typical:.2f} ms",
            f"{by_broods[rooms[1]].work / by_broods[rooms[0]].work:.2f} of the work with one",
            "a look at each batch's row",
        ),
        *(
            Line(
                f"  with {size.members:,} members",
                f"{1000 * timed.typical:.2f} ms",
                f"{timed.work / few.work:.2f} of the work with 10; first reply after a restart {timed.restarted:.2f} s",
                "the club's names in the reader",
            )
            for size, timed in by_members.items()
        ),
    ]
    numbers = {
        "reply_ms_p50": round(1000 * typical, 3),
        "reply_vs_commit": round(typical / commit, 2),
        "reply_growth_1k_1m": round(large.work / small.work, 3),
        "reply_growth_members": round(many.work / few.work, 3),
    }
    return Study(lines, numbers)
