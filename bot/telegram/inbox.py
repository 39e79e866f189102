"""Nothing is lost on the way in: an update is kept before the platform is told that it arrived.

The library confirms updates once they are in its queue, before anything was done with them. This queue writes each into the store
first. Whatever was not handled when the process ended, however it ended, is queued again at the next start.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import timedelta
from typing import Any, Protocol, TypeVar

from telegram import Bot, Update
from telegram.error import NetworkError

from bot.clock import Clock
from bot.telegram.incoming import DOOR, chat_of, key_of
from core.store import Store
from core.store.transaction import Transaction

log = logging.getLogger(__name__)
_PAUSE = 1.0
"""Seconds that an update rests which could not be handled; twice as long each further time."""
_LONGEST_REST = 1800.0
KEPT = timedelta(days=3)
"""How long what was handled is remembered; the platform brings nothing that is older than a day."""

Result = TypeVar("Result")


class Run(Protocol):
    """Runs something that blocks on a thread beside the loop."""

    def __call__(self, work: Callable[[], Result]) -> Awaitable[Result]:
        """What the work returns."""
        ...


class Inbox(asyncio.Queue[object]):
    """The queue of updates, kept in the store."""

    def __init__(self, store: Store, clock: Clock, run: Run, bot: str = "") -> None:
        super().__init__()
        self.bot = bot
        """The bot's own number: update ids are counted by each bot for itself."""
        self.store = store
        self.clock = clock
        self.run = run
        self.held: set[str] = set()
        """What is queued or being handled in this process, by its key."""
        self.later: dict[str, tuple[int, float]] = {}
        """What could not be handled for want of something: how often that was, and until when it rests."""

    async def put(self, item: object) -> None:
        """Keeps an update, then queues it. An update that is done, or in hand already, is not queued again.

        Raises `NetworkError` where it cannot be kept: then it is not confirmed, and comes again. (Any other error would end the
        library's polling for good.)
        """
        if isinstance(item, Update):
            try:
                wanted = await self.run(lambda: self._keep(item))
            except Exception as error:
                log.exception("An update could not be kept; Telegram will bring it again.")
                raise NetworkError("an update could not be kept") from error
            if not wanted or key_of(item) in self.held:
                return
            self.held.add(key_of(item))
        await super().put(item)

    async def refill(self, bot: Bot) -> int:
        """Queues what is pending and not in hand, in the order it came: at the start, and what could not be answered before."""
        count = 0
        for payload in await self.run(self._pending):
            update = Update.de_json(payload, bot)
            key = key_of(update)
            if key not in self.held and not self._rests(key):
                self.held.add(key)
                self.put_nowait(update)
                count += 1
        return count

    async def prune(self) -> None:
        """Forgets what was handled and is too old for the platform to bring it again."""
        await self.run(lambda: self.store.run(lambda tx: tx.inbox.prune(self.clock.now() - KEPT)))

    async def done(self, update: Update) -> None:
        """The update was handled."""
        self.later.pop(key_of(update), None)
        await self.run(lambda: self._mark(update, lambda tx, row: tx.inbox.done(row)))

    async def failed(self, update: Update, error: str) -> bool:
        """Handling it failed; True where that was once too often and it is set aside."""
        return bool(await self.run(lambda: self._mark(update, lambda tx, row: tx.inbox.failed(row, error))))

    def let_go(self, update: Update) -> None:
        """The update is no longer in hand, done or not."""
        self.held.discard(key_of(update))

    def postpone(self, update: Update) -> None:
        """It could not be handled for want of something. It rests for longer each time, half an hour at most."""
        times = self.later.get(key_of(update), (0, 0.0))[0]
        rest = min(_LONGEST_REST, _PAUSE * 2**times)
        self.later[key_of(update)] = (min(times + 1, 20), asyncio.get_running_loop().time() + rest)

    def _rests(self, key: str) -> bool:
        return key in self.later and asyncio.get_running_loop().time() < self.later[key][1]

    def _keep(self, update: Update) -> bool:
        """Keeps it where it is new; whether it is to be handled."""

        def work(tx: Transaction) -> bool:
            external = self._external(update)
            if tx.inbox.keep(DOOR, external, chat_of(update), update.to_dict(), self.clock.now()):
                return True
            there = tx.inbox.get(DOOR, external)
            return there is not None and there.state == "pending"

        return self.store.run(work)

    def _external(self, update: Update) -> str:
        return f"{self.bot}.{key_of(update)}"

    def _pending(self) -> list[dict[str, Any]]:
        with self.store.read() as tx:
            return [dict(arrived.payload) for arrived in tx.inbox.pending(DOOR)]

    def _mark(self, update: Update, mark: Callable[[Transaction, int], Result]) -> Result | None:
        def work(tx: Transaction) -> Result | None:
            there = tx.inbox.get(DOOR, self._external(update))
            return mark(tx, there.id) if there else None

        return self.store.run(work)
