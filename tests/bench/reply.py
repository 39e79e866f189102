"""A recorded message from the door to its reply, against the bare cost of one durable commit on the same disk; and how flat that stays.

The journal grows from a thousand entries to a million in ten fishrooms, the members from ten to ten thousand (one in ten a keeper).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from itertools import cycle, islice
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from tests.bench.clubs import MESSAGES, Member, Size, club
from tests.bench.figures import Line, Study, timed, worst

WARM = 32
KEEPERS = 10


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
            yield timed(once)[0]
    finally:
        connection.close()


def replies(size: Size, messages: int, folder: Path) -> tuple[list[float], list[float], float]:
    """Seconds of each reply and of a bare commit after each, in turn; and of the very first reply, for which all is replayed."""
    said, bare = [], []
    with club(size, folder) as (conversation, clock), TemporaryDirectory(dir=folder) as beside:
        member = Member(conversation, clock)
        first = member.timed(MESSAGES[0])
        for text in islice(cycle(MESSAGES), 1, WARM):
            member.say(text)
        durable = commits(Path(beside))
        for text in islice(cycle(MESSAGES), messages):
            said.append(member.timed(text))
            bare.append(next(durable))
        durable.close()  # type: ignore[attr-defined]
    return said, bare, first


def study(largest: int = 1_000_000, most_members: int = 10_000, messages: int = 240, folder: Path | None = None) -> Study:
    """All sizes."""
    with TemporaryDirectory(dir=folder) as made:
        here = Path(made)
        journals = [Size(20, KEEPERS, entries) for entries in sorted({1_000, largest // 10, largest})]
        by_journal = {size.entries: replies(size, messages, here) for size in journals}
        clubs = [Size(members, max(1, members // 10), 2 * members) for members in sorted({10, most_members // 10, most_members})]
        by_members = {size.members: replies(size, messages, here)[0] for size in clubs}
    small, bare, _ = by_journal[1_000]
    typical, commit = median(small), median(bare)
    growth = median(by_journal[largest][0]) / typical
    least = median(by_members[10])
    lines = [
        Line(
            "a recorded message, door to reply",
            f"{1000 * typical:.2f} ms (99%: {1000 * worst(small):.1f})",
            f"one durable commit {1000 * commit:.2f} ms: {typical / commit:.1f} times",
            "Python between the statements; the disk takes one commit of it",
        ),
        *(
            Line(
                f"  with {entries:,} entries in the journal",
                f"{1000 * median(said):.2f} ms",
                f"{median(said) / typical:.2f} of that with 1,000; first reply after a start {first:.1f} s",
                "copying the fishroom's containers",
            )
            for entries, (said, _, first) in by_journal.items()
        ),
        *(
            Line(
                f"  with {members:,} members",
                f"{1000 * median(said):.2f} ms",
                f"{median(said) / least:.2f} of that with 10",
                "the club's names in the reader",
            )
            for members, said in by_members.items()
        ),
    ]
    numbers = {
        "reply_ms_p50": round(1000 * typical, 3),
        "reply_vs_commit": round(typical / commit, 2),
        "reply_growth_1k_1m": round(growth, 3),
        "reply_growth_members": round(median(by_members[most_members]) / least, 3),
    }
    return Study(lines, numbers)
