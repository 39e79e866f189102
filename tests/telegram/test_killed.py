"""Kill -9 at any point: each message has its effect once, in its order; no alert is lost, and no digest comes twice."""

from __future__ import annotations

import asyncio
import random
from collections import Counter
from pathlib import Path

import pytest

from bot.clock import WallClock
from bot.telegram.sending import AT_ONCE
from core.events import PlaceAdded, WaterChanged
from core.store import Store
from core.store.deliveries import Kind
from tests.telegram.double import Double
from tests.telegram.notebook import Notebook
from tests.telegram.runner import start
from tests.telegram.sending import put, row

pytestmark = pytest.mark.xdist_group("processes")  # one server forks them all, and is not started thrice

KILLS = 4
MESSAGES = 25
DELIVERIES = 10


async def kill_again_and_again(double: Double, folder: Path, kills: int, seconds: float | None = 0.002) -> None:
    """Starts the bot and kills it: in turn a moment after it has begun to listen, and a moment after some more were answered."""
    chance = random.Random(3)  # a fixed seed: the same moments each time
    progress = []
    for turn in range(kills):
        process = start(double.base_url, folder, seconds)
        polls = double.count("getUpdates") + 1
        answers = double.count("sendMessage") + chance.randint(1, 4) * (turn % 2)
        await double.until(lambda: double.count("getUpdates") >= polls and double.count("sendMessage") >= answers, 20)  # noqa: B023 - awaited within the turn
        await asyncio.sleep(chance.uniform(0.0, 0.03))
        process.kill()
        await asyncio.to_thread(process.join)
        progress.append(double.count("sendMessage"))
    assert len(set(progress)) > kills // 2, progress


async def test_each_message_has_its_effect_once_however_often_the_bot_is_killed(double: Double, tmp_path: Path) -> None:
    members = [double.member(f"Member {number}") for number in range(4)]
    told = {str(member.chat.id): [f"{number} fed" for number in range(MESSAGES)] for member in members}
    for number in range(MESSAGES):
        for member in members:
            member.say(f"{number} fed")
    await kill_again_and_again(double, tmp_path, KILLS)
    last = start(double.base_url, tmp_path)
    await double.until(lambda: all(len(set(member.texts)) == MESSAGES for member in members), 20)
    last.terminate()
    await asyncio.to_thread(last.join, 10)
    assert last.exitcode == 0

    written = Notebook(tmp_path / "notebook.sqlite").written
    assert {chat: [said for one, said in written if one == chat] for chat in told} == told
    doubled = sum(len(member.texts) - MESSAGES for member in members)
    assert doubled <= KILLS * len(members), "at most what was in hand is answered twice"


async def test_the_journal_holds_each_message_once(double: Double, tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path}/club.sqlite")
    keepers = [double.member(name) for name in ("Marit", "Wren", "Ines")]
    now = WallClock().now()
    with store.write() as tx:
        club = tx.clubs.add("Gravel Lane")
        for keeper in keepers:
            person = tx.people.add(keeper.user["first_name"], now)
            tx.people.identify("telegram", str(keeper.user["id"]), person.id, str(keeper.chat.id))
            tx.clubs.join(club.id, person.id, ["keeper"], now)
            tx.clubs.add_room(person.name, [club.id], [person.id])
    for keeper in keepers:
        keeper.say("new tank 1, 240 litres, 26 C")
    for percent in range(10, 22):
        for keeper in keepers:
            keeper.say(f"{percent}% wc tank 1")
    await kill_again_and_again(double, tmp_path, 5, None)
    last = start(double.base_url, tmp_path, None)
    await double.until(lambda: all(any("21" in text for text in keeper.texts) for keeper in keepers), 30)
    last.terminate()
    await asyncio.to_thread(last.join, 10)
    for room in ("r1", "r2", "r3"):
        with store.read() as tx:
            events = [entry.event for entry in tx.journal.entries(f"fishroom:{room}")]
        assert [event.percent for event in events if isinstance(event, WaterChanged)] == list(range(10, 22))
        assert sum(isinstance(event, PlaceAdded) for event in events) == 1
    store.close()


async def test_no_alert_is_lost_and_no_digest_comes_twice(double: Double, tmp_path: Path) -> None:
    members = [double.member(f"Member {number}") for number in range(4)]
    kinds: dict[str, Kind] = {"a": "alert", "d": "digest"}
    store = Store.open(f"sqlite:///{tmp_path}/club.sqlite")
    for number in range(DELIVERIES):
        for member in members:
            for letter, kind in kinds.items():
                put(store, member.chat, kind, f"{letter}{number}", key=f"{letter}{number}:{member.chat.id}")
    await kill_again_and_again(double, tmp_path, 5)
    last = start(double.base_url, tmp_path)
    keys = [f"{letter}{number}:{member.chat.id}" for letter in kinds for number in range(DELIVERIES) for member in members]

    while any(row(store, key).state in ("due", "sending") for key in keys):
        await asyncio.sleep(0.05)
    last.terminate()
    await asyncio.to_thread(last.join, 10)

    uncertain = 0
    for member in members:
        counted = Counter(text.removeprefix("(may repeat) ") for text in member.texts)
        assert all(counted[f"a{number}"] >= 1 for number in range(DELIVERIES))
        assert all(counted[f"d{number}"] <= 1 for number in range(DELIVERIES))
        unmarked = [text for text in member.texts if not text.startswith("(may repeat)")]
        assert len(unmarked) == len(set(unmarked)), "whatever comes twice says so"
        missing = [f"d{number}:{member.chat.id}" for number in range(DELIVERIES) if not counted[f"d{number}"]]
        assert all(row(store, key).state == "uncertain" for key in missing), "what is missing is known to be"
        uncertain += len(missing)
    assert uncertain <= 5 * AT_ONCE
    store.close()
