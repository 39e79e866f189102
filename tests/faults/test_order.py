"""Whatever had to wait keeps its place: nothing a chat wrote later overtakes it, and an edit that did is not undone by the original."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.conversation.message import Incoming, Origin, Reply, Text
from bot.telegram import Settings, serve
from core.events import WaterChanged
from core.store import Busy, Store
from tests.faults.club import begin, look
from tests.faults.conftest import Fishrooms
from tests.telegram.double import TOKEN, Double


class Troubled(Conversation):
    """Its database is away for the first few messages."""

    away = 0

    def hear(self, incoming: Incoming) -> list[Reply]:
        if self.away:
            self.away -= 1
            raise Busy
        return super().hear(incoming)


async def test_what_waits_for_the_database_is_not_overtaken_in_its_chat(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bot.telegram.inbox._PAUSE", 0.05)
    store, clock = Store.open(f"sqlite:///{tmp_path}/club.sqlite"), WallClock()
    conversation = Troubled(store, clock)
    async with Double() as double:
        club = begin(store, double, 2)
        async with serve(Settings(TOKEN, double.base_url, tick_seconds=0.05), store, conversation, clock) as door:
            await door.ready()
            await double.until(lambda: all(one.member.texts for one in club.keepers))
            conversation.away = 5
            for percent in range(11, 31):
                for one in club.keepers:
                    one.tell(one.member.say(f"{percent}% wc tank 1")["message_id"], percent)
            await double.until(lambda: all("30" in one.member.texts[-1] for one in club.keepers), 20)
    for one in club.keepers:
        found = look(store, one)
        assert (found.lost, found.doubled, found.wrong) == (0, 0, 0)
        with store.read() as tx:
            events = [entry.event for entry in tx.journal.entries(f"fishroom:{one.room}")]
        assert [event.percent for event in events if isinstance(event, WaterChanged)] == list(range(11, 31))
    store.close()


def test_an_original_that_comes_after_its_edit_is_not_recorded_beside_it(club: Fishrooms) -> None:
    origin = Origin("marit", "play", "Marit", "late")
    club.conversation.hear(Text(origin, "40% wc tank 1", 1))
    before = club.entries("marit")
    assert "40" in club.conversation.hear(Text(origin, "30% wc tank 1", 0))[0].text
    assert club.entries("marit") == before
