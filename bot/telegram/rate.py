"""How fast the bot may speak: inside the platform's limits in each chat and over all, answers before broadcasts.

The platform allows about 30 messages a second over all, one a second in a chat with short bursts, and 20 a minute in a group; it
answers "retry after" when that is overstepped, which here holds up that one chat and nobody else.
"""

from __future__ import annotations

import asyncio
import heapq
import itertools
from collections import deque
from collections.abc import Callable, Coroutine
from dataclasses import dataclass, field
from typing import Any

from telegram._utils.types import JSONDict  # the signature of process_request asks for it
from telegram.error import RetryAfter
from telegram.ext import BaseRateLimiter

from bot.telegram.trouble import seconds_of

OVERALL_PER_SECOND = 25
GROUP_PER_MINUTE = 20
BURST = 3
PATIENCE = (30.0, 2.0)
"""Seconds an answer, and a broadcast, wait for the turn of their chat; a longer wait goes back to the caller as `RetryAfter`."""
TRIES = 5
SLACK = 0.1
"""Seconds added to a pause the platform asks for."""
BROADCAST = 1
"""The priority of what is sent unasked; an answer has none (0)."""
_MANY_CHATS = 1000

Callback = Callable[..., Coroutine[Any, Any, bool | JSONDict | list[JSONDict]]]


class Courtesy(BaseRateLimiter[int]):
    """The rate limiter. `rate_limit_args=BROADCAST` lets answers go first."""

    def __init__(self) -> None:
        self.overall = _Overall(OVERALL_PER_SECOND)
        self.chats: dict[str, _ChatPace] = {}

    async def initialize(self) -> None:
        """Nothing to prepare."""

    async def shutdown(self) -> None:
        """Nothing to release."""

    async def process_request(
        self,
        callback: Callback,
        args: Any,
        kwargs: dict[str, Any],
        endpoint: str,
        data: dict[str, Any],
        rate_limit_args: int | None,
    ) -> bool | JSONDict | list[JSONDict]:
        """Makes the call when it is its turn, and again after a pause the platform asked for.

        Raises `RetryAfter` where the wait is longer than the patience, or wanted again and again.
        """
        if not _speaks(endpoint, data):
            return await callback(*args, **kwargs)
        priority = rate_limit_args or 0
        pace = self._pace(str(data["chat_id"]))
        for left in reversed(range(TRIES)):
            await pace.turn(PATIENCE[priority])
            await self.overall.turn(priority)
            try:
                return await callback(*args, **kwargs)
            except RetryAfter as pause:
                pace.pause(seconds_of(pause) + SLACK)
                if not left:
                    raise
        raise AssertionError("the last try either worked or raised")

    def _pace(self, chat: str) -> _ChatPace:
        if len(self.chats) > _MANY_CHATS:
            now = _now()
            self.chats = {key: pace for key, pace in self.chats.items() if not pace.idle(now)}
        return self.chats.setdefault(chat, _ChatPace(group=chat.startswith(("-", "@"))))


@dataclass
class _ChatPace:
    """When a chat may be written to next: `BURST` at once, then one a second; a group also at most 20 in any minute."""

    group: bool
    free_at: float = 0.0
    """When the burst is whole again."""
    paused_until: float = 0.0
    minute: deque[float] = field(default_factory=lambda: deque(maxlen=GROUP_PER_MINUTE))

    async def turn(self, patience: float) -> None:
        """Waits for the chat's next turn and takes it. Raises `RetryAfter` where that would be later than `patience` seconds."""
        while True:
            wait = max(self._next(_now()), self.paused_until) - _now()
            if wait > patience:
                raise RetryAfter(int(wait) + 1)
            if wait <= 0:
                self._take(_now())
                return
            await asyncio.sleep(wait)

    def pause(self, seconds: float) -> None:
        self.paused_until = max(self.paused_until, _now() + seconds)

    def idle(self, now: float) -> bool:
        return max(self.free_at, self.paused_until, self.minute[-1] + 60 if self.minute else 0.0) <= now

    def _next(self, now: float) -> float:
        soon = max(now, self.free_at - (BURST - 1))
        return max(soon, self.minute[0] + 60) if len(self.minute) == GROUP_PER_MINUTE else soon

    def _take(self, now: float) -> None:
        self.free_at = max(self.free_at, now) + 1.0
        if self.group:
            self.minute.append(now)


class _Overall:
    """Lets through so many a second, in the order of priority and then of asking."""

    def __init__(self, per_second: int) -> None:
        self.passed: deque[float] = deque(maxlen=per_second)
        self.waiting: list[tuple[int, int, asyncio.Future[None]]] = []
        self._numbers = itertools.count()
        self._timer: asyncio.TimerHandle | None = None

    async def turn(self, priority: int) -> None:
        if not self.waiting and self._free_at() <= _now():
            self.passed.append(_now())
            return
        turn: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        heapq.heappush(self.waiting, (priority, next(self._numbers), turn))
        self._arm()
        await turn

    def _free_at(self) -> float:
        return self.passed[0] + 1.0 if len(self.passed) == self.passed.maxlen else 0.0

    def _arm(self) -> None:
        if self._timer is None and self.waiting:
            self._timer = asyncio.get_running_loop().call_at(max(self._free_at(), _now()), self._release)

    def _release(self) -> None:
        self._timer = None
        while self.waiting and self._free_at() <= _now():
            turn = heapq.heappop(self.waiting)[2]
            if not turn.done():
                self.passed.append(_now())
                turn.set_result(None)
        self._arm()


def _speaks(endpoint: str, data: dict[str, Any]) -> bool:
    return (
        data.get("chat_id") is not None
        and endpoint.startswith(("send", "edit", "copy", "forward"))
        and endpoint != "sendChatAction"
    )


def _now() -> float:
    return asyncio.get_running_loop().time()
