"""An event loop whose clock jumps to whatever it would wait for: minutes pass in no time, to the millisecond."""

from __future__ import annotations

import asyncio
import selectors
from collections.abc import Coroutine
from typing import Any, TypeVar

Result = TypeVar("Result")


class _Jumping(selectors.DefaultSelector):  # type: ignore[valid-type,misc]
    def __init__(self) -> None:
        super().__init__()
        self.now = 0.0

    def select(self, timeout: float | None = None) -> Any:
        self.now += timeout or 0.0
        return super().select(0)


class SwiftLoop(asyncio.SelectorEventLoop):
    """For code that only sleeps: nothing outside the loop can wake it."""

    def __init__(self) -> None:
        self.jumping = _Jumping()
        super().__init__(self.jumping)

    def time(self) -> float:
        return self.jumping.now


def swiftly(main: Coroutine[Any, Any, Result]) -> Result:
    """Runs `main` in a swift loop."""
    with asyncio.Runner(loop_factory=SwiftLoop) as runner:
        return runner.run(main)
