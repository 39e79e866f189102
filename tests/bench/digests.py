"""Ten thousand members' morning digests against the platform's own limit: `python -m tests.bench.digests [MEMBERS]`.

Every member keeps a fishroom with fish in it, all have their morning at the same moment, which is the worst of cases. Computing is
everything up to the rows from which they are sent. The last line is one JSON object.
"""

from __future__ import annotations

import json
import sys
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.clubs import NOW, Size, club
from tests.bench.figures import Line, Study, page, timed

PLATFORM_PER_SECOND = 30
"""Messages a second that the platform takes of a bot."""
FORTNIGHT = timedelta(days=14)
"""After the last entry: by then there is much to do everywhere."""
ENTRIES = 40
"""Entries in each fishroom's journal."""


def study(members: int = 10_000, folder: Path | None = None) -> Study:
    """All of them at once, on a bot just started."""
    with TemporaryDirectory(dir=folder) as made, club(Size(members, members, ENTRIES * members), Path(made)) as (bot, clock):
        clock.moment = NOW + FORTNIGHT
        computed, _ = timed(bot.due)
        with bot.store.read() as tx:
            counted = "SELECT count(*) FROM deliveries WHERE kind = 'digest'"
            made_rows = int(tx.connection.exec_driver_sql(counted).scalar_one())
    platform = members / PLATFORM_PER_SECOND
    line = Line(
        f"{made_rows:,} morning digests of {members:,} members",
        f"{computed:.1f} s",
        f"sending them at {PLATFORM_PER_SECOND} a second {platform:.0f} s: {platform / computed:.1f} times as long",
        "care tasks of each fishroom, and its replay after the start",
    )
    numbers = {
        "members": members,
        "digests": made_rows,
        "compute_s": round(computed, 2),
        "platform_s": round(platform, 1),
        "digests_vs_platform": round(computed / platform, 4),
    }
    return Study([line], numbers)


if __name__ == "__main__":
    found = study(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
    print(page(found.lines))
    print(json.dumps({name: found.numbers[name] for name in ("members", "compute_s", "platform_s")}))
