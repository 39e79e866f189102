"""Messages in several voices, each with what a keeper reading it over the writer's shoulder would take it to mean.

The expectations were written by hand before the messages were read by the program.
"""

import json
from collections.abc import Callable, Iterator
from datetime import datetime
from itertools import cycle
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


def groups(name: str) -> Iterator[Any]:
    """The cases of a large file by their group: one test each."""
    found: dict[str, list[dict[str, Any]]] = {}
    for line in (HERE / name).read_text("utf-8").splitlines():
        case = json.loads(line)
        found.setdefault(case["group"], []).append(case)
    for group, rows in found.items():
        yield pytest.param(rows, id=group)


def agrees(case: dict[str, Any], club: Names) -> None:
    got = plain(as_json(read(case["text"], now=datetime.fromisoformat(case["now"]), by=case["by"], names=club)))
    want = plain(dict(case["expect"]))
    if want["result"] == "ask" and not want["options"]:
        want["options"] = got.get("options", [])
    assert got == want, case["text"]


@pytest.mark.parametrize("case", list(cases("saltmarsh.jsonl")))
def test_a_message_of_the_metric_club_is_read_as_it_was_meant(case: dict[str, Any], club: Names) -> None:
    agrees(case, club)


@pytest.mark.parametrize("case", list(cases("inland.jsonl")))
def test_a_message_of_the_american_club_is_read_as_it_was_meant(case: dict[str, Any], inland: Names) -> None:
    agrees(case, inland)


@pytest.mark.parametrize("rows", list(groups("harbour.jsonl")))
def test_messages_about_vats_racks_and_nets_are_read_as_they_were_meant(rows: list[dict[str, Any]], harbour: Names) -> None:
    for case in rows:
        agrees(case, harbour)


@pytest.mark.parametrize("rows", list(groups("weir.jsonl")))
def test_messages_of_many_hands_are_read_as_they_were_meant(rows: list[dict[str, Any]], weir: Names) -> None:
    for case in rows:
        agrees(case, weir)


@pytest.mark.parametrize("rows", list(groups("weir.jsonl")))
def test_greetings_blanks_capitals_and_stops_change_nothing(rows: list[dict[str, Any]], weir: Names) -> None:
    for case, told in zip(rows, cycle(TOLD_OTHERWISE), strict=False):
        if not any(event["kind"] in KEPT_AS_WRITTEN for event in case["expect"].get("events", [])):
            agrees({**case, "text": told(case["text"])}, weir)


TOLD_OTHERWISE: tuple[Callable[[str], str], ...] = (
    lambda text: f"hi all, {text}",
    lambda text: f"  {text.replace(' ', '  ')} ",
    lambda text: text[:1].upper() + text[1:],
)
KEPT_AS_WRITTEN = ("noted", "named", "strain_added", "guest_added", "place_added")


def test_talk_of_the_trade_is_never_recorded(weir: Names) -> None:
    """Each line tells nothing that belongs in the journal, or not enough of it (judged by hand, one by one)."""
    for text in (HERE / "talk.txt").read_text("utf-8").splitlines():
        got = as_json(read(text, now=datetime.fromisoformat("2026-03-18T09:30"), by="Signe", names=weir))
        assert got["result"] != "events", text
