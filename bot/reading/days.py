"""Which day is meant: the phrases of a message that name a day, and the day they name for something past or something planned.

A span is found by a whitelist; nothing else of the sentence is ever taken for a date. Bare weekdays and days of the month look back for
what happened and forward for what is planned. Only a day with the name of its month is handed to dateparser; weekdays, "2 days
ago", "the 14th" and days in digits are worked out here, because dateparser misreads them. Arithmetic is on local days, so a
change to summer time cannot shift it.
"""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Literal

Direction = Literal["past", "future"]
_WEEKDAYS = {
    name: number
    for number, names in enumerate(
        (
            "mon monday mondays",
            "tue tues tuesday",
            "wed weds wednesday",
            "thu thur thurs thursday",
            "fri friday",
            "sat saturday",
            "sun sunday",
        )
    )
    for name in names.split()
}
_WD = "|".join(sorted(_WEEKDAYS, key=len, reverse=True))
_MONTHS = "january|february|march|april|may|june|july|august|september|october|november|december|jan|feb|mar|apr|jun|jul|aug|sept|sep|oct|nov|dec"
_PART = r"(?: (?:very |late |early )?(?:morning|morn|mornin|am|afternoon|arvo|evening|eve|night|nite|noon|lunchtime|lunch|midday|pm|late|early))"
_N = r"(?:a couple of|a couple|couple of|couple|one|two|three|four|five|six|seven|eight|nine|ten|an|a|\d{1,3})"
_UNIT = r"(?:days?|nights?|weeks?|wks?|wk|fortnights?|months?|d|hours?|hrs?|h|mins?|minutes?)"
_ORD = r"(\d{1,2})(?:st|nd|rd|th)"
_FORMS: list[tuple[str, str]] = [
    ("ago:2", r"(?:the )?day before (?:yesterday|yday|yest)|(?:the )?night before last"),
    ("future:2", r"(?:the )?day after (?:tomorrow|tmrw|tmw)"),
    (
        "ago:0",
        rf"(?:earlier |late |early )?(?:today|2day){_PART}?|this (?:very )?(?:morning|morn|mornin|am|afternoon|arvo|evening|eve|pm|lunchtime|noon)"
        r"|tonight|tonite|just now|right now|rn|at (?:dawn|lunchtime|lunch|daybreak|sunrise|breakfast)(?! \d)|first thing(?: this morning| today)?"
        r"|(?:a )?(?:moments?|minute|min|while) ago(?<!while ago)|earlier on today|at this moment|at the moment|earlier(?= (?:today|on))",
    ),
    (
        "ago:1",
        rf"(?:late |early )?(?:yesterday|y[a-z]?[a-z]?st[a-z]{{0,3}}d[a-z]?y|yday|yest|yester|yst|ystd|ydy){_PART}?|(?:last|l[a-z]{{0,2}}t|lats) (?:night|nite|evening|eve)(?: late)?|over ?night",
    ),
    ("future:1", rf"(?:tomorrow|tmrw|tmw|tomoz|2moro|2morrow|tommorow|tommorrow|tomorow|tmr|tmrrw){_PART}?"),
    (
        "weeks",
        rf"(?:since )?(?:{_N} (?:weeks?|wks?) (?:ago )?(?:on |last |from last )?(?:{_WD})\b(?! week)|(?:{_WD}) {_N} (?:weeks?|wks?) ago|{_N} (?:{_WD})s? ago|last week (?:on )?(?:{_WD})\b)",
    ),
    (
        "vague",
        r"(?:a |some |just a |only a )?few (?:days|weeks|nights|wks)(?: ago| back| now)?|(?:some|several|many) (?:days|weeks|time|nights)(?: ago| back)?"
        r"|the other (?:day|night|week)|(?:a while|ages|a long time|long) (?:ago|back)|for (?:ages|a while|some time|a long time|a bit|long|weeks|days)|a while now|recently|lately"
        r"|(?:about|around|roughly|nearly|almost|over|more than|less than|maybe|at least|approx) "
        + _N
        + r" (?:days|weeks|day|week|wks|months|fortnight)(?: ago| back| now)?",
    ),
    (
        "vague",
        r"(?:this |the |last |next |coming |on the |at the |over the )?weekend|(?:last|next|this|the following|the coming) (?:week(?! on)|month|year|fortnight|spring|summer|autumn|fall|winter)"
        r"|(?:the )?(?:end|start|beginning|middle|mid) of (?:the |this |last |next )?(?:month|week|year|" + _MONTHS + r")"
        rf"|(?:early|mid|late) (?:{_MONTHS})|(?:since|in|by|until|from|during|last|next) (?:{_MONTHS})(?! ?\d)|day \d{{1,2}}\b|easter|christmas|xmas|new years?(?: day| eve)?"
        rf"|(?:a )?week (?:on |from )?(?:{_WD})\b|(?:{_WD}) week\b|(?:one|some|any) (?:{_WD})\b",
    ),
    (
        "ago",
        rf"(?:(?:since|for) )?{_N} {_UNIT} (?:ago|back|earlier)|(?:for|since)(?: the (?:last|past))? {_N} (?:days?|nights?|weeks?|wks?|fortnights?|d)\b(?: now)?"
        rf"|{_N} (?:days?|weeks?|nights?) now(?! \w*\d)",
    ),
    ("vague", r"for (?!a\b|an\b)[a-z]+ (?:days|weeks|nights)"),
    ("ago:held", rf"(?:now )?{_N} (?:days?|weeks?|wks?)(?: now| already| so far)?"),
    (
        "ahead",
        rf"in {_N} (?:days?|weeks?|wks?|fortnights?)(?: time)?|{_N} (?:days?|weeks?) from (?:now|today)|within {_N} (?:days?|weeks?)",
    ),
    ("iso", r"(\d{4})-(\d{1,2})-(\d{1,2})"),
    (
        "named",
        rf"(?:(?:on )?(?:{_WD}),? (?:the )?)?(?:(?:{_MONTHS})\b\.? ?(?:the )?\d{{1,2}}(?:st|nd|rd|th)?(?!\d|:)(?: ?,? ?\d{{4}}\b)?|\d{{1,2}}(?:st|nd|rd|th)?\.? (?:of )?(?:{_MONTHS})\b(?<! may)\.?(?: ?,? ?\d{{4}}\b)?|\d{{1,2}}(?:st|nd|rd|th)?\.? (?:of )?may\b(?: \d{{4}}\b)?(?! (?!to\b|at\b|and\b|for\b|from\b)[a-z]))",
    ),
    (
        "digits",
        rf"(?:(?:{_WD}),? (?:the )?)?(\d{{1,2}})[/.](\d{{1,2}})(?:[/.](\d{{4}}|\d{{2}}))?\.?(?! (?:of|the|full|in\b|inch))|(?:since|on) \d{{1,2}}-\d{{1,2}}(?:-(?:\d{{4}}|\d{{2}}))?(?! ?[a-z]*(?:fry|fish|h\b))",
    ),
    ("ordinal", rf"(?:(?:{_WD}),? )?(?:the )?{_ORD}(?: of (?:this|last|next) month| (?:last|this|next) month)?"),
    (
        "weekday",
        rf"(?:(last|this past|this|next|past|coming|on|the following) )?({_WD})\b(?: (last week|this week|next week|before last|week|gone|coming|just gone|last|past))?{_PART}?",
    ),
]
_MATCHER = re.compile("|".join(f"(?P<f{n}>{form})(?!\\w)" for n, (_, form) in enumerate(_FORMS)))
_COUNTS = {
    "a": 1,
    "an": 1,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
}
FULL_NAMES = frozenset(
    [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
        "yesterday",
        "tomorrow",
        "january",
        "february",
        "september",
        "october",
        "november",
        "december",
        "morning",
        "evening",
        "afternoon",
        "overnight",
        "tonight",
        "today",
        "since",
        "night",
    ]
)
"""Words of dates that a misspelling may be mended to; nothing is ever mended away from a date."""


DATE_WORDS = FULL_NAMES | frozenset(_WEEKDAYS) | frozenset(re.findall(r"[a-z0-9]{3,}", " ".join(form for _, form in _FORMS)))


@dataclass(frozen=True)
class DaySpan:
    """A phrase that names a day: how it names it, and the words."""

    form: str
    words: str


@dataclass(frozen=True)
class DayTrouble:
    """Why no day can be told: "future", "impossible", "ambiguous" or "implausible", and the days it could be."""

    why: str
    options: tuple[date, ...] = ()


def find(flat: str, at: int) -> tuple[int, DaySpan] | None:
    """The day named at offset `at` of the flattened message, with the offset after it."""
    match = _MATCHER.match(flat, at)
    if match is None or not match.group().strip():
        return None
    form = next(_FORMS[n][0] for n in range(len(_FORMS)) if match.group(f"f{n}") is not None)
    words = match.group()
    if form == "digits" and words.strip("/.").count(".") == 1 and "/" not in words and not words.endswith("."):
        return None
    return match.end(), DaySpan(form, words)


def resolve(span: DaySpan, now: datetime, direction: Direction, order: str) -> date | DayTrouble:
    """The day a span names, seen from `now` (the writer's local time), for something past or something planned."""
    today = now.date()
    day = _named_day(span, now, direction, order)
    if isinstance(day, DayTrouble):
        return day
    if direction == "past" and day > today:
        return DayTrouble("future")
    if direction == "future" and day < today:
        return DayTrouble("impossible")
    if day < _years_before(today, 2) or day > today + timedelta(days=730):
        return DayTrouble("implausible")
    return day


def _years_before(day: date, years: int) -> date:
    return day.replace(year=day.year - years, day=min(day.day, 28))


def _named_day(span: DaySpan, now: datetime, direction: Direction, order: str) -> date | DayTrouble:
    head, _, offset = span.form.partition(":")
    today = now.date()
    if offset.isdigit():
        return today + timedelta(days=int(offset) if head == "future" else -int(offset))
    match head:
        case "ago" | "ahead":
            return _counted(span.words, now, head)
        case "weeks":
            return _weeks_back(span.words, today, direction)
        case "iso":
            year, month, day = (int(part) for part in span.words.split("-"))
            return _date(year, month, day) or DayTrouble("impossible")
        case "named":
            return _with_month_name(span.words, today, direction)
        case "digits":
            return _in_digits(span.words, today, direction, order)
        case "ordinal":
            return _day_of_month(span.words, today, direction)
        case "weekday":
            return _weekday(span.words, today, direction)
        case _:
            return DayTrouble("ambiguous")


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _counted(words: str, now: datetime, head: str) -> date | DayTrouble:
    found = re.search(rf"(?P<n>{_N}) (?P<unit>{_UNIT})", words)
    if found is None:
        return DayTrouble("ambiguous")
    said, unit = found.group("n"), found.group("unit")
    number = 2 if "couple" in said else _COUNTS.get(said) or int(said) if said.isdigit() or said in _COUNTS else 0
    sign = 1 if head == "ahead" else -1
    if unit.startswith(("h", "min")):
        step = timedelta(minutes=number) if unit.startswith("min") else timedelta(hours=number)
        return (now + sign * step).date()
    if unit.startswith("mo"):
        return DayTrouble("ambiguous")
    days = 14 if unit.startswith("f") else 7 if unit.startswith("w") else 1
    return now.date() + timedelta(days=sign * number * days)


def _weeks_back(words: str, today: date, direction: Direction) -> date | DayTrouble:
    """ "Two weeks ago monday", "two sundays ago": where counting from that weekday and counting in calendar weeks agree."""
    words = words.removeprefix("since ")
    if words.startswith("last week"):
        return _weekday(f"{words.split()[-1]} last week", today, direction)
    found = re.search(rf"\b({_WD})s?\b", words)
    number = re.search(rf"(?P<n>{_N}) ", words)
    weekday = _WEEKDAYS[found.group(1)] if found else None
    said = number.group("n") if number else ""
    count = 2 if "couple" in said else _COUNTS.get(said) or (int(said) if said.isdigit() else 0)
    if weekday is None or not count or direction == "future":
        return DayTrouble("ambiguous")
    last = today - timedelta(days=(today.weekday() - weekday) % 7)
    if words.endswith(" ago") and "week" not in words and "wk" not in words:
        return last - timedelta(days=7 * (count - (last != today)))
    counted = last - timedelta(days=7 * count)
    calendar = today - timedelta(days=today.weekday() + 7 * count - weekday)
    return counted if counted == calendar else DayTrouble("ambiguous", (counted, calendar))


def _said_weekday(words: str) -> int | None:
    found = re.search(rf"\b({_WD})\b", words)
    return _WEEKDAYS[found.group(1)] if found else None


def _agreeing(day: date | DayTrouble, words: str) -> date | DayTrouble:
    """A date with its weekday beside it must agree with it."""
    weekday = _said_weekday(words)
    if isinstance(day, date) and weekday is not None and day.weekday() != weekday:
        return DayTrouble("impossible")
    return day


def _with_month_name(words: str, today: date, direction: Direction) -> date | DayTrouble:
    bare = re.sub(rf"^(?:on )?(?:{_WD})\b,? ?|\bthe\b|\bof\b|[.,]", " ", words)
    bare = " ".join(bare.split())
    year = re.search(r"\d{4}", bare)
    day = _parsed(bare if year else f"{bare} 2024")
    if day is None:
        return DayTrouble("impossible")
    if year:
        return _agreeing(day, words)
    return _agreeing(_nearest(day.month, day.day, today, direction), words)


@lru_cache(maxsize=2048)
def _parsed(phrase: str) -> date | None:
    """A day, month name and year, read by dateparser (imported only when first needed)."""
    import dateparser

    found = dateparser.parse(
        phrase, languages=["en"], settings={"REQUIRE_PARTS": ["day", "month", "year"], "PARSERS": ["absolute-time"]}
    )
    return found.date() if found else None


def warm_up() -> None:
    """Load dateparser, so that the first message with the name of a month is not slow."""
    _parsed("5 march 2024")


def _in_digits(words: str, today: date, direction: Direction, order: str) -> date | DayTrouble:
    numbers = [int(part) for part in re.findall(r"\d+", words)]
    dotted = "." in words
    first, second = numbers[0], numbers[1]
    month, day = (first, second) if order == "MDY" and not dotted else (second, first)
    if len(numbers) == 3:
        year = numbers[2] + 2000 if numbers[2] < 100 else numbers[2]
        return _agreeing(_date(year, month, day) or DayTrouble("impossible"), words)
    if _date(2024, month, day) is None:
        swapped = _date(2024, day, month)
        nearest = _nearest(day, month, today, direction) if swapped else None
        return DayTrouble("impossible", (nearest,) if isinstance(nearest, date) else ())
    return _agreeing(_nearest(month, day, today, direction), words)


def _nearest(month: int, day: int, today: date, direction: Direction) -> date | DayTrouble:
    """The latest such day up to today, or the next from today on; a day half a year off is not believed without its year."""
    years = range(today.year - 1, today.year + 2)
    days = [found for year in years if (found := _date(year, month, day))]
    if direction == "past":
        fitting = [found for found in days if found <= today]
        chosen = fitting[-1] if fitting else None
        return chosen if chosen and (today - chosen).days <= 270 else DayTrouble("future" if days else "impossible")
    fitting = [found for found in days if found >= today]
    chosen = fitting[0] if fitting else None
    return chosen if chosen and (chosen - today).days <= 330 else DayTrouble("impossible")


def _day_of_month(words: str, today: date, direction: Direction) -> date | DayTrouble:
    found = re.search(_ORD, words)
    number = int(found.group(1)) if found else 0
    shift = -1 if "last month" in words else 1 if "next month" in words else 0
    if shift or "this month" in words:
        return _date(*_month(today, shift), number) or DayTrouble("impossible")
    steps = (0, -1) if direction == "past" else (0, 1)
    for step in steps:
        day = _date(*_month(today, step), number)
        if day and (day <= today if direction == "past" else day >= today):
            return _agreeing(day, words)
    return DayTrouble("impossible")


def _month(day: date, step: int) -> tuple[int, int]:
    months = day.year * 12 + day.month - 1 + step
    return months // 12, months % 12 + 1


def _weekday(words: str, today: date, direction: Direction) -> date | DayTrouble:
    weekday = _said_weekday(words)
    if weekday is None:
        return DayTrouble("ambiguous")
    monday = today - timedelta(days=today.weekday())
    for phrase, weeks in (("last week", -1), ("this week", 0), ("next week", 1)):
        if phrase in words:
            return monday + timedelta(days=7 * weeks + weekday)
    back = (today.weekday() - weekday) % 7
    ahead = (weekday - today.weekday()) % 7
    if "before last" in words:
        return today - timedelta(days=(back or 7) + 7)
    if re.search(r"\b(?:last|past|gone)\b", words):
        return today - timedelta(days=back or 7)
    if "next" in words.split() or "following" in words:
        return _next_weekday(today, weekday, ahead)
    if back == 0:
        options = (today, today + timedelta(days=7 if direction == "future" else -7))
        return DayTrouble("ambiguous", options)
    return today + timedelta(days=ahead) if direction == "future" else today - timedelta(days=back)


def _next_weekday(today: date, weekday: int, ahead: int) -> date | DayTrouble:
    """ "next friday": the coming one, unless this week still has one: then it may be either."""
    if weekday > today.weekday():
        return DayTrouble("ambiguous", (today + timedelta(days=ahead), today + timedelta(days=ahead + 7)))
    return today + timedelta(days=ahead or 7)
