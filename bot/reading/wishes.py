"""Who wants to be told when fish can be had: "tell me when labs are available, 4 of them" stands on the wanted list."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.kinds_orders import wanted
from bot.reading.partial import Partial
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token

TOLD_WHEN = (
    r"^(?:please |pls |can you |could you )*(?:tell|let|notify|ping|message|alert|text) (?:me|us)(?: know)? (?:when|once|as soon as)\b"
    r".*\b(?:available|for sale|in stock|on the shelf|on offer)\b"
)
"""Asking to be told, in words joined by single blanks."""


def told_when(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The wish of a sentence that asks to be told when a strain can be had; None where no one strain is named."""
    facts = Facts(Clause(list(tokens), "want"), scene)
    if len(facts.where("strain", "profile")) != 1 or facts.where("batch", "fish", "place", "reservation", "hash"):
        return None
    return wanted(facts)
