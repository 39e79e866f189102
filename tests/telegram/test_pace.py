"""The bot speaks within the platform's limits, and a chat that wants a pause holds up nobody else.

Limits: the platform's bot FAQ ("My bot is hitting limits"): about 30 messages a second over all, one a second in a chat with
short bursts allowed, 20 a minute in a group. The bot keeps to 25 over all.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import pytest
from telegram.error import RetryAfter

from bot.telegram.rate import BROADCAST, Courtesy
from tests.telegram.swift import swiftly


@dataclass
class Platform:
    """Notes when each call comes in. `strict` refuses what the platform would refuse."""

    courtesy: Courtesy = field(default_factory=Courtesy)
    calls: list[tuple[float, int]] = field(default_factory=list)
    refuse: dict[int, int] = field(default_factory=dict)
    """Chats that answer "retry after" once, and the seconds."""
    always: int = 0
    """Seconds that are wanted at every call."""

    async def send(self, chat: int, priority: int | None = None, endpoint: str = "sendMessage") -> None:
        async def call() -> bool:
            self.calls.append((asyncio.get_running_loop().time(), chat))
            if chat in self.refuse:
                raise RetryAfter(self.refuse.pop(chat))
            if self.always:
                raise RetryAfter(self.always)
            await asyncio.sleep(0.05)
            return True

        data: dict[str, Any] = {"chat_id": chat} if chat else {}
        await self.courtesy.process_request(call, (), {}, endpoint, data, priority)

    def times(self, chat: int) -> list[float]:
        return [round(at, 2) for at, to in self.calls if to == chat]

    def most_within(self, seconds: float) -> int:
        moments = sorted(at for at, _ in self.calls)
        return max(sum(start <= at < start + seconds for at in moments) for start in moments)


@pytest.fixture
def platform() -> Platform:
    return Platform()


def all_at_once(*sends: Any) -> Any:
    async def main() -> None:
        await asyncio.gather(*sends)

    return main()


def test_a_private_chat_gets_a_short_burst_and_then_one_a_second(platform: Platform) -> None:
    swiftly(all_at_once(*(platform.send(7) for _ in range(8))))
    assert platform.times(7) == [0, 0, 0, 1, 2, 3, 4, 5]


def test_a_group_gets_twenty_in_any_minute(platform: Platform) -> None:
    async def many() -> None:
        sent = 0
        while sent < 45:
            try:
                await platform.send(-7)
                sent += 1
            except RetryAfter as pause:
                await asyncio.sleep(float(pause.retry_after))  # type: ignore[arg-type]

    swiftly(many())
    times = platform.times(-7)
    assert len(times) == 45
    assert all(later - earlier >= 60 for earlier, later in zip(times, times[20:], strict=False))
    assert times[19] < 30


def test_over_all_there_are_never_more_than_twenty_five_a_second(platform: Platform) -> None:
    swiftly(all_at_once(*(platform.send(chat, BROADCAST) for chat in range(1, 301))))
    assert platform.most_within(1.0) == 25
    assert max(at for at, _ in platform.calls) == pytest.approx(11.0, abs=0.2)


def test_answers_go_before_broadcasts(platform: Platform) -> None:
    async def busy_morning() -> None:
        broadcasts = [asyncio.ensure_future(platform.send(chat, BROADCAST)) for chat in range(1, 201)]
        await asyncio.sleep(2.5)
        await platform.send(999)
        assert sum(not one.done() for one in broadcasts) > 100
        await asyncio.gather(*broadcasts)

    swiftly(busy_morning())
    assert platform.times(999)[0] <= 3.01


def test_a_pause_that_one_chat_wants_is_kept_there_and_nowhere_else(platform: Platform) -> None:
    platform.refuse = {7: 20}
    swiftly(all_at_once(platform.send(7), platform.send(7), *(platform.send(chat) for chat in (8, 9, -10))))
    assert all(platform.times(chat) == [0] for chat in (8, 9, -10))
    first, *others = platform.times(7)
    assert (first, len(others)) == (0, 2)
    assert min(others[1:]) >= 20


def test_a_chat_that_wants_one_pause_after_another_is_left_in_the_end(platform: Platform) -> None:
    async def main() -> None:
        with pytest.raises(RetryAfter):
            await platform.send(7)

    platform.always = 2
    swiftly(main())
    assert len(platform.times(7)) == 5


def test_a_broadcast_does_not_wait_out_a_long_pause_but_says_so(platform: Platform) -> None:
    platform.refuse = {7: 20}

    async def main() -> None:
        with pytest.raises(RetryAfter) as pause:
            await platform.send(7, BROADCAST)
        assert pause.value.retry_after in (20, 21)

    swiftly(main())
    assert platform.times(7) == [0]


def test_what_is_no_message_is_not_held_back(platform: Platform) -> None:
    swiftly(all_at_once(*(platform.send(0, endpoint="answerCallbackQuery") for _ in range(60))))
    swiftly(all_at_once(*(platform.send(5, endpoint="getChat") for _ in range(60))))
    assert Counter(at for at, _ in platform.calls) == {0.0: 120}


def test_idle_chats_are_forgotten(platform: Platform) -> None:
    async def years() -> None:
        for chat in range(1, 2501):
            await platform.send(chat)
            await asyncio.sleep(1)

    swiftly(years())
    assert len(platform.courtesy.chats) < 1100
