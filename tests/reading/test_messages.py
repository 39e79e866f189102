"""Messages in several voices, each with what a keeper reading it over the writer's shoulder would take it to mean.

The expectations were written by hand before the messages were read by the program.
"""

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from bot.reading import Names, as_json, read

HERE = Path(__file__).parent


def cases(name: str) -> Iterator[Any]:
    for line in (HERE / name).read_text("utf-8").splitlines():
        case = json.loads(line)
        yield pytest.param(case, id=case["text"][:50])


def plain(reading: dict[str, Any]) -> dict[str, Any]:
    for key in ("draft", "why", "value"):
        reading.pop(key, None)
    for event in reading.get("events", []):
        if "batches" in event:
            event["batches"] = sorted(event["batches"])
    if reading["result"] == "ask":
        reading["options"] = sorted(reading.get("options", []))
    return reading


def agrees(case: dict[str, Any], club: Names) -> None:
    got = plain(as_json(read(case["text"], now=datetime.fromisoformat(case["now"]), by=case["by"], names=club)))
    want = plain(dict(case["expect"]))
    if want["result"] == "ask" and not want["options"]:
        want["options"] = got.get("options", [])
    assert got == want


@pytest.mark.parametrize("case", list(cases("saltmarsh.jsonl")))
def test_a_message_of_the_metric_club_is_read_as_it_was_meant(case: dict[str, Any], club: Names) -> None:
    agrees(case, club)


@pytest.mark.parametrize("case", list(cases("inland.jsonl")))
def test_a_message_of_the_american_club_is_read_as_it_was_meant(case: dict[str, Any], inland: Names) -> None:
    agrees(case, inland)
