"""Updates are kept before they are confirmed, handled in order within a chat and once however often they come."""

from __future__ import annotations

import asyncio
import random
from dataclasses import replace
from datetime import time
from pathlib import Path

import pytest
from sqlalchemy import update

from bot.clock import WallClock
from bot.telegram import Settings, Telegram, serve
from core.store import Busy, Store, Unreachable
from core.store.tables import inbox
from core.store.transaction import Transaction
from tests.telegram.conftest import settled
from tests.telegram.double import Double, Member
from tests.telegram.notebook import Notebook
from tests.telegram.sending import put


async def test_within_a_chat_messages_keep_their_order_while_chats_do_not_wait_for_each_other(
    double: Double, door: Telegram, notebook: Notebook
) -> None:
    members = [double.member(f"Member {number}") for number in range(6)]
    for number in range(10):
        for member in members:
            member.say(f"{number}")
    await settled(double, door)
    for member in members:
        assert [said for chat, said in notebook.written if chat == str(member.chat.id)] == [f"{n}" for n in range(10)]
        assert member.texts == [f"noted: {number}" for number in range(10)]
    assert door.order.lanes.lanes == {}


async def test_a_message_that_comes_twice_has_its_effect_once(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    double.twice = True
    marit.say("2 dead in tank 3")
    await settled(double, door)
    double.twice = False
    first = marit.say("1 dead in tank 3")
    await settled(double, door)
    double.again({"update_id": 5002, "message": first})
    double.again({"update_id": 5001, "message": marit.chat.messages[0]})
    await settled(double, door)
    assert notebook.said == ["2 dead in tank 3", "1 dead in tank 3"]
    assert len(notebook.incoming) == 2
    assert marit.texts == ["noted: 2 dead in tank 3", "noted: 1 dead in tank 3"]


async def test_a_server_that_counts_anew_is_heard(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    marit.say("one dead")
    await settled(double, door)
    double.again({"update_id": 5001, "message": marit.chat.add(marit.user, text="two dead")})
    await settled(double, door)
    assert notebook.said == ["one dead", "two dead"]


async def test_what_fails_three_times_is_set_aside_and_the_organiser_is_told(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    ana = double.member("Ana")
    now = WallClock().now()
    with store.write() as tx:
        club = tx.clubs.add("Gravel Lane")
        for member, role in ((ana, "organiser"), (marit, "keeper")):
            person = tx.people.add(member.user["first_name"], now)
            tx.people.save(replace(person, quiet_from=time(), quiet_to=time()))  # alerts come at night too
            tx.people.identify("telegram", str(member.user["id"]), person.id, str(member.chat.id))
            tx.clubs.join(club.id, person.id, [role], now)  # type: ignore[list-item]
    door.handling.pauses = (0.0, 0.0, 0.0)
    notebook.fails["cursed words"] = 99
    marit.say("cursed words")
    marit.say("2 dead in tank 3")
    await double.until(lambda: bool(ana.texts))
    await settled(double, door)
    assert notebook.said == ["2 dead in tank 3"]
    assert "organiser has been told" in marit.texts[0]
    assert marit.texts[1] == "noted: 2 dead in tank 3"
    assert "Marit" in ana.texts[0]
    assert "RuntimeError" in ana.texts[0]
    assert "cursed words" not in ana.texts[0], "what was written is the sender's"
    with store.read() as tx:
        (aside,) = tx.inbox.aside("telegram")
        assert (aside.tries, aside.payload["message"]["text"]) == (3, "cursed words")


async def test_what_fails_twice_is_handled_the_third_time(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    door.handling.pauses = (0.0, 0.0, 0.0)
    notebook.fails["one dead"] = 2
    marit.say("one dead")
    marit.say("two dead")
    await settled(double, door)
    assert notebook.said == ["one dead", "two dead"]


async def test_trouble_with_the_database_is_no_fault_of_the_message(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    hear, troubles = notebook.hear, iter([Busy(), Busy(), Busy(), Busy()])
    monkeypatch.setattr("bot.telegram.inbox._PAUSE", 0.01)

    def troubled(incoming: object) -> object:
        for trouble in troubles:
            raise trouble
        return hear(incoming)  # type: ignore[arg-type]

    monkeypatch.setattr(notebook, "hear", troubled)
    marit.say("one dead")
    await double.until(lambda: bool(marit.texts))
    assert notebook.said == ["one dead"]
    with store.read() as tx:
        assert tx.inbox.aside("telegram") == []


async def test_a_book_that_goes_away_as_it_takes_the_last_word_holds_up_nothing(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    mark, troubles = door.inbox._mark, iter([Unreachable()])

    def gone_afterwards(*what: object) -> object:
        marked = mark(*what)  # type: ignore[arg-type]
        for trouble in troubles:
            raise trouble
        return marked

    monkeypatch.setattr(door.inbox, "_mark", gone_afterwards)
    marit.say("one dead")
    async with asyncio.timeout(8):
        while not door.inbox.fronts:
            await asyncio.sleep(0.01)
    marit.say("two dead")
    await double.until(lambda: "noted: two dead" in marit.texts)
    assert notebook.said == ["one dead", "two dead"]


async def test_what_cannot_be_kept_is_not_confirmed_and_comes_again(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep, troubles = door.inbox._keep, iter([Busy()])

    def troubled(update: object) -> bool:
        for trouble in troubles:
            raise trouble
        return keep(update)  # type: ignore[arg-type]

    monkeypatch.setattr(door.inbox, "_keep", troubled)
    marit.say("one dead")
    marit.say("two dead")
    await settled(double, door)
    assert notebook.said == ["one dead", "two dead"]


async def test_the_courier_survives_trouble_with_the_database(
    double: Double, door: Telegram, marit: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    claim, troubles = door.courier._claim, iter([Busy() for _ in range(8)])

    async def troubled() -> object:
        for trouble in troubles:
            raise trouble
        return await claim()

    monkeypatch.setattr(door.courier, "_claim", troubled)
    put(door.store, marit.chat, "alert", "Bad water in tank 3.")
    await double.until(lambda: bool(marit.texts))


async def test_what_was_kept_and_not_handled_comes_up_first_at_the_next_start(
    double: Double, settings: Settings, store: Store, marit: Member, notebook: Notebook, tmp_path: Path
) -> None:
    async with serve(settings, store, notebook, WallClock()) as door:
        await door.ready()
        for number in range(3):
            marit.say(f"{number}")
        await settled(double, door)
    with store.write() as tx:
        _forget_that_they_were_handled(tx)
    fresh = Notebook(tmp_path / "fresh.sqlite")
    marit.say("3")
    async with serve(settings, store, fresh, WallClock()) as door:
        await door.ready()
        await settled(double, door)
    assert fresh.said == ["0", "1", "2", "3"]


def _forget_that_they_were_handled(tx: Transaction) -> None:
    tx.connection.execute(update(inbox).values(state="pending"))


async def test_a_stop_in_the_middle_of_a_burst_leaves_the_rest_for_the_next_start(
    double: Double, settings: Settings, store: Store, notebook: Notebook
) -> None:
    members = [double.member(f"Member {number}") for number in range(4)]
    notebook.seconds = 0.005
    moments = random.Random(5)
    for number in range(12):
        for member in members:
            member.say(f"{number}")
    starts = 0
    while (said := len(notebook.said)) < 48:
        starts += 1
        enough = min(48, said + moments.randint(1, 15))
        async with serve(settings, store, notebook, WallClock()):
            await double.until(lambda enough=enough: len(notebook.said) >= enough, 30)
            await asyncio.sleep(moments.uniform(0.0, 0.01))
    assert starts > 1
    for member in members:
        assert [said for chat, said in notebook.written if chat == str(member.chat.id)] == [f"{n}" for n in range(12)]
