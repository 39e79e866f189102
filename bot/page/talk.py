"""What the page asks of the conversation, and nothing more."""

from __future__ import annotations

from typing import Protocol

from bot.conversation.message import Incoming, Reply
from core.events import PersonId


class Talker(Protocol):
    """The conversation, as far as the page knows it. All calls come from one thread."""

    def hear(self, incoming: Incoming) -> list[Reply]:
        """The replies to a message; the same message again has no second effect and is answered again."""
        ...

    def arrive(self, door: str, external_id: str, chat: str, shown_name: str, payload: str, group: bool) -> list[Reply]:
        """Somebody opens the conversation, with an invitation or without."""
        ...

    def person_of(self, door: str, external_id: str) -> PersonId | None:
        """Who comes by this door under this id."""
        ...

    def due(self) -> None:
        """Put everything that fell due by now among the deliveries."""
        ...
