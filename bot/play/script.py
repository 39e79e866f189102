"""The plain form of a conversation: what each line means, and how a file becomes steps.

A step is something that is done (a message, a press, an edit, a photo, a digest asked for, the clock moved on) with what is
expected of it. A file that cannot be read raises `ScriptError` with the number of the line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Literal

from bot.replies.words import MONTHS
from core.units import DateOrder, Units


class ScriptError(Exception):
    """A line of a conversation file cannot be understood."""


@dataclass(slots=True)
class Expectation:
    """What is expected after a step: a reply, a message to somebody, silence, or something not said."""

    kind: Literal["bot", "to", "silent", "not", "button"]
    pattern: str = ""
    name: str = ""
    first_line: int = 0
    last_line: int = 0


@dataclass(slots=True)
class Step:
    """Something that is done. For the clock, `moment` is an absolute local time, or `days` and `at` move it on."""

    kind: Literal["say", "press", "edit", "photo", "digest", "clock"]
    line: int
    name: str = ""
    text: str = ""
    moment: datetime | None = None
    days: int | None = None
    at: time | None = None
    expected: list[Expectation] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the club: name, roles, and whose fishroom they keep if not their own."""

    name: str
    roles: tuple[str, ...]
    keeps: str | None = None


@dataclass(slots=True)
class Script:
    """A conversation file: the club, its people, and the steps."""

    club: str = "Example Club"
    zone: str = "UTC"
    units: Units = "metric"
    dates: DateOrder = "DMY"
    people: list[Person] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)


_ABSOLUTE = re.compile(r"^(?:[A-Za-z]{3,9}\s+)?(\d{1,2})\s+([A-Za-z]{3,9})\s+(\d{4})(?:\s+(\d{1,2}):(\d{2}))?$")
_ISO = re.compile(r"\b(\d{4})-(0[1-9]|1[0-2])-(\d{2})\b")
_MONTH_FIRST = re.compile(r"\b(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*\s+(\d{1,2}),?\s+(?=\d{4}\b)")
"""Days are also written "2026-03-02" and "Mon Mar 2 2026"."""
_RELATIVE = re.compile(r"^\+(\d+)\s*days?(?:\s+(\d{1,2}):(\d{2}))?$")
_PRESS = re.compile(r"^(\S.*?) presses \[(.+)\]\s*$")
_EDIT = re.compile(r"^(\S[^:]*?) edits: ?(.*)$")
_PHOTO = re.compile(r"^(\S[^:]*?) sends photo:? ?(.*)$")
_TO = re.compile(r"^to (\S[^:]*?): ?(.*)$")
_SAY = re.compile(r"^(\S[^:]*?): ?(.*)$")
_BUTTON = re.compile(r"^\s+\[(.+)\]\s*$")
_MORE = re.compile(r"^\s+\| ?(.*)$")
_KEEPS = re.compile(r"^(.*?)\s+keeper of\s+(.+)$")


def parse(text: str) -> Script:
    """The conversation in a file's text."""
    script = Script(lines=text.splitlines())
    for number, raw in enumerate(script.lines, start=1):
        line = raw.rstrip()
        if line.strip() and not line.lstrip().startswith("#"):
            try:
                _take(script, line, number)
            except (ValueError, IndexError) as problem:
                raise ScriptError(f"line {number}: {problem}: {line}") from problem
    return script


def _take(script: Script, line: str, number: int) -> None:
    if line.startswith("club:"):
        _club(script, line[5:])
    elif line.startswith("people:"):
        script.people.extend(_person(part) for part in line[7:].split(";") if part.strip())
    elif line.startswith("--"):
        script.steps.append(_clock(line[2:].strip(), number))
    elif line[0].isspace():
        _continuation(script, line, number)
    elif (expectation := _expectation(line, number)) is not None:
        script.steps[-1].expected.append(expectation)
    else:
        script.steps.append(_deed(script, line, number))


def _club(script: Script, text: str) -> None:
    head, *rest = [part.strip() for part in text.split(";")]
    script.club = head
    for part in rest:
        key, _, value = part.partition(" ")
        match key, value:
            case "zone", _:
                script.zone = value
            case "units", "metric" | "us":
                script.units = value
            case "dates", "DMY" | "MDY":
                script.dates = value
            case _:
                raise ValueError(f"unknown setting {part!r}")


def _person(text: str) -> Person:
    if found := _KEEPS.match(text.strip()):
        return Person(found[1].strip(), ("keeper",), found[2].strip())
    name, _, roles = text.strip().rpartition(" ")
    if not name:
        return Person(roles, ("buyer",))
    return Person(name, tuple(roles.split("+")))


def _clock(text: str, number: int) -> Step:
    text = _MONTH_FIRST.sub(r"\2 \1 ", _ISO.sub(lambda found: f"{int(found[3])} {MONTHS[int(found[2]) - 1]} {found[1]}", text))
    if found := _RELATIVE.match(text):
        at = time(int(found[2]), int(found[3])) if found[2] else None
        return Step("clock", number, days=int(found[1]), at=at)
    if found := _ABSOLUTE.match(text):
        month = MONTHS.index(found[2][:3].capitalize()) + 1
        day = date(int(found[3]), month, int(found[1]))
        return Step("clock", number, moment=datetime.combine(day, time(int(found[4] or 9), int(found[5] or 0))))
    raise ValueError("not a day and time")


def _continuation(script: Script, line: str, number: int) -> None:
    step = script.steps[-1]
    if found := _MORE.match(line):
        last = step.expected[-1]
        last.pattern += "\n" + found[1]
        last.last_line = number
    elif found := _BUTTON.match(line):
        step.expected.append(Expectation("button", found[1], first_line=number, last_line=number))
    else:
        raise ValueError("neither more of a reply nor a button")


def _expectation(line: str, number: int) -> Expectation | None:
    if line == "silent":
        return Expectation("silent", first_line=number, last_line=number)
    for word in ("bot", "not"):
        if line.startswith(f"{word}:"):
            return Expectation(word, line[4:].strip(), first_line=number, last_line=number)
    if found := _TO.match(line):
        return Expectation("to", found[2].strip(), found[1], number, number)
    return None


def _deed(script: Script, line: str, number: int) -> Step:
    names = {person.name for person in script.people}
    if line.startswith("digest "):
        return Step("digest", number, _known(line[7:].strip(), names))
    if (found := _PRESS.match(line)) and found[1] in names:
        return Step("press", number, found[1], found[2])
    for kind, form in (("edit", _EDIT), ("photo", _PHOTO), ("say", _SAY)):
        if (found := form.match(line)) and (found[1] in names or kind == "say"):
            return Step(kind, number, _known(found[1], names), found[2])  # type: ignore[arg-type]
    raise ValueError("not a line of a conversation")


def _known(name: str, names: set[str]) -> str:
    if name not in names:
        raise ValueError(f"{name} is not among the people")
    return name


def local_time(step: Step, now: datetime) -> datetime:
    """Where a clock step puts the local clock that stands at `now`."""
    if step.moment is not None:
        return step.moment
    moved = now + timedelta(days=step.days or 0)
    return datetime.combine(moved.date(), step.at) if step.at else moved
