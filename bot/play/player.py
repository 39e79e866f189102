"""Plays a script on a stage, compares what was said with what is expected, and can write down what was said instead."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from bot.play.matching import matches
from bot.play.script import Expectation, Script, Step, local_time
from bot.play.stage import NoSuchButtonError, Shown, Stage


@dataclass(slots=True)
class Played:
    """A step with what came of it."""

    step: Step
    replies: list[Shown] = field(default_factory=list)
    unasked: dict[str, list[Shown]] = field(default_factory=dict)
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """An expectation that was not met: the line, what was expected, what was said."""

    line: int
    expected: str
    said: str


def first_moment(script: Script) -> datetime:
    """The moment (UTC) at which the script begins: its first clock line, which has to be absolute."""
    for step in script.steps:
        if step.kind == "clock" and step.moment is not None:
            return utc(step.moment, script)
    return datetime(2026, 1, 1, 9, tzinfo=UTC)


def utc(local: datetime, script: Script) -> datetime:
    """A local time of the club as a moment."""
    return local.replace(tzinfo=ZoneInfo(script.zone)).astimezone(UTC)


def play(
    script: Script, stage: Stage, moment: datetime, move_on: Callable[[datetime], None] | None = None
) -> Iterator[Played]:
    """The steps, one after the other, with what came of each. `move_on` moves the clock, if not the stage's `advance`."""
    move_on = move_on or stage.advance
    now = moment
    for step in script.steps:
        played = Played(step)
        if step.kind == "clock":
            local = now.astimezone(ZoneInfo(script.zone)).replace(tzinfo=None)
            now = utc(local_time(step, local), script)
            move_on(now)
        else:
            try:
                played.replies = DEEDS[step.kind](stage, step)
            except NoSuchButtonError as problem:
                played.trouble = str(problem)
        played.unasked = stage.unasked()
        yield played


DEEDS: dict[str, Callable[[Stage, Step], list[Shown]]] = {
    "say": lambda stage, step: stage.say(step.name, step.text),
    "press": lambda stage, step: stage.press(step.name, step.text),
    "edit": lambda stage, step: stage.edit(step.name, step.text),
    "photo": lambda stage, step: stage.photo(step.name, step.text),
    "digest": lambda stage, step: stage.digest(step.name),
}


def differences(played: Played) -> list[Difference]:
    """Which expectations of the step were not met."""
    found = [Difference(played.step.line, "a step that can be done", played.trouble)] if played.trouble else []
    for expected in played.step.expected:
        said = _said(expected, played)
        if not _met(expected, played, said):
            found.append(Difference(expected.first_line, _shown_expectation(expected), said or "(nothing)"))
    return found


def _said(expected: Expectation, played: Played) -> str:
    if expected.kind == "to":
        return "\n".join(one.text for one in played.unasked.get(expected.name, ()))
    if expected.kind == "silent":
        return "\n".join(f"to {name}: {one.text}" for name, many in played.unasked.items() for one in many)
    if expected.kind == "button":
        return " ".join(f"[{label}]" for label in _labels(played))
    return "\n".join(one.text for one in played.replies)


def _labels(played: Played) -> list[str]:
    messages = [*played.replies, *(one for many in played.unasked.values() for one in many)]
    return [label for one in messages for label in one.labels]


def _met(expected: Expectation, played: Played, said: str) -> bool:
    match expected.kind:
        case "bot":
            return any(matches(expected.pattern, text) for text in (said, *(one.text for one in played.replies)))
        case "to":
            messages = played.unasked.get(expected.name, ())
            return bool(messages) and any(matches(expected.pattern, text) for text in (said, *(one.text for one in messages)))
        case "not":
            return not any(matches(expected.pattern, text) for text in (said, *(one.text for one in played.replies)))
        case "silent":
            return not said
        case "button":
            return any(matches(expected.pattern, label) for label in _labels(played))


def _shown_expectation(expected: Expectation) -> str:
    lead = {"to": f"to {expected.name}: ", "not": "not: ", "button": "[", "silent": "silent", "bot": ""}[expected.kind]
    return lead + expected.pattern + ("]" if expected.kind == "button" else "")


def transcript(played: Played, script: Script) -> list[str]:
    """The exchange as it is printed."""
    lines = [script.lines[played.step.line - 1].rstrip()]
    for one in played.replies:
        lines += spoken("bot: ", one)
    for name, many in played.unasked.items():
        for one in many:
            lines += spoken(f"to {name}: ", one)
    return lines


def spoken(lead: str, one: Shown) -> list[str]:
    """A message in the plain form: its lines, attachments and buttons."""
    first, *rest = one.text.split("\n")
    lines = [lead + first, *(f"   | {line}" for line in rest)]
    lines += [f"   # file {name}" for name in one.files]
    return lines + [f"   [{label}]" for label in one.labels]


def rewritten(script: Script, steps: list[Played]) -> str:
    """The file with its expectations replaced by what was said; everything else stays as it stood."""
    dropped = {
        line
        for played in steps
        for expected in played.step.expected
        for line in range(expected.first_line, expected.last_line + 1)
    }
    after = {played.step.line: played for played in steps}
    lines: list[str] = []
    for number, line in enumerate(script.lines, start=1):
        if number in dropped:
            continue
        lines.append(line)
        if number in after:
            lines += transcript(after[number], script)[1:]
    return "\n".join(lines) + "\n"
