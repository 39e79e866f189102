"""Reading a message, against finding dates in it alone (dateparser) and against a general matcher of intents (hassil, if installed).

Neither does what reading does: dateparser's sentence search knows only dates, the matcher only the sentences it was given. They are
what one would otherwise have built on.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from statistics import median
from typing import Any

from dateparser.search import search_dates

from bot.reading import Names, read, warm_up
from tests.bench.figures import Line, Study, timed, worst

MESSAGES = Path(__file__).parents[1] / "reading"


def messages() -> list[dict[str, Any]]:
    """Messages in several voices, as the tests of reading have them."""
    return [json.loads(line) for line in (MESSAGES / "saltmarsh.jsonl").read_text("utf-8").splitlines()]


def names() -> Names:
    """The club they are written in."""
    return Names.from_json(json.loads((MESSAGES / "club.json").read_text("utf-8")))


def search(text: str, now: datetime) -> object:
    """What dateparser finds."""
    return search_dates(text, languages=["en"], settings={"RELATIVE_BASE": now, "PREFER_DATES_FROM": "past"})


INTENTS: dict[str, Any] = {
    "language": "en",
    "intents": {
        name: {"data": [{"sentences": sentences}]}
        for name, sentences in {
            "Holding": ["(female {label}|{fish}) [is] (holding|carrying) [since {day}]"],
            "Spawned": ["{fish} and {fish} [have] spawned [{day}]"],
            "Stripped": ["stripped [female] {label} [{day}] {count} fry", "stripped {fish} {day}"],
            "Moved": ["[batch] {batch} (moved|went) to [the] {place}", "moved [{count} of] [batch] {batch} to [the] {place} [{day}]"],
            "Counted": ["counted {count} in [batch] {batch} [{day}]", "[batch] {batch} is {count} [now]"],
            "Died": ["{count} (died|dead) in ([the] {place}|[batch] {batch}) [{day}]", "lost {count} [of|from] {batch}"],
            "Fed": ["fed [the] {place} [{day}]"],
            "WaterChanged": ["{count} (%|percent) [water] change [in|on] [the] {place} [{day}]"],
            "WaterTested": ["[the] {place} ph {count} [temp {count}]"],
            "Reserved": ["(reserve|book) {count} of [batch] {batch} [for {member}]"],
            "Available": ["(what is|what's) (available|for sale)"],
            "Due": ["(what is|what's) due [{day}]"],
            "History": ["history of [batch] {batch}"],
            "Undo": ["undo [that|the last one]"],
        }.items()
    },
}


def matcher(club: Names) -> Callable[[str], object] | None:
    """The general matcher over sentences of the trade; None where it is not installed."""
    try:
        from hassil import Intents, recognize
    except ImportError:
        return None
    weekdays = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
    values = {
        "fish": [str(row["nickname"]) for sex in ("female", "male") for row in club.fish(sex).values() if row.get("nickname")],
        "place": list(club.places),
        "batch": list(club.batches),
        "member": list(club.members),
        "day": [*weekdays, "today", "yesterday", "this morning", "last night"],
    }
    lists: dict[str, Any] = {name: {"values": found or ["none"]} for name, found in values.items()}
    lists |= {name: {"range": {"from": 0, "to": 1000}} for name in ("count", "label")}
    intents = Intents.from_dict({**INTENTS, "lists": lists})
    return lambda text: recognize(text, intents)


def study(rounds: int = 3) -> Study:
    """Every message some rounds, the readers in turn."""
    club, said = names(), messages()
    warm_up()
    match = matcher(club)
    ours: list[float] = []
    dates: list[float] = []
    general: list[float] = []
    for _ in range(rounds):
        for each in said:
            now = datetime.fromisoformat(each["now"])
            ours.append(timed(lambda each=each, now=now: read(each["text"], now=now, by=each["by"], names=club))[0])  # type: ignore[misc]
            dates.append(timed(lambda each=each, now=now: search(each["text"], now))[0])  # type: ignore[misc]
            if match is not None:
                general.append(timed(lambda each=each: match(each["text"]))[0])  # type: ignore[misc]
    mine, theirs = median(ours), median(dates)
    matched = median(general) if general else None
    beside = f"dateparser's search {1000 * theirs:.2f} ms" + (f", hassil {1000 * matched:.2f} ms" if matched else "")
    line = Line(
        f"reading a message ({len(said)} of them)",
        f"{1000 * mine:.2f} ms (99%: {1000 * worst(ours):.1f})",
        beside,
        "Python's own speed: tokens, then patterns per sentence",
    )
    numbers = {
        "reading_ms_p50": round(1000 * mine, 3),
        "reading_vs_dateparser": round(mine / theirs, 3),
        "reading_vs_matcher": round(mine / matched, 3) if matched else None,
    }
    return Study([line], numbers)
