"""A message cut into tokens: words, numbers with their units, money, clock times, dates in digits, punctuation.

Nothing is understood here yet. Offsets point into the message as it was written, so that note texts can be cut from it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import time
from decimal import Decimal

from bot.reading.vocabulary import NUMBER_WORDS, Meanings

MOST = 1200
"""Longer messages are not read at all: nobody types more at a tank, and work must stay bounded."""


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a message. `kind` says what `value` is; `means` are the meanings of a word or phrase."""

    kind: str
    text: str
    start: int
    end: int
    value: object = None
    means: Meanings = frozenset()
    note: str = ""

    def has(self, *meanings: str) -> bool:
        """Whether the token can mean one of these."""
        return not self.means.isdisjoint(meanings)

    @property
    def number(self) -> float:
        """The value of a number token."""
        return float(self.value) if isinstance(self.value, (int, float)) else 0.0


_NUM = r"(?:\d+(?:\.\d+)?|\.\d+)"
_FRACTION = r"(?:\d+[ -])?\d+/\d+"
_QUOTE = r"(?:\"|''|”|″|“)"
_LENGTH = rf"(?:mm|cm|inch(?:es)?|ins?(?=\W|$)|{_QUOTE})"
_PATTERNS = [
    ("iso", r"\d{4}-\d{1,2}-\d{1,2}(?!\d)"),
    (
        "money",
        r"(?:[$€£]\s?\d+(?:[.,]\d{1,2})?(?!\d))|(?:\d+(?:\.\d{1,2})?\s?(?:[€£$](?!\d)|(?:bucks?|dollars?|usd|eur|euros?|quid|pounds?|gbp)\b))",
    ),
    ("clock", r"\d{1,2}[:.]\d\d\s?(?:am|pm|a\.m\.|p\.m\.)(?!\w)|\d{1,2}:\d\d(?!\d)|\d{1,2}\s?(?:am|pm)\b|\d{1,2}h\d\d\b"),
    ("hours", r"\d{1,2}\s?[-–]\s?\d{1,2}\s?(?:h|uhr|oclock)\b"),
    ("slash", r"\d{1,2}/\d{1,2}/(?:\d{4}|\d{2})(?![\d/])"),
    ("fraclen", rf"{_FRACTION}\s?-?{_LENGTH}(?!\w)"),
    ("fracunit", rf"{_FRACTION}\s?(?:g|gr|gms?|grams?|oz|ounces?|l|lit(?:er|re)s?|gal(?:lon)?s?)\b"),
    ("slash", r"\d{1,2}/\d{1,2}(?![\d/]|\.\d)"),
    (
        "dotted",
        r"\d{1,2}\.\d{1,2}\.(?:\d{4}|\d{2})(?!\d)|(?:^|(?<=since )|(?<=on )|(?<=by )|(?<=from )|(?<=until )|(?<=the ))\d{1,2}\.\d{1,2}\.(?!\d)",
    ),
    (
        "length",
        rf"{_NUM}\s?-?(?:mm|cm|inch(?:es)?|{_QUOTE})(?!\w)|{_NUM}ins?(?!\w)"
        rf"|\d*\.\d+ ins?(?=\s*(?:for|each|long|or|and|plus|up|into|n ?=|on av\w*|avg|[,.;!?]|$))|(?<=, )\d+ ins?(?=\s*,)",
    ),
    ("percent", rf"{_NUM}\s?(?:%|percent\b|pct\b|per cent\b)"),
    (
        "degrees",
        rf"{_NUM}\s?(?:°|º|˚|deg(?:rees?)?\.?)\s?(?:celsius|centigrade|fahrenheit|[cf])?\b|{_NUM}\s?(?:celsius|centigrade|fahrenheit)\b",
    ),
    ("volume", rf"{_NUM}\s?(?:l|lit(?:er|re)s?|ltrs?|ml|(?:us )?gal(?:lon)?s?|g(?:al)\b)\b"),
    ("weight", rf"{_NUM}\s?(?:g|gr|gms?|grams?|grammes?|oz|ounces?|kg|mg(?!\s?/))\b"),
    ("ordinal", r"\d{1,2}(?:st|nd|rd|th)\b"),
    ("ish", r"\d+\s?-?ish\b|[~≈]\s?\d+"),
    ("range", r"\d+(?:\.\d+)?[-–]\d+(?:\.\d+)?(?![\d:])|\d+ or \d+(?!\s?(?:%|mm|cm))(?!\d)"),
    ("suffixed", rf"{_NUM}[fcm](?![a-z0-9])"),
    ("number", rf"(?:(?<![\w)])-)?{_NUM}"),
    ("symbol", r"[♀♂]"),
    ("word", r"w/c|w/o(?!\w)|w/|p/u|[^\W\d_]+(?:['’`´][^\W\d_]+)*"),
    ("arrow", r"-+>|→|=>|»"),
    ("newline", r"\n+"),
    ("punct", r"[^\s]"),
]
_LEXER = re.compile("|".join(f"(?P<p{n}>{pattern})" for n, (_, pattern) in enumerate(_PATTERNS)))
_KINDS = [kind for kind, _ in _PATTERNS]
_SPELLINGS = {
    "w/c": "wc",
    "w/o": "without",
    "w/": "with",
    "p/u": "pickup",
    "frm": "from",
    "wen": "when",
    "wil": "will",
    "w": "with",
    "em": "them",
    "♀": "female",
    "♂": "male",
}
_APOSTROPHES = str.maketrans("", "", "'’`´")


def cut(message: str) -> list[Token]:
    """The tokens of a message, in order."""
    lowered = message.lower()
    if len(lowered) != len(message):
        lowered = "".join(letter.lower() if len(letter.lower()) == 1 else letter for letter in message)
    return [_token(match) for match in _LEXER.finditer(lowered)]


def _token(match: re.Match[str]) -> Token:
    kind = _KINDS[int((match.lastgroup or "p0")[1:])]
    text = match.group()
    token = Token(kind, text, match.start(), match.end())
    make = _MAKERS.get(kind)
    return make(token) if make else token


def _word(token: Token) -> Token:
    text = token.text
    if text in _SPELLINGS:
        text = _SPELLINGS[text]
    elif not text.isalpha():
        text = text.translate(_APOSTROPHES)
    elif text not in NUMBER_WORDS:
        return token
    if len(token.text) == 3 and token.text.endswith("s") and token.text[1] in "'’" and token.text[0] not in "its":
        return replace(token, kind="word", text=token.text[0], end=token.start + 1)
    if text in NUMBER_WORDS:
        value = NUMBER_WORDS[text]
        return replace(token, kind="number", text=str(value) if value > 10 and text != "dozen" else text, value=value, note="spelt")
    return Token("word", text, token.start, token.end)


def _digits(text: str) -> float | int:
    number = float(text)
    return int(number) if number.is_integer() and "." not in text else number


def _number(token: Token) -> Token:
    return Token("number", token.text, token.start, token.end, _digits(token.text))


def _leading(text: str) -> tuple[float, str]:
    match = re.match(_NUM, text)
    assert match is not None  # noqa: S101 the lexer's pattern begins with a number
    return float(match.group()), text[match.end() :].strip(" -.")


def _money(token: Token) -> Token:
    digits = re.search(r"\d+(?:[.,]\d{1,2})?", token.text)
    amount = Decimal(digits.group().replace(",", ".")) if digits else Decimal(0)
    return replace(token, value=f"{amount:.2f}")


def _clock(token: Token) -> Token:
    match = re.match(r"(\d{1,2})(?:[:.h](\d\d))?\s?([ap])?", token.text)
    assert match is not None  # noqa: S101 as above
    hour, minute, half = int(match.group(1)), int(match.group(2) or 0), match.group(3)
    if (half and not 1 <= hour <= 12) or hour > 23 or minute > 59:
        return replace(token, value=None)
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return replace(token, value=f"{time(hour, minute):%H:%M}")


def _fraction(text: str) -> float | None:
    whole, _, rest = text.replace("-", " ").strip().rpartition(" ")
    over, _, under = rest.partition("/")
    if not whole and float(over) > 2 * float(under):
        return None  # "11/4" is 1 1/4 with its blank left out
    return float(whole or 0) + float(over) / float(under) if float(under) else None


def _fraclen(token: Token) -> Token:
    match = re.match(_FRACTION, token.text)
    assert match is not None  # noqa: S101 as above
    number = _fraction(match.group())
    unit = _length_unit(token.text[match.end() :].strip(" -"))
    return replace(token, kind="length", value=None if number is None else (number, unit))


def _fracunit(token: Token) -> Token:
    """ "1/2 g", "1/2 gallon"."""
    match = re.match(_FRACTION, token.text)
    number = _fraction(match.group()) if match else None
    unit = token.text[match.end() :].strip() if match else ""
    if number is None:
        return token
    if unit.startswith(("l", "gal")):
        return replace(token, kind="volume", value=(number, "gal" if unit.startswith("gal") else "l"))
    return replace(token, kind="weight", value=(number, "oz" if unit.startswith("o") else "g"))


def _length_unit(text: str) -> str:
    return text if text in ("mm", "cm") else "in"


def _length(token: Token) -> Token:
    number, unit = _leading(token.text)
    return replace(token, value=(number, _length_unit(unit)))


def _percent(token: Token) -> Token:
    return replace(token, value=_leading(token.text)[0])


def _degrees(token: Token) -> Token:
    number, unit = _leading(token.text)
    letter = {"c": "c", "f": "f"}.get(unit[-1:] if unit[-1:] in "cf" and not unit.endswith("deg") else "", "")
    named = "c" if unit.startswith(("cel", "cen")) or "celsius" in unit else "f" if "fahr" in unit else letter
    return replace(token, kind="temp", value=(number, named))


def _volume(token: Token) -> Token:
    number, unit = _leading(token.text)
    return replace(token, value=(number, "gal" if "g" in unit else "ml" if unit == "ml" else "l"))


def _weight(token: Token) -> Token:
    number, unit = _leading(token.text)
    return replace(token, value=(number, unit if unit in ("kg", "mg") else "oz" if unit.startswith("o") else "g"))


def _suffixed(token: Token) -> Token:
    return replace(token, value=(float(token.text[:-1]), token.text[-1]))


def _ish(token: Token) -> Token:
    digits = re.search(r"\d+", token.text)
    return replace(token, kind="number", value=int(digits.group()) if digits else 0, note="approx")


_MAKERS = {
    "word": _word,
    "symbol": _word,
    "number": _number,
    "money": _money,
    "clock": _clock,
    "fraclen": _fraclen,
    "fracunit": _fracunit,
    "length": _length,
    "percent": _percent,
    "degrees": _degrees,
    "volume": _volume,
    "weight": _weight,
    "suffixed": _suffixed,
    "ish": _ish,
}
