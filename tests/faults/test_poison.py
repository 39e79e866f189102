"""A message that no handler survives is set aside after three tries; its sender and the organiser are told, and others go on."""

from __future__ import annotations

import asyncio
import logging
from dataclasses import replace
from datetime import time, timedelta
from pathlib import Path

import pytest

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.conversation.message import Incoming, Reply, Text
from bot.page.desk import Desk
from bot.page.frames import Said
from bot.page.seats import Entered, Seat, Seats
from bot.telegram import Settings, serve
from core.store import Store
from tests.faults.club import begin, look
from tests.faults.conftest import Fishrooms
from tests.faults.shipped import start
from tests.telegram.double import TOKEN, Double

pytestmark = pytest.mark.xdist_group("processes")  # one server forks them all, and is not started thrice


class Cursed(Conversation):
    """A conversation with a fault: one word is too much for it."""

    deed: BaseException = ValueError("cannot stomach cursed words")
    heard = 0

    def hear(self, incoming: Incoming) -> list[Reply]:
        if isinstance(incoming, Text) and "cursed" in incoming.text:
            self.heard += 1
            raise self.deed
        return super().hear(incoming)


async def test_a_message_that_always_fails_is_set_aside_and_the_organiser_told_who_and_when(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO)
    store = Store.open(f"sqlite:///{tmp_path}/club.sqlite")
    async with Double() as double:
        organiser, keeper = (one.member for one in begin(store, double, 2).keepers)
        clock = WallClock()
        async with serve(Settings(TOKEN, double.base_url, tick_seconds=0.1), store, Cursed(store, clock), clock) as door:
            door.handling.pauses = (0.0, 0.0, 0.0)
            await door.ready()
            with store.write() as tx:
                for person in tx.people.all():
                    tx.people.save(replace(person, quiet_from=time(), quiet_to=time()))  # alerts come at night too
            keeper.say("cursed words about Rook")
            keeper.say("31% wc tank 1")
            organiser.say("32% wc tank 1")
            await double.until(lambda: any("31" in text for text in keeper.texts) and any("set aside" in text for text in organiser.texts), 30)
    (notice,) = (text for text in organiser.texts if "set aside" in text)
    assert "Keeper 1" in notice
    assert f"{clock.now():%Y-%m-%d}" in notice
    assert "ValueError" in notice
    assert "Rook" not in notice
    assert "stomach" not in notice
    assert any("could not handle your last message" in text for text in keeper.texts)
    assert "ValueError" in caplog.text
    assert "Rook" not in caplog.text
    assert "stomach" not in caplog.text
    store.close()


async def test_a_message_that_ends_the_process_is_set_aside_and_the_others_go_on(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/club.sqlite"
    store = Store.open(url)
    async with Double() as double:
        club = begin(store, double, 2)
        keeper = club.keepers[1]
        keeper.member.say("poison")
        for one in club.keepers:
            for percent in (11, 12, 13):
                sent = one.member.say(f"{percent}% wc tank 1")
                one.tell(sent["message_id"], percent)
        ends, process = 0, start(double.base_url, url, tmp_path / "log", "poison")
        while not any("could not handle" in text for text in keeper.member.texts):
            await asyncio.sleep(0.02)
            if not process.is_alive():
                ends += 1
                assert ends <= 4, "the one nobody could know of, and three that were counted"
                process = start(double.base_url, url, tmp_path / "log", "poison")
        await double.until(lambda: all(any("13" in text for text in one.member.texts) for one in club.keepers), 20)
        process.terminate()
        await asyncio.to_thread(process.join, 20)
        assert process.exitcode == 0
    assert ends == 4
    for one in club.keepers:
        found = look(store, one)
        assert (found.lost, found.doubled, found.wrong) == (0, 0, 0)
    with store.read() as tx:
        (aside,) = tx.inbox.aside("telegram")
        told = [one for one in tx.deliveries.to("p1") if one.key.startswith("aside:")]
    assert aside.tries == 3
    assert "ended each time" in str(told[0].payload["text"])
    store.close()


@pytest.fixture
def desk(club: Fishrooms) -> Desk:
    with club.store.write() as tx:
        for person in ("marit", "oleg"):
            tx.people.identify("page", person, person, person)
    return Desk(club.store, Cursed(club.store, club.clock), club.clock)


def test_the_page_sets_aside_what_always_fails_and_tells_the_organiser(club: Fishrooms, desk: Desk) -> None:
    oleg = _seat(club, desk)
    cursed, fine = Said("message-0001", "cursed words"), Said("message-0002", "33% wc tank 1")
    assert [desk.hear(oleg, cursed) for _ in range(3)] == [False, False, True]
    assert desk.hear(oleg, fine)
    lines = [line.words for line in desk.after("oleg", 0) if line.side == "bot"]
    assert "set aside" in lines[0]
    assert "33" in lines[1]
    told = [words for key, words in club.sent("marit") if key.startswith("aside:")]
    assert told
    assert all("Oleg" in words and "cursed" not in words for words in told)


def test_the_page_sets_aside_what_ends_the_process_each_time(club: Fishrooms, desk: Desk) -> None:
    """The browser sends again what had no answer; by then it says that the message has waited."""
    oleg, waited = _seat(club, desk), timedelta(minutes=2)
    cursed = Said("message-0001", "cursed words", waited)
    desk.talker.deed = KeyboardInterrupt()  # type: ignore[attr-defined]
    for _ in range(3):
        with pytest.raises(KeyboardInterrupt):
            Desk(club.store, desk.talker, club.clock).hear(oleg, cursed)
    fresh = Desk(club.store, desk.talker, club.clock)
    assert fresh.hear(oleg, cursed)
    assert desk.talker.heard == 3  # type: ignore[attr-defined]
    assert fresh.hear(oleg, Said("message-0002", "34% wc tank 1", waited))
    assert any(key.startswith("aside:") for key, _ in club.sent("marit"))


def _seat(club: Fishrooms, desk: Desk) -> Seat:
    seats = Seats(club.store, desk.talker, club.clock)
    with club.store.write() as tx:
        link = tx.sessions.link("oleg", club.clock.now() + timedelta(days=1))
    entered = seats.enter(link, "")
    assert isinstance(entered, Entered)
    seat = seats.seat(entered.secret)
    assert seat is not None
    return seat
