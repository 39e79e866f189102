"""Several workers behind one webhook and one database: each message handled once, in its chat's order, whoever was brought it."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from bot.clock import WallClock
from bot.telegram import Settings, Telegram, Webhook, rate, serve
from core.store import Store
from core.store.tables import chat_holds
from tests.databases import DATABASES, fresh_database
from tests.telegram.double import TOKEN, Double, Member
from tests.telegram.notebook import Notebook
from tests.telegram.sending import put
from tests.telegram.test_doors import free_port


@pytest.fixture(params=DATABASES)
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with fresh_database(request.param, tmp_path) as url:
        yield url


@asynccontextmanager
async def worker(name: str, double: Double, url: str, folder: Path, seconds: float = 0.0) -> AsyncIterator[Telegram]:
    """A worker as a process of its own would be: with its own store, conversation and port."""
    port = free_port()
    webhook = Webhook(f"http://127.0.0.1:{port}/from-telegram", "s3cret", port=port)
    store, notebook = Store.open(url), Notebook(folder / "notebook.sqlite", seconds)
    settings = Settings(TOKEN, double.base_url, webhook, tick_seconds=0.2, worker=name)
    try:
        async with serve(settings, store, notebook, WallClock()) as door:
            await door.ready()
            double.workers.append(webhook.url)
            yield door
            double.workers.remove(webhook.url)
    finally:
        store.close()


@pytest.fixture
def hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rate, "BURST", 1000)
    monkeypatch.setattr(rate, "OVERALL_PER_SECOND", 1000)


@pytest.mark.usefixtures("hasty")
async def test_each_message_is_handled_once_and_in_its_chats_order(double: Double, url: str, tmp_path: Path) -> None:
    members = [double.member(f"Member {number}") for number in range(3)]
    async with worker("one", double, url, tmp_path, 0.01) as one, worker("two", double, url, tmp_path, 0.01) as two:
        for number in range(12):
            for member in members:
                member.say(f"{number}")
        await double.until(lambda: all(len(member.texts) == 12 for member in members), seconds=20)
        for door in (one, two):
            await door.settled()
    for member in members:
        assert member.texts == [f"noted: {number}" for number in range(12)]
    lines = list(Notebook(tmp_path / "notebook.sqlite").lines.execute("SELECT heard FROM lines"))
    assert lines == [(1,)] * 36
    assert nothing_is_held(url)


async def test_what_a_dead_worker_was_at_is_taken_up_when_its_hold_is_over(
    double: Double, url: str, tmp_path: Path, marit: Member
) -> None:
    now = WallClock().now()
    async with worker("alive", double, url, tmp_path) as door:
        with door.store.write() as tx:
            held = {"door": "telegram", "chat": str(marit.chat.id), "worker": "dead", "lease_until": now + timedelta(seconds=1.5)}
            tx.connection.execute(chat_holds.insert().values(held))
        marit.say("one dead")
        marit.say("two dead")
        await double.until(lambda: len(double.pushed) == 2)
        with door.store.read() as tx:
            assert len(tx.inbox.pending_of("telegram", str(marit.chat.id))) == 2, "kept, and left to the one that is at it"
        assert marit.texts == []
        await double.until(lambda: len(marit.texts) == 2)
    assert marit.texts == ["noted: one dead", "noted: two dead"]


async def test_a_second_worker_that_starts_sends_nothing_of_the_firsts_again(
    double: Double, url: str, tmp_path: Path, marit: Member
) -> None:
    async with worker("one", double, url, tmp_path) as door:
        put(door.store, marit.chat, "alert", "Bad water in tank 3.")
        with door.store.write() as tx:
            assert tx.deliveries.claim(WallClock().now(), 1, timedelta(minutes=5), worker="one", doors=("telegram",))
        async with worker("two", double, url, tmp_path) as other:
            await other.settled()
        assert marit.texts == []


async def test_a_worker_that_stops_leaves_its_chats_to_the_others(double: Double, url: str, tmp_path: Path, marit: Member) -> None:
    async with worker("one", double, url, tmp_path):
        marit.say("one dead")
        await double.until(lambda: len(marit.texts) == 1)
    async with worker("two", double, url, tmp_path):
        marit.say("two dead")
        await double.until(lambda: len(marit.texts) == 2)
    assert nothing_is_held(url)


def nothing_is_held(url: str) -> bool:
    store = Store.open(url)
    try:
        with store.read() as tx:
            return not tx.connection.execute(chat_holds.select()).all()
    finally:
        store.close()
