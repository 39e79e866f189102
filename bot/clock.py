"""The one place that asks what time it is. Everybody else is told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    """Tells the moment."""

    def now(self) -> datetime:
        """The moment now, in UTC."""
        ...


class WallClock:
    """The machine's clock, moved on by `ahead` (the demo lets a visitor step into tomorrow)."""

    def __init__(self, ahead: timedelta = timedelta()) -> None:
        self.ahead = ahead

    def now(self) -> datetime:
        """The moment now, in UTC."""
        return datetime.now(UTC) + self.ahead  # noqa: TID251 - this is the one place


class SetClock:
    """A clock that stands where it was put: for played conversations and tests."""

    def __init__(self, moment: datetime) -> None:
        self.moment = moment

    def now(self) -> datetime:
        """The moment it was put at, in UTC."""
        return self.moment
