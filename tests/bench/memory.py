"""How much memory a club of a thousand members takes once all of it is at hand, against the size of its database.

Run by itself (`python -m tests.bench.memory`) it prints the two in megabytes; the study does so in a process of its own.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.clubs import MESSAGES, Member, Size, club
from tests.bench.figures import Line, Study

MEGABYTE = 1024 * 1024
CLUB = Size(members=1_000, keepers=200, entries=200_000)


def resident() -> float:
    """Megabytes of this process that are in memory now."""
    pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / MEGABYTE


def measure(size: Size) -> tuple[float, float]:
    """Megabytes of memory and of database for the club."""
    with TemporaryDirectory() as made, club(size, Path(made)) as (conversation, clock):
        before = resident()
        Member(conversation, clock).say(MESSAGES[0])
        disk = sum(file.stat().st_size for file in Path(made).rglob("*.db*")) / MEGABYTE
        return resident() - before, disk


def study() -> Study:
    """The club in a process of its own."""
    out = subprocess.run([sys.executable, "-m", "tests.bench.memory"], capture_output=True, text=True, check=True).stdout
    memory, disk, whole = (float(word) for word in out.split())
    line = Line(
        f"memory of a club of {CLUB.members:,} members ({CLUB.keepers} fishrooms, {CLUB.entries:,} entries)",
        f"{memory:.0f} MB",
        f"its database {disk:.0f} MB; the whole process {whole:.0f} MB",
        "the present state of every fishroom, kept at hand",
    )
    return Study([line], {"club_1000_mb": round(memory, 1)})


if __name__ == "__main__":
    print(*(round(figure, 1) for figure in (*measure(CLUB), resident())))
