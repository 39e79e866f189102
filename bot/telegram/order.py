"""In order within a chat, at once across chats."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any

from telegram import Update
from telegram.ext import BaseUpdateProcessor

from bot.telegram.incoming import chat_of

AT_ONCE = 32
"""How many chats are served at the same moment."""
_NO_LIMIT = 1_000_000
"""The library's own limit counts those who wait, too: a long queue in one chat would hold up the others."""


@dataclass
class _Lane:
    lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    users: int = 0


class Lanes:
    """One lane per key; those who want the same lane take turns in the order they came. Idle lanes are dropped."""

    def __init__(self) -> None:
        self.lanes: dict[str, _Lane] = {}

    @asynccontextmanager
    async def turn(self, key: str) -> AsyncIterator[None]:
        """Within it, nobody else has the lane of `key`."""
        lane = self.lanes.setdefault(key, _Lane())
        lane.users += 1
        try:
            async with lane.lock:
                yield
        finally:
            lane.users -= 1
            if not lane.users:
                del self.lanes[key]


class PerChat(BaseUpdateProcessor):
    """Handles updates chat by chat. `first` is begun as soon as an update is there, even while its chat is busy."""

    def __init__(self, first: Callable[[Update], Awaitable[None]] | None = None, at_once: int = AT_ONCE) -> None:
        super().__init__(_NO_LIMIT)
        self.first = first
        self.lanes = Lanes()
        self.at_once = asyncio.Semaphore(at_once)
        self.stopping = False
        self.active: set[asyncio.Task[Any]] = set()

    async def initialize(self) -> None:
        """Ready to go (again)."""
        self.stopping = False

    async def shutdown(self) -> None:
        """Nothing to release."""

    async def do_process_update(self, update: object, coroutine: Awaitable[Any]) -> None:
        """Handles the update when it is its turn. Once the bot is stopping it is left: it is kept, and comes up again."""
        if not isinstance(update, Update):
            await coroutine
            return
        begun = asyncio.ensure_future(self.first(update)) if self.first and not self.stopping else None
        async with self.lanes.turn(chat_of(update)), self.at_once:
            if begun:
                await begun
            if self.stopping:
                _leave(coroutine)
            else:
                await self._work(coroutine)

    async def drain(self, seconds: float) -> None:
        """Lets what is being handled come to its end, for so long; then breaks it off. What waits is left."""
        self.stopping = True
        if self.active:
            await asyncio.wait(self.active, timeout=seconds)
        for task in self.active:
            task.cancel()

    async def _work(self, coroutine: Awaitable[Any]) -> None:
        task = asyncio.current_task()
        assert task is not None  # noqa: S101 - we are in one
        self.active.add(task)
        try:
            await coroutine
        finally:
            self.active.discard(task)


def _leave(coroutine: Awaitable[Any]) -> None:
    """Drops a coroutine that will not be awaited."""
    if asyncio.iscoroutine(coroutine):
        coroutine.close()
