"""Whom a message leaves out: "f3 (not f4) holding", "everyone but f3 holding", "all but 3 of C moved".

A name behind "not" is taken out of what is said of another like it; all but some cannot be listed, and are asked about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.tokens import Token

_NAMES = ("fish", "batch", "place", "reservation", "hash", "member")
_VALUES = ("number", "day", "percent", "length", "weight", "volume", "money")
_LINKS = frozenset(["in", "on", "from", "of", "to", "into", "for", "the", "a", "an", "my", "our", "since"])
_JOINS = frozenset(["and", "or", "nor", "&", "+", "/"])
_EVERY = frozenset(["everyone", "everybody", "everything", "everywhere", "all", "every", "all of", "all of them", "the lot", "whole"])
_SURELY_EXCEPT = frozenset(["except", "excepting", "excluding", "besides", "bar", "barring", "minus"])
_EXCEPT_FROM = frozenset([("apart", "from"), ("aside", "from"), ("other", "than")])
_REACH = 7
"""Words between "all" and "except": "all the lab girls in tank 1 except"."""


def left_out(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without names that are denied beside others, and with each "except f3" as one token that means an exception."""
    out = list(tokens)
    if any(token.text == "not" for token in out):
        out = _without_denied(out)
    if any(token.text in _EVERY for token in out):
        out = _with_exceptions(out)
    return out


def _without_denied(tokens: list[Token]) -> list[Token]:
    n = 0
    while n < len(tokens):
        if tokens[n].text == "not" and (end := _denied_end(tokens, n)):
            bracketed = n > 0 and tokens[n - 1].text == "(" and end < len(tokens) and tokens[end].text == ")"
            between = n > 0 and tokens[n - 1].text == "," and end < len(tokens) and tokens[end].text == ","
            told = between and any(_is_verb(token) and not token.has("filler") for token in tokens[:n])
            tokens = [*tokens[: n - bracketed - between], *tokens[end + bracketed + between - told :]]
            n -= bracketed + between
        else:
            n += 1
    return tokens


def _denied_end(tokens: Sequence[Token], n: int) -> int:
    """The position behind the names that the "not" at a position takes out; 0 where it denies something else."""
    end, kinds = _names_end(tokens, n + 1)
    if not kinds:
        return 0
    before = [token for token in tokens[:n] if token.text not in ("(", ",", "-", "–") and token.kind != "newline"]
    opens = n and tokens[n - 1].text in ("(", ",", "-", "–")
    closes = end == len(tokens) or tokens[end].text in (")", ",", ".", ";", "!") or tokens[end].kind == "newline"
    if before and before[-1].kind in kinds and not (closes and not opens and tokens[end - 1].kind in _VALUES):
        return end
    if any(token.kind in _VALUES for token in tokens[n + 1 : end]):
        return end if before and before[-1].kind in kinds else 0
    alike = any(token.kind in kinds for token in before) if before else any(token.kind in kinds for token in tokens[end:])
    return end if alike and closes and (opens or not before or end == len(tokens)) else 0


def _names_end(tokens: Sequence[Token], n: int) -> tuple[int, set[str]]:
    """The position behind a list of names or values that begins here, and their kinds."""
    kinds: set[str] = set()
    end = n
    while n < len(tokens):
        if tokens[n].kind in (*_NAMES, *_VALUES):
            kinds.add(tokens[n].kind)
            n += 1
            end = n
        elif (not kinds and tokens[n].text in _LINKS) or (kinds and end == n and tokens[n].text in _JOINS):
            n += 1
        else:
            break
    return end, kinds


def _with_exceptions(tokens: list[Token]) -> list[Token]:
    for n, token in enumerate(tokens):
        if token.text not in _EVERY:
            continue
        found = next((k for k in range(n + 1, min(n + 1 + _REACH, len(tokens))) if _excepts(tokens, n, k)), None)
        if found is None:
            continue
        start = found + 1 + (tuple(other.text for other in tokens[found : found + 2]) in _EXCEPT_FROM)
        end, kinds = _names_end(tokens, start + (start < len(tokens) and tokens[start].text == "for"))
        if kinds:
            said = " ".join(other.text for other in tokens[n:end])
            one = replace(tokens[found], kind="word", text=said, end=tokens[end - 1].end, value=None, means=frozenset({"exception", "filler"}))
            return [*tokens[:found], one, *_with_exceptions(tokens[end:])]
    return tokens


def _excepts(tokens: Sequence[Token], every: int, n: int) -> bool:
    """Whether "except" or the like stands here; "but" is one only right behind whom it narrows, and where no clause of its own follows."""
    if tokens[n].text in _SURELY_EXCEPT or tuple(other.text for other in tokens[n : n + 2]) in _EXCEPT_FROM:
        return True
    if tokens[n].text not in ("but", "not", "save"):
        return False
    between = tokens[every + 1 : n]
    if any(_is_verb(token) or token.kind == "punct" for token in between):
        return False
    end, kinds = _names_end(tokens, n + 1)
    told_before = any(_is_verb(token) and not token.has("filler") for token in tokens[:every])
    told_behind = end < len(tokens) and (_is_verb(tokens[end]) or tokens[end].has("aux", "negation"))
    return bool(kinds) and not (told_before and told_behind)


def _is_verb(token: Token) -> bool:
    return any(meaning.startswith("verb:") for meaning in token.means)


_FIRST_SLOT = {
    **dict.fromkeys(("feed", "change_water", "test"), "place"),
    **dict.fromkeys(("collected", "cancel", "no_show", "pickup", "confirm", "decline", "deposit"), "reservation"),
    **dict.fromkeys(("spawn", "hold", "still", "lose_brood", "release", "strip", "move", "die", "lose", "leave"), "female"),
}


def all_but_some(facts: Facts, partials: Sequence[Partial]) -> list[Partial]:
    """The items of a clause; where it leaves some out, one of them, with the question who is meant."""
    said = next((token.text for token in facts.tokens if token.has("exception")), None)
    if said is None or not partials:
        return list(partials)
    counted = "batch" in partials[0].slots and any(letter.isdigit() for letter in said)
    slot = "count" if counted else _FIRST_SLOT.get(facts.clause.verb, "batch")
    partial = Partial(partials[0].kind, {name: value for name, value in partials[0].slots.items() if name not in _SUBJECTS or counted})
    partial.slots.pop(slot, None)
    partial.put(slot, Trouble(slot, "ambiguous", said))
    return [partial]


_SUBJECTS = ("female", "male", "batch", "place", "reservation", "count")
