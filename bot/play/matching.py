"""Whether what was said is what was expected: `…` for anything, `{this|that}`, numbers whole, case and white space ignored."""

from __future__ import annotations

import re
from functools import lru_cache

_PIECE = re.compile(r"…|\.\.\.|\{[^{}]*\}|\d+(?:\.\d+)?|\s+|[^\s\d…{.]+|.")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


@lru_cache(maxsize=4096)
def compiled(pattern: str) -> re.Pattern[str]:
    """The pattern as a regular expression over the whole text."""
    return re.compile(r"\s*" + "".join(map(_piece, _PIECE.findall(pattern.strip()))) + r"\s*", re.IGNORECASE | re.DOTALL)


def _piece(piece: str) -> str:
    if piece in ("…", "..."):
        return r".*"
    if piece.isspace():
        return r"\s+"
    if piece.startswith("{"):
        choices = ("".join(map(_piece, _PIECE.findall(choice))) for choice in piece[1:-1].split("|"))
        return f"(?:{'|'.join(choices)})"
    if _NUMBER.fullmatch(piece):
        whole, _, decimals = piece.partition(".")
        tail = rf"\.{re.escape(decimals.rstrip('0'))}0*" if decimals.rstrip("0") else r"(?:\.0+)?"
        return rf"(?<![\d])(?<!\d[.,]){whole}{tail}(?!\d|[.,]\d)"
    return re.escape(piece)


def matches(pattern: str, text: str) -> bool:
    """Whether the text is what the pattern expects."""
    return compiled(_easy(pattern)).fullmatch(_folded(text)) is not None


def _easy(pattern: str) -> str:
    """White space beside `…` asks for nothing of its own."""
    return re.sub(r"\s*(…|\.\.\.)\s*", "…", _folded(pattern))


def _folded(text: str) -> str:
    return " ".join(text.split())
