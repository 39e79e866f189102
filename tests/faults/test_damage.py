"""One damaged value holds up nobody else: what can be read as something sensible is, what cannot is told, and check names it."""

from __future__ import annotations

import json
import sqlite3
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.__main__ import main
from bot.clock import WallClock
from bot.conversation import Conversation
from bot.telegram import Settings, serve
from core.store import Store, Unreadable
from tests.faults.club import begin
from tests.faults.conftest import Fishrooms
from tests.telegram.double import TOKEN, Double


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


@pytest.mark.parametrize("payload", ["{", "{}", "[]", '{"update_id": 1, "message": {}}'])
async def test_a_kept_message_that_cannot_be_read_does_not_keep_the_bot_from_starting(payload: str, tmp_path: Path) -> None:
    store, clock = Store.open(f"sqlite:///{tmp_path}/club.sqlite"), WallClock()
    with store.write() as tx:
        tx.inbox.keep("telegram", "990.1.1.1", "1", {}, clock.now())
        tx.connection.execute(text("UPDATE inbox SET payload = :payload"), {"payload": payload})
    async with Double() as double:
        (keeper,) = begin(store, double, 1).keepers
        async with serve(Settings(TOKEN, double.base_url, tick_seconds=0.1), store, Conversation(store, clock), clock) as door:
            await door.ready()
            await double.until(lambda: bool(keeper.member.texts))
    with store.read() as tx:
        assert [one.external for one in tx.inbox.aside("telegram")] == ["990.1.1.1"]
    store.close()
