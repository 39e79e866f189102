"""The morning digest: what is to be done, in walking order, numbered so that "done 3" works; nothing on a quiet day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from bot.replies.sitting import sitter_line
from bot.replies.tasks import Names, short_line, task_line
from bot.replies.words import Style, capital, counted
from core.fishroom.state import Fishroom
from core.planning.tasks import CareTask, Urgency, told_in_full

NOWHERE = "Wherever you are"
"""Heading of tasks that need no place."""
PRESSING: Mapping[Urgency, str] = {Urgency.NOW: "Now: ", Urgency.SOON: "", Urgency.NORMAL: "", Urgency.ROUTINE: ""}

CHOICES = ("strip",)
"""What may be left undone is never pressed for, however near its end is."""


def digest(room: Fishroom, tasks: Sequence[CareTask], style: Style, first: int = 1, names: Names | None = None) -> str | None:
    """A keeper's day: the tasks as they are ordered, grouped by place; None when there are none.

    `first` is the number of the first task (several fishrooms share one numbering); `names` are those of members, by id.
    """
    if not tasks:
        return None
    head = f"{style.day(style.today)}: {counted(len(tasks), 'thing')} to do."
    return "\n".join([head, *_grouped(room, tasks, style, first, names)])


def by_day(tasks: Iterable[CareTask], today: date) -> list[CareTask]:
    """The tasks in the order in which `agenda` numbers them: by the day they open; what is open already stands under today."""
    return sorted(tasks, key=lambda task: max(task.opens, today))


def agenda(room: Fishroom, tasks: Iterable[CareTask], style: Style, first: int = 1, names: Names | None = None) -> str | None:
    """What is to be done on several days, numbered in the order of `by_day`. None when there is nothing."""
    lines: list[str] = []
    for day, group in groupby(by_day(tasks, style.today), key=lambda task: max(task.opens, style.today)):
        found = list(group)
        lines.append(f"{capital(style.near(day))}:")
        lines += [_numbered(number, room, task, style, names) for number, task in enumerate(found, start=first)]
        first += len(found)
    return "\n".join(lines) or None


def sitter_digest(
    room: Fishroom, tasks: Sequence[CareTask], style: Style, keeper: str, first: int = 1, back: date | None = None
) -> str | None:
    """A sitter's day, for somebody who keeps no cichlids: few words, no terms of the trade. None when there is nothing."""
    if not tasks:
        return None
    until = f" until {style.day(back)}" if back else ""
    lines = [f"{style.day(style.today)}: {keeper}'s fish, in your care{until}."]
    for place, group in groupby(tasks, key=lambda task: task.place):
        found = list(group)
        lines += ["", capital(place or NOWHERE)]
        lines += [f"{number}. {sitter_line(room, task, style)}" for number, task in enumerate(found, start=first)]
        first += len(found)
    last = first - 1
    lines += [
        "",
        "Feed only what is gone in two minutes. Too little food is never wrong, too much fouls the water.",
        f'Say "done {last}" for what is done, "2 dead in tub" for what you find. Take dead fish out at once; catch no live ones. '
        "Pull plugs before you put a hand in the water, and wash your hands after.",
        f"Anything odd (gasping, cloudy water, a stopped pump, cold glass): tell {keeper} right away.",
    ]
    return "\n".join(lines)


def _grouped(room: Fishroom, tasks: Sequence[CareTask], style: Style, first: int, names: Names | None) -> Iterator[str]:
    for place, group in groupby(tasks, key=lambda task: task.place):
        found = list(group)
        yield ""
        yield capital(place or NOWHERE)
        yield from (_numbered(number, room, task, style, names) for number, task in enumerate(found, start=first))
        first += len(found)


def _numbered(number: int, room: Fishroom, task: CareTask, style: Style, names: Names | None) -> str:
    pressing = "" if task.rule in CHOICES else PRESSING[task.urgency]
    if not told_in_full(task, style.today) and task.opens <= style.today:
        return f"{number}. {pressing}{short_line(room, task, style)}"
    return f"{number}. {pressing}{task_line(room, task, style, names)}"
