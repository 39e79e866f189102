"""Choices of a member, a keeper or the club by message: units, digest time, quiet hours, promise level."""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from zoneinfo import available_timezones

from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Scene
from bot.reading.tokens import Token

Recogniser = Callable[[Sequence[Token], str, Scene], list[Partial] | None]


def hours_of(flat: str) -> str | Trouble | None:
    """ "10-14", "10:00 to 14:00", "9am to 1pm" as HH:MM-HH:MM."""
    found = re.search(
        r"(\d{1,2})(?:[:.](\d\d))? ?(am|pm)? ?(?:-|–|to|until|till) ?(\d{1,2})(?:[:.](\d\d))? ?(am|pm)?(?: ?h)?\b", flat
    )
    if found is None:
        return None
    ends = [_hour(found.group(1), found.group(2), found.group(3)), _hour(found.group(4), found.group(5), found.group(6))]
    return f"{ends[0]}-{ends[1]}" if all(ends) else Trouble("hours", "impossible", found.group())


def _hour(hour: str, minute: str | None, half: str | None) -> str | None:
    number = int(hour)
    if half and 1 <= number <= 12:
        number = number % 12 + (12 if half == "pm" else 0)
    return f"{number:02}:{int(minute or 0):02}" if number < 24 and int(minute or 0) < 60 else None


def _setting(name: str, value: Callable[[str], str | None]) -> Recogniser:
    def recognise(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
        if (
            any(token.has("negation", "condition", "hearsay") and token.text != "no" for token in tokens)
            and name != "confirm_by_hand"
        ):
            return None
        said = value(scene.text if name == "time_zone" else flat)
        if said is None:
            return None
        partial = Partial("setting", {"name": name})
        partial.put("value", said or Trouble("value"))
        return [partial]

    return recognise


def _found(pattern: str, make: Callable[[re.Match[str]], str] = lambda match: match.group(1)) -> Callable[[str], str | None]:
    compiled = re.compile(pattern, re.IGNORECASE)

    def value(text: str) -> str | None:
        match = compiled.search(text)
        return make(match) if match else ""

    return value


def _level(match: re.Match[str]) -> str:
    number = float(match.group(1))
    return f"{number / 100 if number > 1 else number:g}"


def _digest(flat: str) -> str | None:
    found = re.search(r"\b(\d{1,2})(?:[:.h](\d\d))? ?(am|pm)?\b", flat)
    return (_hour(found.group(1), found.group(2), found.group(3)) or "") if found else ""


def _quiet(flat: str) -> str | None:
    hours = hours_of(flat)
    if isinstance(hours, str):
        return hours
    return "off" if re.search(r"\b(?:off|none|never)\b", flat) else ""


def _units(flat: str) -> str | None:
    if re.search(r"\b(?:inch(?:es)?|fahrenheit|gallons?|us|imperial|american)\b", flat):
        return "us"
    return "metric" if re.search(r"\b(?:metric|cm|mm|centimet(?:re|er)s?|celsius|lit(?:re|er)s)\b", flat) else ""


def _order(flat: str) -> str | None:
    if re.search(r"\bmdy\b|month (?:comes )?first|month/day|\bus\b|american", flat):
        return "MDY"
    return "DMY" if re.search(r"\bdmy\b|day (?:comes )?first|day/month|european", flat) else ""


_ZONE = re.compile(r"\b([A-Z][A-Za-z]+/[A-Za-z_]+(?:/[A-Za-z_]+)?|UTC)\b")
_BEFORE_CITY = frozenset(
    ["set", "change", "my", "the", "time", "zone", "timezone", "tz", "is", "to", "please", "pls", "in", "i", "am", "im", "it", "now", "as", "city", "of"]
)


@cache
def _cities() -> Mapping[str, str]:
    """City -> the one time zone that is named after it; cities whose name two zones have are left out."""
    found: dict[str, set[str]] = {}
    for zone in available_timezones():
        area, _, city = zone.partition("/")
        if area in _AREAS and city:
            found.setdefault(city.rpartition("/")[2].replace("_", " ").replace("-", " ").lower(), set()).add(zone)
    return {city: zones.pop() for city, zones in found.items() if len(zones) == 1}


_AREAS = frozenset(["Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific"])


def _zone(text: str) -> str | None:
    """A zone by its name ("America/Chicago"), or by its city in any letters ("time zone chicago")."""
    named = _ZONE.search(text)
    if named is not None:
        return named.group(1)
    written = re.search(r"\b[a-z]+/[a-z_]+(?:/[a-z_]+)?\b", text.lower())
    if written is not None:
        return next((zone for zone in available_timezones() if zone.lower() == written.group()), "")
    behind = re.split(r"\btime ?zone\b|\btz\b", text.lower())[-1]
    words = [word for word in re.findall(r"[a-z]+", behind) if word not in _BEFORE_CITY]
    return _cities().get(" ".join(words), "")


def _by_hand(flat: str) -> str | None:
    return "no" if re.search(r"\b(?:automatic(?:ally)?|at once|dont|not|no|off|myself no longer|auto)\b", flat) else "yes"


RECOGNISERS: tuple[tuple[re.Pattern[str], Recogniser], ...] = (
    (re.compile(r"\bpromise level\b|\bpromise (?:at )?\d+"), _setting("promise_level", _found(r"(\d+(?:\.\d+)?)", _level))),
    (
        re.compile(r"^(?:(?:set|change|my|the|please|send|morning|daily|i want|want|make) )*digest\b.*\d|\bdigest (?:time|at)\b"),
        _setting("digest_time", _digest),
    ),
    (re.compile(r"^(?:(?:set|my|the) )*quiet (?:hours|time)\b|\bdont disturb\b.*\d"), _setting("quiet_hours", _quiet)),
    (
        re.compile(r"^(?:set |my |the )*currency\b"),
        _setting("currency", _found(r"currency\s*(?:is|to|=|:)?\s*([a-z€£$]{1,3})(?!\w)", lambda m: m.group(1).upper())),
    ),
    (re.compile(r"\btime ?zone\b|^(?:my |the )?tz\b"), _setting("time_zone", _zone)),
    (
        re.compile(
            r"^(?:i (?:use|prefer|like|work in|measure in)|use|set units|units?\b|my units|switch to|in) .*\b(?:inch(?:es)?|metric|cm|mm|fahrenheit|celsius|us|imperial|gallons?|lit(?:re|er)s|centimet(?:re|er)s?)\b"
        ),
        _setting("units", _units),
    ),
    (
        re.compile(
            r"\bdate ?order\b|\bdates? (?:are |is |as |in )?(?:day|month|dmy|mdy)\b|^(?:day|month) (?:comes )?first\b|^(?:i )?(?:use|write) (?:dmy|mdy|day first|month first)\b"
        ),
        _setting("date_order", _order),
    ),
    (
        re.compile(r"^(?:set |my |the )*kit(?: unit)?\b|^(?!.*\b(?:recommend|which|what|any|whose|best|better|need|bought|broke)\b).*\btest kit\b"),
        _setting(
            "kit_unit",
            _found(
                r"\b(nh3|nh 3|nh4|nh 4|n)\b(?!.*\bn\b)",
                lambda m: "NH3" if "3" in m.group(1) else "NH4" if "4" in m.group(1) else "N",
            ),
        ),
    ),
    (
        re.compile(r"\bhold(?:ing)? (?:days|time)\b|^hold (?:reservations|unconfirmed).*\d"),
        _setting("hold_days", _found(r"(\d+)")),
    ),
    (
        re.compile(r"\b(?:buyer )?limit\b.*\d|\b(?:max|at most|maximum) \d+ (?:fish )?per (?:buyer|member|person)\b"),
        _setting("buyer_limit", _found(r"(\d+)")),
    ),
    (
        re.compile(
            r"^(?:i |i want to |i ll |please )*confirm (?:by hand|manually|myself|reservations|at once|automatically|each)|\bconfirm by hand\b|^confirm reservations\b"
        ),
        _setting("confirm_by_hand", _by_hand),
    ),
)
