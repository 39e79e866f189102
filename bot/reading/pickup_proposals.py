"""A day put forward for a pickup in passing: "sunday 2pm works for me", "could we do sunday instead?", "Ada can come friday at 5"."""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.days import DaySpan
from bot.reading.facts import Facts
from bot.reading.kinds_orders import pickup_set
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token

_COMING = re.compile(
    r"^(?:(?:ok|so|hi|hello|hey|and|but|,|actually|then|sorry|no|probably|i|we|please|it|now) )*(?:can|could|may|will|ill|shall|well|id|gonna|going to|would|am|im|plan to|want to|would like to|like to|able to|i|we|to|be|happily|gladly|only|also| )* ?"
    r"(?:pick ?(?:them |mine |it |my fish |the fish )?up|pickup|collect|fetch|comes?|coming|pop|swing|drop|get|picking up|collecting|fetching)\b(?: (?:by|over|round|around|them|mine|it|in|for them|and|get|my fish|the fish|up|to|collect|fetch|pick up|pickup))*"
)
_SUITS = re.compile(r"\b(?:works?|suits?|is (?:good|fine|ok|okay|great|perfect|best|better)|would be (?:good|fine|ok|better|best|great)|would suit|fits|better) ?(?:for|with)? ?(?:me|us)\b|^(?:lets|let us) (?:do|say|make it)\b|^me to\b|^me .*(?: works| suits| is (?:good|fine|ok|okay|great|perfect))$")
_PUT_FORWARD = re.compile(r"\b(?:how|what) about\b|\b(?:could|can|shall|should) we (?:do|say|make it|meet|go for)\b|\b(?:would|does|will) .*\b(?:work|suit|do|be ok|be okay|be fine|be possible)\b|\bis .*\b(?:ok|okay|fine|possible|good|alright)\b|\binstead$|^cant (?:do|make|come)\b")
_ALLOWED = ("day", "clock", "reservation", "hash", "member", "punct", "word", "hours")


def put_forward(tokens: Sequence[Token], scene: Scene, asked: bool) -> list[Partial] | None:
    """The pickup of the writer's reservation on the day put forward; a day that is only asked about is asked back. None where none is."""
    days = [n for n, token in enumerate(tokens) if token.kind == "day"]
    numbered = any(token.kind in ("reservation", "hash") for token in tokens)
    buyer = _buyer(tokens, scene)
    if not days or len(tokens) > 24 or not (numbered or scene.names.open_reservations(buyer)) or not _only_a_day(tokens):
        return None
    flat = " ".join("me" if token.value == buyer != scene.by else token.text for token in tokens if token.kind != "punct")
    flat = _OF_ANOTHER.sub("", flat) if buyer != scene.by else flat
    coming, suits, put = _COMING.match(flat), _SUITS.search(flat), _PUT_FORWARD.search(flat)
    if not (coming or suits or put) or any(token.has("hearsay", "habit") for token in tokens):
        return None
    told = list(tokens)
    refused = len(days) > 1 and any(token.has("negation") for token in tokens[: days[-1]])  # "can't do saturday, sunday 2pm?"
    if refused:
        told = told[days[-1] :]
    elif len(days) > 1 or any(token.has("negation", "condition") for token in tokens):
        return None
    partial = pickup_set(Facts(Clause(told, "pickup"), scene))[0]
    certain = not asked and not refused and (coming or suits)
    asks_to_come = bool(coming) and re.match(r"^(?:(?:hi|hello|hey|ok|so|please|and) )*(?:can|could|may) (?:i|we)\b", flat) is not None
    day = partial.slots.get("pickup")
    if not (certain or asks_to_come) and isinstance(day, str):
        partial.slots.pop("pickup")
        partial.put("pickup", Trouble("pickup", "uncertain", day, (day,)))
    return [partial]


_OF_ANOTHER = re.compile(r"^me (?:is |will be |can |will |could )?(?=com|pick|collect|fetch)|^(?:please )?(?:move|shift|switch|change) (?=me to\b)")
"""Of somebody else "me" is put for the name: "me comes friday", "move me to friday"."""


def _buyer(tokens: Sequence[Token], scene: Scene) -> str:
    """Whose pickup it is: that of the one member named, else the writer's."""
    named = {str(token.value) for token in tokens if token.kind == "member"} - {scene.by}
    return named.pop() if len(named) == 1 else scene.by


def _only_a_day(tokens: Sequence[Token]) -> bool:
    """Whether the words hold nothing but a day, a time and talk: no fish, number or thing that would make more of them."""
    bare = [n for n, token in enumerate(tokens) if token.kind == "number"]
    hours = all(n and tokens[n - 1].text in ("at", "@", "around", "about", "by") for n in bare)
    ahead = all(
        isinstance(token.value, DaySpan) and not token.value.form.startswith("ago") for token in tokens if token.kind == "day"
    )
    return hours and ahead and all(token.kind in (*_ALLOWED, "number") and _of_coming(token) for token in tokens)


def _of_coming(token: Token) -> bool:
    """Whether a word can belong to a day put forward: one of nothing else ("the talk", "my kids", "some food")."""
    if token.kind != "word" or token.text in _WORDS:
        return True
    return bool(token.means) and not token.has("thing", "fry", "food", "query_word", "verb:feed", "verb:strip", "verb:move", "verb:note")


_WORDS = frozenset(
    ["work", "works", "suit", "suits", "instead", "come", "comes", "pop", "swing", "drop", "by", "over", "round", "myself", "fits", "free", "meet", "ok", "say", "lets"]
)
