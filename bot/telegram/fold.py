"""Long texts in several messages: folded at the end of a paragraph where there is one, and never over the platform's limit.

The platform counts UTF-16 code units, after markup is read.
"""

from __future__ import annotations

TEXT_LIMIT = 4096
CAPTION_LIMIT = 1024
_ENDS = ("\n\n", "\n", ". ", " ")
"""Where to fold, best first."""


def units(text: str) -> int:
    """Length in UTF-16 code units."""
    return len(text) + sum(character > "\uffff" for character in text)


def fold(text: str, limit: int = TEXT_LIMIT) -> list[str]:
    """The text in parts of at most `limit` units, without blank ends. An empty text has no parts."""
    parts = []
    rest = text.strip()
    while units(rest) > limit:
        at = _fold_at(_head(rest, limit + 1), limit)
        parts.append(rest[:at].rstrip())
        rest = rest[at:].lstrip()
    return [*parts, rest] if rest else parts


def clip(text: str, limit: int) -> str:
    """The text, cut to `limit` units with an ellipsis where it is longer."""
    return text if units(text) <= limit else _head(text, limit - 1).rstrip() + "…"


def _head(text: str, limit: int) -> str:
    """The longest beginning of at most `limit` units."""
    head = text[:limit]
    surplus = units(head) - limit
    while surplus > 0:
        head = head[: -max(1, surplus // 2)]
        surplus = units(head) - limit
    return head


def _fold_at(head: str, limit: int) -> int:
    """Where to fold: after the last end in the second half; failing that, at the last space; failing that, at the limit."""
    for end in _ENDS:
        at = head.rfind(end)
        if at > len(head) // 3 and units(head[:at].rstrip()) <= limit:
            return at + len(end.rstrip(" "))
    return len(_head(head, limit))
