"""What is said out of courtesy and changes nothing: "I would like to cancel #12", "… if that suits", "could you please"."""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.tokens import Token

_WISH = re.compile(r"(?:^|.* )(?:(?:id|i would|we would|wed|would) (?:like|love)|i want|i wish|we want|want|i need|we need|i wanna|wanna|like)(?: to)?(?: please| also)?$")
_DECISIONS = frozenset(
    f"verb:{verb}"
    for verb in ["offer", "withdraw", "reserve", "cancel", "pickup", "confirm", "decline", "change_reservation", "undo", "want"]
)
"""What a member does by saying it; the rest ("I would like to strip 6") is only hoped for."""
_IF_IT_SUITS = re.compile(
    r"(?:^| )if (?:(?:that|it|this|thats|its|you|u|ur)(?: is| are| would be)? (?:suits?|works?|ok|okay|fine|alright|all right|good|possible|like|dont mind|convenient|agree|free)"
    r"|possible|ok|okay|poss|convenient|suits)(?: (?:you|u|with you|for you|by you|everyone))?(?= |$)"
)


def without_courtesies(tokens: Sequence[Token]) -> list[Token]:
    """The words without a polite wish before a decision, and without "if that suits"."""
    out = _without_forgetting(tokens)
    if any(token.text == "if" for token in out):
        out = _without_if(out)
    for n, token in enumerate(out[:8]):
        if n and token.has(*_DECISIONS) and token.has("form:base", "verb:pickup") and _WISH.fullmatch(_flat(out[:n])):
            told = replace(token, means=(token.means - {"form:base"}) | {"form:done"})
            return [*_before_wish(out[:n]), told, *out[n + 1 :]]
    return out


_FORGOT = re.compile(r"(?:(?:sorry|oops|ah|oh|i|also|and|,) )*forgot(?: to)?(?: (?:say|mention|tell|report|log|note|add|record|write))?(?: (?:you|that|earlier))* ?(?:,|:|-)? ?")


def _without_forgetting(tokens: Sequence[Token]) -> list[Token]:
    """ "Forgot to say: 2 dead in C": what was not said before is said now; "forgot to feed the tub" stays as it is."""
    if not any(token.text.startswith("forgot") for token in tokens[:4]):
        return list(tokens)
    found = _FORGOT.match(_flat(tokens) + " ")
    told = found is not None and re.search(r"(?:say|mention|tell|report|log|note|add|record|write|:|,|-)\W*(?:you|that|earlier)*\W*$", found.group())
    if found is None or not told:
        return list(tokens)
    length, at = len(found.group().rstrip()), 0
    while at < len(tokens) and length > 0:
        length -= len(tokens[at].text) + 1
        at += 1
    return list(tokens[at:])


_TO_KNOW = re.compile(
    r"(?:(?:(?:i|we|just|also|hi|hey) )*(?:id like|id love|would like|would love|want|wanna|need|like|love)(?: to)? know|(?:please )?let me know) "
)


def without_wanting_to_know(tokens: Sequence[Token]) -> list[Token]:
    """ "I'd like to know what's in box 2": the question."""
    if not any(token.text == "know" for token in tokens[:6]):
        return list(tokens)
    found = _TO_KNOW.match(_flat(tokens) + " ")
    at, length = 0, len(found.group()) if found else 0
    while length > 0:
        length -= len(tokens[at].text) + 1
        at += 1
    asks = at < len(tokens) and tokens[at].has("wonder", "aux") and tokens[at].text not in ("when", "once")
    return list(tokens[at:]) if asks else list(tokens)  # "let me know when any are for sale" is a wish


def _flat(tokens: Sequence[Token]) -> str:
    return " ".join(token.text for token in tokens)


def _before_wish(tokens: Sequence[Token]) -> list[Token]:
    """What stands before the wish, but for words that only lead into it."""
    return [token for token in tokens if token.kind in ("day", "member")]


def _without_if(tokens: list[Token]) -> list[Token]:
    flat, starts = "", []
    for token in tokens:
        starts.append(len(flat))
        flat += token.text + " "
    found = _IF_IT_SUITS.search(flat.rstrip())
    if found is None:
        return tokens
    first, last = found.start() + flat[found.start()].isspace(), found.end()
    return [token for token, start in zip(tokens, starts, strict=True) if not first <= start < last]
