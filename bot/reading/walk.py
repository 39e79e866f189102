"""The walk over the tokens of a message, and what a fish and a place are called there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.reading.names import Names
from bot.reading.tokens import Token
from bot.reading.vocabulary import Meanings, vocabulary


@dataclass(frozen=True)
class Fish:
    """A fish as it was named: its sex and label; `plural` where the word was ("females 15"), which may also be a count."""

    sex: str
    label: str
    plural: bool = False
    named: bool = False


@dataclass(frozen=True)
class Spot:
    """A place as it was named: its own name, or only its type ("the box"), or words for a place that does not exist here."""

    name: str | None
    type: str | None = None
    said: str = ""


@dataclass
class Run:
    """The walk over the tokens of one message."""

    message: str
    names: Names
    tokens: list[Token]
    out: list[Token]

    def __post_init__(self) -> None:
        self.offsets: list[int] = []
        at = 0
        parts = []
        for token in self.tokens:
            self.offsets.append(at)
            parts.append(token.text)
            at += len(token.text) + 1
        self.flat = " ".join(parts)
        self.index = {offset: n for n, offset in enumerate(self.offsets)}

    def at(self, n: int) -> Token | None:
        """The token at a position; None beyond the ends."""
        return self.tokens[n] if 0 <= n < len(self.tokens) else None

    def text(self, n: int) -> str:
        """The word at a position; empty beyond the ends."""
        token = self.at(n)
        return token.text if token else ""

    def raw(self, n: int) -> str:
        """The words at a position as they were written."""
        token = self.at(n)
        return self.message[token.start : token.end] if token else ""

    def span(self, n: int, length: int, kind: str, value: object, means: Meanings = frozenset()) -> Token:
        """One token out of several."""
        first, last = self.tokens[n], self.tokens[n + length - 1]
        text = " ".join(token.text for token in self.tokens[n : n + length])
        return Token(kind, text, first.start, last.end, value, means)

    def means(self, n: int) -> Meanings:
        """What the word at a position can mean."""
        token = self.at(n)
        return vocabulary().meanings(token.text) if token and token.kind == "word" else frozenset()


Step = Callable[[Run, int], int]
