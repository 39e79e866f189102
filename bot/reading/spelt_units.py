"""Measures said in words: "an inch and a half", "1 and 3/4 inches", "thirty percent", "ten gallons", "one gram"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.tokens import Token

_UNITS: dict[str, tuple[str, str]] = {
    **dict.fromkeys(("inch", "inches", "in"), ("length", "in")),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), ("length", "cm")),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters", "mil", "mils"), ("length", "mm")),
    **dict.fromkeys(("gallon", "gallons", "gal", "gals"), ("volume", "gal")),
    **dict.fromkeys(("litre", "litres", "liter", "liters", "l"), ("volume", "l")),
    **dict.fromkeys(("gram", "grams", "gramme", "grammes", "g"), ("weight", "g")),
    **dict.fromkeys(("ounce", "ounces", "oz"), ("weight", "oz")),
    **dict.fromkeys(("percent", "per cent", "pct"), ("percent", "")),
    **dict.fromkeys(("degree", "degrees", "deg"), ("temp", "")),
    **dict.fromkeys(("fahrenheit", "celsius", "centigrade"), ("temp", "")),
}
_SINGULAR = frozenset(["inch", "centimetre", "centimeter", "gallon", "litre", "liter", "gram", "gramme", "ounce"])
_PARTS = {"half": 0.5, "quarter": 0.25}
_SHORT = frozenset(["in", "l", "g", "mil", "mils"])
"""Units that are also words: only behind a number that is written out, and "in" never."""


def with_units(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with each number in words and its unit as one measure, and each time of day in words as one."""
    if any(token.text in ("past", "oclock") for token in tokens):
        tokens = _times(tokens)
    if not any(token.text in _UNITS or (token.kind == "length" and n > 1) for n, token in enumerate(tokens)):
        return list(tokens)
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        measure, taken = _measure(tokens, n)
        out.append(measure or tokens[n])
        n += taken or 1
    return out


def _times(tokens: Sequence[Token]) -> list[Token]:
    """ "half past five pm", "quarter past 3 in the afternoon", "5 oclock": only where the half of the day is said."""
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        texts = [token.text for token in tokens[n : n + 6]]
        past = texts[1:2] == ["past"] and texts[0] in _PARTS
        hour_at = n + 2 if past else n
        hour = tokens[hour_at].value if hour_at < len(tokens) and tokens[hour_at].kind == "number" else None
        behind = [token.text for token in tokens[hour_at + 1 : hour_at + 5]]
        said = past or behind[:1] == ["oclock"]
        behind = behind[1:] if behind[:1] == ["oclock"] else behind
        half = "pm" if behind[:1] == ["pm"] or behind[:3] in (["in", "the", "afternoon"], ["in", "the", "evening"]) else ""
        half = half or ("am" if behind[:1] == ["am"] or behind[:3] == ["in", "the", "morning"] else "")
        if not (said and half and isinstance(hour, int) and 1 <= hour <= 12):
            out.append(tokens[n])
            n += 1
            continue
        minute = {"half": 30, "quarter": 15}[texts[0]] if past else 0
        end = hour_at + 1 + (tokens[hour_at + 1].text == "oclock") + (3 if behind[:1] == ["in"] else 1)
        out.append(_made(tokens, n, end, "clock", f"{hour % 12 + (12 if half == 'pm' else 0):02}:{minute:02}"))
        n = end
    return out


def _measure(tokens: Sequence[Token], n: int) -> tuple[Token | None, int]:
    """The measure that begins here, and how many tokens say it."""
    number, at = _number(tokens, n)
    if number is None:
        return None, 0
    unit = tokens[at] if at < len(tokens) else None
    if unit is not None and unit.kind == "length" and isinstance(unit.value, tuple) and at > n + 1 and float(unit.value[0]) < 1:
        return _made(tokens, n, at + 1, "length", (number + float(unit.value[0]), unit.value[1])), at + 1 - n
    if unit is None or unit.text not in _UNITS or unit.text == "in":
        return None, 0
    written_out = tokens[n].note == "spelt" or tokens[n].kind == "word"
    if (unit.text in _SHORT and not written_out) or (tokens[n].text in ("a", "an") and unit.text not in _SINGULAR):
        return None, 0
    kind, name = _UNITS[unit.text]
    end = at + 1
    more, behind = _and_part(tokens, end)
    if more and unit.text in _SINGULAR:
        number, end = number + more, behind
    if kind == "temp":
        following = tokens[end].text if end < len(tokens) else ""
        name = following[:1] if following in ("f", "c", "fahrenheit", "celsius", "centigrade") else ""
        end += bool(name)
        name = name or {"f": "f", "c": "c"}.get(unit.text[:1], "")
    return _made(tokens, n, end, kind, number if kind == "percent" else (number, name)), end - n


def _number(tokens: Sequence[Token], n: int) -> tuple[float | None, int]:
    """The number in words at a position, and the position behind it; None where none stands there."""
    token = tokens[n]
    texts = [other.text for other in tokens[n : n + 4]]
    if token.kind == "number" and isinstance(token.value, (int, float)):
        more, behind = _and_part(tokens, n + 1)
        if more:
            return token.value + more, behind
        if texts[1:2] == ["and"] and n + 2 < len(tokens) and tokens[n + 2].kind == "length":
            return float(token.value), n + 2
        if texts[1:2] == ["quarters"]:
            return token.value / 4, n + 2 + _article(tokens, n + 2)
        return float(token.value), n + 1
    if token.text in _PARTS:
        return _PARTS[token.text], n + 1 + _article(tokens, n + 1)
    if token.text in ("a", "an"):
        if len(texts) > 2 and texts[1] in _PARTS and texts[2] in ("a", "an"):
            return None, n  # "fed A half a gram"
        return (_PARTS[texts[1]], n + 2 + _article(tokens, n + 2)) if len(texts) > 1 and texts[1] in _PARTS else (1.0, n + 1)
    return None, n


def _article(tokens: Sequence[Token], n: int) -> int:
    """How many tokens say "a", "of an"."""
    texts = [token.text for token in tokens[n : n + 2]]
    return 2 if texts[:1] == ["of"] and texts[1:2] in (["a"], ["an"]) else int(texts[:1] in (["a"], ["an"]))


def _and_part(tokens: Sequence[Token], n: int) -> tuple[float, int]:
    """ "and a half": how much, and the position behind it."""
    texts = [token.text for token in tokens[n : n + 3]]
    if texts[:1] == ["and"] and texts[1:2] == ["a"] and len(texts) > 2 and texts[2] in _PARTS:
        return _PARTS[texts[2]], n + 3
    return 0.0, n


def _made(tokens: Sequence[Token], first: int, end: int, kind: str, value: object) -> Token:
    said = " ".join(token.text for token in tokens[first:end])
    return Token(kind, said, tokens[first].start, tokens[end - 1].end, value)
