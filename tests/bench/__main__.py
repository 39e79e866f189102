"""One page of figures, each beside something it is held against in the same run: `python -m tests.bench [--small]`.

The last line is one JSON object. `--small` tries everything in small sizes, for a look in a minute; its figures are not the page's.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Mapping
from time import perf_counter
from traceback import print_exc

from tests.bench import digests, kinship, memory, reading, replaying, reply, starting
from tests.bench.figures import Study, page

NUMBERS = (
    "reading_ms_p50",
    "reading_vs_dateparser",
    "reading_vs_matcher",
    "reply_ms_p50",
    "reply_vs_commit",
    "reply_growth_1k_1m",
    "replay_events_s",
    "digests_vs_platform",
    "kinship_100k_s",
    "kinship_vs_library",
    "startup_s",
    "club_1000_mb",
)
STUDIES: Mapping[str, Callable[[], Study]] = {
    "reading": reading.study,
    "start-up": starting.study,
    "replay": replaying.study,
    "kinship": kinship.study,
    "memory": memory.study,
    "digests": digests.study,
    "reply": reply.study,
}
SMALL: Mapping[str, Callable[[], Study]] = {
    "reading": lambda: reading.study(1),
    "start-up": lambda: starting.study(2),
    "replay": lambda: replaying.study(5_000),
    "kinship": lambda: kinship.study(5_000, 400, 1_000),
    "memory": memory.study,
    "digests": lambda: digests.study(100),
    "reply": lambda: reply.study(10_000, 100, 40),
}


def main(argv: list[str] | None = None) -> int:
    """Run the studies one after the other; one that breaks leaves its figures out and the exit code at 1."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--small", action="store_true", help="small sizes")
    parser.add_argument("--only", choices=sorted(STUDIES), action="append", help="only these")
    options = parser.parse_args(argv)
    numbers: dict[str, float | int | None] = {}
    broken = 0
    for name, study in (SMALL if options.small else STUDIES).items():
        if options.only and name not in options.only:
            continue
        began = perf_counter()
        try:
            found = study()
        except Exception:
            broken += 1
            print_exc()
            continue
        numbers |= found.numbers
        print(page(found.lines), flush=True)
        print(f"({name}: {perf_counter() - began:.0f} s)", file=sys.stderr, flush=True)
    print(json.dumps({name: numbers.get(name) for name in NUMBERS}))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
