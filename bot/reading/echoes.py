"""What is said again of another in short: "f3 holding, so is f5", "same for f5", "ditto f5" mean "f5 too"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bot.reading.tokens import Token

_SO = ("is", "are", "was", "has", "have", "did", "does")
_SAME = frozenset([("same", "for"), ("same", "with"), ("same", "goes", "for"), ("ditto",), ("ditto", "for"), ("likewise",)])
_KINDS = ("fish", "batch", "place")


def echoed(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with each echo of a report as a name and "too"; questions and what goes on behind the name stay."""
    if not any(token.text in ("so", "same", "ditto", "likewise") for token in tokens):
        return list(tokens)
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        taken = _echo(tokens, n) if any(meaning.startswith("verb:") for token in out for meaning in token.means) else 0
        if not taken:
            out.append(tokens[n])
            n += 1
            continue
        name = tokens[n + taken - 1]
        if out[-1].text not in (",", "and", "&", "+", "."):
            out.append(Token("punct", ",", tokens[n].start, tokens[n].start))
        out += [name, replace(tokens[n], kind="word", text="too", value=None, means=frozenset({"filler"}))]
        n += taken
    return out


def _echo(tokens: Sequence[Token], n: int) -> int:
    """How many tokens at a position say that the same is true of another; 0 where they do not."""
    texts = tuple(token.text for token in tokens[n : n + 3])
    so = len(texts) > 1 and texts[0] == "so" and texts[1] in _SO
    lead = 2 if so else max((len(words) for words in _SAME if texts[: len(words)] == words), default=0)
    at = n + lead
    if not lead or at >= len(tokens) or tokens[at].kind not in _KINDS:
        return 0
    behind = tokens[at + 1] if at + 1 < len(tokens) else None
    ends = behind is None or behind.kind in ("newline", "day") or behind.text in (",", ".", "!", ";", "and", "but", ")")
    return lead + 1 if ends else 0
