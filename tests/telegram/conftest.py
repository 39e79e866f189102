"""The platform's double, a store, a notebook for a conversation, and the real front door between them."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import pytest
import pytest_asyncio

from bot.clock import WallClock
from bot.telegram import Settings, Telegram, rate, serve
from core.store import Store
from tests.telegram.double import TOKEN, Double, Member
from tests.telegram.notebook import Notebook


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}")
    yield store
    store.close()


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "notebook.sqlite")


@pytest_asyncio.fixture
async def double() -> AsyncIterator[Double]:
    async with Double() as double:
        yield double


@pytest.fixture
def marit(double: Double) -> Member:
    return double.member("Marit")


@pytest.fixture
def oleg(double: Double) -> Member:
    return double.member("Oleg")


@pytest.fixture
def settings(double: Double) -> Settings:
    return Settings(TOKEN, double.base_url, tick_seconds=0.1)


@pytest_asyncio.fixture
async def door(
    double: Double, settings: Settings, store: Store, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> AsyncIterator[Telegram]:
    """The front door, open and listening, and in no hurry to be slow: its pace has tests of its own."""
    monkeypatch.setattr(rate, "BURST", 1000)
    monkeypatch.setattr(rate, "OVERALL_PER_SECOND", 1000)
    async with serve(settings, store, notebook, WallClock()) as telegram:
        telegram.handling.speaker.pauses = (0.01, 0.01)
        await telegram.ready()
        yield telegram


async def settled(double: Double, door: Telegram) -> None:
    """Everything sent so far was taken, handled and answered."""
    await double.confirmed()
    await door.settled()
