"""What every handler of the page shares: where things are, the one thread of the store, and who may come how often."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, field
from typing import ParamSpec, Protocol, TypeVar

from bot.clock import Clock
from bot.page.demo import Demo
from bot.page.desk import Desk
from bot.page.guard import Rate
from bot.page.seats import Seats
from bot.page.settings import PageSettings
from bot.page.shelf_rows import ShelfRows
from core.club import Visits
from core.events import PersonId

P = ParamSpec("P")
T = TypeVar("T")
MOST_WIRES = 12
"""Open sockets of one member at a time."""


class Wire(Protocol):
    """An open socket of a member."""

    async def push(self) -> None:
        """Send the log lines that this browser has not seen."""

    async def keep_open(self) -> None:
        """Say that the connection is alive."""

    def part(self) -> None:
        """Close it: the session is over."""

    def leave(self) -> None:
        """Close it: the page stops, and may be back soon."""


@dataclass(slots=True)
class Context:
    """Shared by all handlers. `executor` is the one thread on which the store and the conversation are used."""

    settings: PageSettings
    visits: Visits
    clock: Clock
    seats: Seats
    desk: Desk
    executor: Executor
    entering: Rate
    entering_at_all: Rate
    writing: Rate
    framing: Rate
    asking: Rate
    demo: Demo | None = None
    shelves: ShelfRows = field(default_factory=ShelfRows)
    wires: defaultdict[PersonId, set[Wire]] = field(default_factory=lambda: defaultdict(set))

    async def call(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Call something on the thread of the store."""
        return await asyncio.get_running_loop().run_in_executor(self.executor, lambda: function(*args, **kwargs))

    async def push(self, person: PersonId) -> None:
        """Let every open browser of the member see what is new."""
        for wire in tuple(self.wires[person]):
            await wire.push()

    async def push_all(self) -> None:
        """Let every open browser see what is new."""
        for person in [person for person, open_ in self.wires.items() if open_]:
            await self.push(person)

    async def spread(self) -> None:
        """After something was recorded: what it sends to others is delivered, and everybody sees what is new."""
        await self.call(self.desk.deliver)
        await self.push_all()

    async def tick(self) -> None:
        """Let everything that fell due be said and seen; keep connections alive."""
        await self.call(self.desk.fall_due)
        await self.push_all()
        for wires in list(self.wires.values()):
            for wire in tuple(wires):
                await wire.keep_open()

    def part(self, person: PersonId) -> None:
        """Close every socket of the member."""
        for wire in tuple(self.wires.pop(person, ())):
            wire.part()
