"""The platform's HTML style of marking up a text, read as strictly as the platform reads it.

After the "HTML style" section of the Bot API manual: a handful of tags, properly nested and closed; of the named character
references only `&lt; &gt; &amp; &quot;`; everything else is text.
"""

from __future__ import annotations

import re
from typing import Any

_TAGS = {
    "b": "bold",
    "strong": "bold",
    "i": "italic",
    "em": "italic",
    "u": "underline",
    "ins": "underline",
    "s": "strikethrough",
    "strike": "strikethrough",
    "del": "strikethrough",
    "code": "code",
    "pre": "pre",
    "a": "text_link",
    "blockquote": "blockquote",
    "tg-spoiler": "spoiler",
}
_NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
_PIECE = re.compile(
    r"<(?P<close>/?)(?P<tag>[^\s<>/]*)(?P<rest>[^<>]*)>|<|&(?:#x(?P<hex>[0-9a-fA-F]+)|#(?P<number>\d+)|(?P<name>\w+));"
)


class MarkupError(ValueError):
    """The text is not marked up as the platform wants it."""


def units(text: str) -> int:
    """Length in UTF-16 code units."""
    return len(text.encode("utf-16-le")) // 2


def parse_html(text: str) -> tuple[str, list[dict[str, Any]]]:
    """The text without its marks, and the entities they made."""
    shown: list[str] = []
    entities: list[dict[str, Any]] = []
    opened: list[tuple[str, int]] = []
    at = 0
    for piece in _PIECE.finditer(text):
        shown.append(text[at : piece.start()])
        at = piece.end()
        if piece.group().startswith("&"):
            shown.append(_character(piece))
            continue
        offset = units("".join(shown))
        tag = piece["tag"]
        if tag not in _TAGS:
            raise MarkupError(f'Unsupported start tag "{tag or ""}" at byte offset {len(text[: piece.start()].encode())}')
        if not piece["close"]:
            opened.append((tag, offset))
            continue
        if not opened or opened[-1][0] != tag:
            raise MarkupError(f'Unmatched end tag at byte offset {len(text[: piece.start()].encode())}, found "</{tag}>"')
        begun = opened.pop()[1]
        if offset > begun:
            entities.append({"type": _TAGS[tag], "offset": begun, "length": offset - begun})
    if opened:
        raise MarkupError(f'Can\'t find end tag corresponding to start tag "{opened[-1][0]}"')
    shown.append(text[at:])
    return "".join(shown).strip(), sorted(entities, key=lambda entity: entity["offset"])


def _character(piece: re.Match[str]) -> str:
    if piece["hex"]:
        return chr(int(piece["hex"], 16))
    if piece["number"]:
        return chr(int(piece["number"]))
    return _NAMED.get(piece["name"], piece.group())
