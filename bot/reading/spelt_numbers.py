"""Numbers written out in several words: "twenty-four", "two dozen", "half a dozen", "a hundred and ten"; and days so ("the fifth of march")."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.tokens import Token

_ORDINALS = {
    word: f"{number}{'th' if 10 < number < 14 else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"
    for number, word in enumerate(
        [
            *["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"],
            *["thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth", "twentieth"],
        ],
        start=1,
    )
} | {"thirtieth": "30th"}
_DAY_AFTER = frozenset(["on", "since", "from", "by", "until", "till", "before", "after"])
_MONTH = re.compile(r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*")
_VAGUE = frozenset(["few", "several", "some", "many"])
_SCALES = frozenset([12, 100])


def whole_numbers(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with each number of several words as one, and days written out as "5th"."""
    if not any(token.note == "spelt" or token.text in _ORDINALS for token in tokens):
        return list(tokens)
    out: list[Token] = []
    for n, token in enumerate(tokens):
        if token.note == "spelt" and isinstance(token.value, int):
            _add_number(out, token, token.value)
        elif token.text in _ORDINALS and _is_day(tokens, n):
            out.append(replace(token, kind="ordinal", text=_ORDINALS[token.text]))
        else:
            out.append(token)
    return out


def _add_number(out: list[Token], token: Token, value: int) -> None:
    """A number word behind what was written: alone, or together with the words before it."""
    last = out[-1] if out else None
    if last is not None and last.text in _VAGUE and value in _SCALES:
        out[-1] = Token("word", "dozens", last.start, token.end)
        return
    if value == 12 and (half := _half(out)):
        start = out[-half].start
        del out[-half:]
        out.append(_number(token, 6, start))
        return
    behind = 2 if last is not None and last.text == "and" and len(out) > 1 and _is_hundreds(out[-2]) else 1
    before = out[-behind] if len(out) >= behind else None
    total = _together(before, value) if before is not None else None
    if before is None or total is None:
        out.append(token)
        return
    approx = before.text == "couple"
    start = before.start
    del out[-behind:]
    out.append(_number(token, total, start, "approx" if approx else "spelt"))


def _half(out: Sequence[Token]) -> int:
    """How many of the last tokens say "half" or "half a"; 0 where none do."""
    if out and out[-1].text == "half":
        return 1
    return 2 if len(out) > 1 and out[-2].text == "half" and out[-1].text in ("a", "of") else 0


def _is_hundreds(token: Token) -> bool:
    return token.note == "spelt" and isinstance(token.value, int) and token.value >= 100 and token.value % 100 == 0


def _together(before: Token, value: int) -> int | None:
    """The number that two number words make together; None where they are two numbers."""
    if before.kind != "number" or not isinstance(before.value, int) or before.note == "approx":
        return None
    if value in _SCALES and 0 < before.value < 12 and (before.note == "spelt" or value == 12):
        return before.value * value
    if before.note != "spelt":
        return None
    if before.value in range(20, 100, 10) and 0 < value < 10:
        return before.value + value
    return before.value + value if _is_hundreds(before) and 0 < value < 100 else None


def _number(token: Token, value: int, start: int, note: str = "spelt") -> Token:
    return replace(token, text=str(value), start=start, value=value, note=note)


def _is_day(tokens: Sequence[Token], n: int) -> bool:
    """ "since the third", "on the fifth of march", "march fifth"; not "the third tank"."""
    before = [token.text for token in tokens[max(0, n - 2) : n]]
    following = tokens[n + 1] if n + 1 < len(tokens) else None
    ends = following is None or following.kind in ("punct", "newline")
    named = tokens[n + 2].text if following is not None and following.text == "of" and n + 2 < len(tokens) else following.text if following else ""
    month = bool(_MONTH.fullmatch(named)) or (named in ("this", "last", "next") and following is not None and following.text == "of")
    if before and _MONTH.fullmatch(before[-1]):
        return True
    if before[-1:] == ["the"] or (before and before[-1] in _DAY_AFTER):
        return month or (ends and any(word in _DAY_AFTER for word in before))
    return bool(following is not None and _MONTH.fullmatch(following.text) and following.text != "may")
