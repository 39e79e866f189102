"""An answer with more in it ("24, 2 dead", "24 into box 1", "tub yesterday"): read with the message it completes, as if both had been one.

It is taken only where it begins with what was asked for, and the whole tells just what was told before, and the rest of it besides.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, cast

from bot.reading.days import DaySpan
from bot.reading.left_over import named, takes_back, talks
from bot.reading.names import Names
from bot.reading.partial import Partial
from bot.reading.reader import read
from bot.reading.tagging import tagged
from bot.reading.tokens import Token
from bot.reading.values import Ask, Context, Events

_BEGIN = {
    "count": frozenset(["number"]),
    "batch": frozenset(["batch"]),
    "percent": frozenset(["percent", "number"]),
    "to": frozenset(["place"]),
}
"""With what kinds of token an answer begins."""
_AHEAD = frozenset(["pickup", "by", "until", "from"])
"""Slots of days to come; "tub tomorrow" tells of no moving."""
_LONGEST = 80
"""Characters of such an answer."""


def in_one_breath(ask: Ask, text: str, names: Names, context: Context | None = None) -> Events | None:
    """The draft of `ask` completed by `text` and what it says besides; None where the two are no one message."""
    draft = cast("dict[str, Any]", ask.draft)
    if ask.why != "missing" or len(draft.get("items", ())) != 1 or len(text) > _LONGEST or "?" in text:
        return None
    tokens = [token for token in tagged(text, names) if not (token.kind == "word" and token.has("filler") and not token.has("verb:move"))]
    if not tokens or tokens[0].kind not in _BEGIN.get(ask.about, ()) or takes_back(tokens, ask.about):
        return None
    if talks(tokens, ()) or any(_reports(token) or token.has("greeting") for token in tokens):
        return None
    known = Partial.from_json(draft["items"][0])
    words = f"{draft['text'].rstrip(' .!,')}, {text}"
    whole = read(words, now=datetime.fromisoformat(draft["now"]), by=draft["by"], names=names, context=context)
    if not isinstance(whole, Events) or not _completes(whole, known, ask.about) or not _told(tokens, whole):
        return None
    ahead = any(isinstance(token.value, DaySpan) and token.value.form.startswith("future") for token in tokens)
    return whole if not ahead or _AHEAD & set(whole.items[0].slots) else None


def _reports(token: Token) -> bool:
    """ "3 still holding", "12 died" report by themselves; "2 dead", "24 left" do not."""
    return any(meaning.startswith("verb:") for meaning in token.means) and token.text not in ("dead", "left", "alive", "lost")


def _told(tokens: Sequence[Token], whole: Events) -> bool:
    """Whether every name and number that was said has its place in what was understood."""
    slots = {str(value) for item in whole.items for value in item.slots.values()}
    said = {named(token) for token in tokens if token.kind in ("fish", "batch", "place", "strain", "profile", "member", "number")}
    return said <= slots


def _completes(whole: Events, known: Partial, about: str) -> bool:
    """Whether the first thing told is what waited, with what was asked for in it, and the others are of the same subject."""
    first, *others = whole.items
    kept = {slot: value for slot, value in known.slots.items() if slot != "on"}
    same = first.kind == known.kind and about in first.slots and kept.items() <= first.slots.items()
    return same and not others and whole.query is None
