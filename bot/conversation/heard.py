"""A text with what it is to be read against; it waits whole while a question about it is open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.events import Entry


@dataclass(frozen=True, slots=True)
class Heard:
    """A text with what it is to be read against."""

    text: str
    local: datetime
    replaces: tuple[Entry, ...] = ()
