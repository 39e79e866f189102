"""One damaged value holds up nobody else: what can be read as something sensible is, what cannot is told, and check names it."""

from __future__ import annotations

import json
import sqlite3
from datetime import timedelta

import pytest

from bot.__main__ import main
from core.store import Unreadable
from tests.faults.conftest import Fishrooms


def damage(club: Fishrooms, statement: str) -> None:
    """Somebody changed the file by hand."""
    club.store.close()
    direct = sqlite3.connect(club.path)
    with direct:
        assert direct.execute(statement).rowcount == 1
    direct.close()
    club.open()


def checked(club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> str:
    """What `frywire check` says is wrong with it."""
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{club.path}")
    capsys.readouterr()
    assert main(["check", "--offline"]) == 1
    return "\n".join(line for line in capsys.readouterr().out.splitlines() if line.startswith("WRONG"))


@pytest.mark.parametrize("table", ["clubs", "persons"])
def test_an_unknown_time_zone_stops_nobody(
    table: str, club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    damage(club, f"UPDATE {table} SET zone = 'Mars/Olympus' WHERE id IN ('c1', 'marit')")
    for person in ("marit", "oleg"):
        assert "30" in club.say(person, "30% wc tank 1")
    club.clock.moment += timedelta(days=1)
    club.conversation.due()
    assert "time zone" in checked(club, monkeypatch, capsys)


@pytest.mark.parametrize("table", ["clubs", "persons", "rooms"])
def test_choices_that_are_no_json_stop_nobody(
    table: str, club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    damage(club, f"UPDATE {table} SET prefs = '{{\"quiet\":' WHERE id IN ('c1', 'marit', 'r-marit')")
    for person in ("marit", "oleg"):
        assert "30" in club.say(person, "30% wc tank 1")
    club.clock.moment += timedelta(days=1)
    club.conversation.due()
    assert "not JSON" in checked(club, monkeypatch, capsys)


@pytest.mark.parametrize("event", [json.dumps({"kind": "teleported"}), "{", json.dumps({"kind": "water_changed", "percent": {}})])
def test_an_entry_that_cannot_be_read_stops_its_fishroom_only(
    event: str, club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    damage(club, f"UPDATE journal SET event = '{event}' WHERE stream = 'fishroom:r-marit' AND number = 2")
    with pytest.raises(Unreadable, match="fishroom:r-marit, entry 2"):
        club.say("marit", "30% wc tank 1")
    assert "30" in club.say("oleg", "30% wc tank 1")
    assert "yellow lab" in club.say("oleg", "female 2 holding") or club.entries("oleg")
    club.say("wren", "what is available?")
    club.clock.moment += timedelta(days=14)
    club.conversation.due()
    assert any(key.startswith("digest:oleg") for key, _ in club.sent("oleg")), "the others have their mornings"
    assert "fishroom:r-marit, entry 2" in checked(club, monkeypatch, capsys)
