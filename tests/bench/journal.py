"""How long a long journal takes to read and to fold, in seconds of processor time.

`python -m tests.bench.journal` prints a table; its last line is one JSON object.
"""

import json
from datetime import UTC, date, datetime, timedelta
from time import process_time

from core import events as e
from core.codec import decode_entry, encode_entry
from core.events import Entry, Event
from core.fishroom.replay import bring_up, replay

LENGTH = 100_000
FIRST = date(2016, 1, 1)
SETUP: tuple[Event, ...] = (
    e.StrainAdded("lab", "Yellow lab", "yellow-lab"),
    e.PlaceAdded("tank 1", "tank", 240.0, 26.0),
    e.PlaceAdded("tub", "tub", 500.0),
    *(e.Joined(f"F{n}", "female", str(n), "lab", "tank 1") for n in range(1, 21)),
    e.Joined("M1", "male", "1", "lab", "tank 1"),
)


def season(length: int) -> list[Entry]:
    """Thirty entries a day: mostly food and water, and every day a brood that begins, is seen, stripped, moved, counted and
    sold.
    """
    entries = [_entry(number, event, FIRST) for number, event in enumerate(SETUP, start=1)]
    day = 0
    while len(entries) < length:
        day += 1
        on = FIRST + timedelta(days=day)
        female, batch = f"F{1 + day % 20}", f"B{day}"
        events: list[Event] = [
            e.Holding(female, f"brood {day}"),
            e.StillHolding(female),
            e.Stripped(female, batch, 20, to="tub"),
            e.Counted(batch, 19),
            e.Measured(batch, (12.0, 13.0, 14.0)),
            e.Sold(batch, 19),
            *(e.Fed("tub", grams=0.5) for _ in range(20)),
            *(e.WaterTested("tub", ph=7.8, temp_c=26.0) for _ in range(4)),
        ]
        entries += [_entry(len(entries) + 1 + i, event, on) for i, event in enumerate(events)]
    return entries[:length]


def _entry(number: int, event: Event, on: date) -> Entry:
    return Entry("fishroom:bench", number, event, on, datetime(2026, 1, 1, tzinfo=UTC), "marit", order=number)


def main() -> None:
    """Prints the figures."""
    entries = season(LENGTH)
    lines = [json.dumps(encode_entry(entry)) for entry in entries]
    began = process_time()
    plain = [json.loads(line) for line in lines]
    parsed = process_time()
    read = [decode_entry(each) for each in plain]
    decoded = process_time()
    room = replay("bench", read)
    folded = process_time()
    bring_up(room, [_entry(LENGTH + 1, e.Fed("tub"), room.latest or FIRST)], list)
    added = process_time()
    figures = {
        "entries": len(entries),
        "parse_json_s": round(parsed - began, 3),
        "decode_s": round(decoded - parsed, 3),
        "fold_s": round(folded - decoded, 3),
        "add_one_ms": round((added - folded) * 1000, 2),
        "batches": len(room.batches),
        "problems": len(room.problems),
    }
    for name, value in figures.items():
        print(f"{name:>14}  {value}")
    print(json.dumps(figures))


if __name__ == "__main__":
    main()
