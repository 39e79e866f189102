"""How the tasks of breeders and their broods are worded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from bot.replies import naming
from bot.replies.follow import SAYS, window
from bot.replies.words import Style, capital, listed, number
from core.fishroom.state import Fishroom
from core.planning.tasks import CareTask

Line = Callable[[Fishroom, CareTask, Style], str]


def fish_of(room: Fishroom, task: CareTask) -> str:
    """The fish that a task is about, as it is called inside a sentence."""
    return naming.inside(naming.fish(room, task.fish)) if task.fish else "she"


def _label(room: Fishroom, task: CareTask) -> str:
    found = room.fish.get(task.fish or "")
    return found.label if found else "4"


def _day_on(task: CareTask, since: date, style: Style) -> int:
    """Which day since then it is when the task is to be done."""
    return (max(style.today, task.opens) - since).days


def _holding_check(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    since, last = facts["since"], facts["last"]
    seen = f", last seen {style.day(last)}" if last != since else ""
    text = f"Look whether {fish_of(room, task)} still holds (since {style.day(since)}, day {_day_on(task, since, style)}{seen})."
    bulge = facts["bulge"]
    if bulge is not None and bulge.likely is not None and style.today < bulge.likely:
        text += f" The bulge shows from about {style.day(bulge.likely)}."
    if facts["out_of_range"] is not None:
        text += " The water is outside what I can reckon with, so only a look tells how far she is."
    return f'{text} Then say "{_label(room, task)} still holding".'


def _prepare_box(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    box = facts["box"] or "a nursery box (none of yours is free)"
    return f"Strip window of {fish_of(room, task)} from {style.near(facts['strip_opens'])}: get {box} ready, with the same water."


def _strip(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    opens, closes, since, warmth = facts["strip_opens"], facts["strip_closes"], facts["since"], facts["warmth"]
    day = f"day {_day_on(task, since, style)}, at {style.temperature(warmth.mean_c)}, {SAYS[warmth.basis]}"
    last = ", if you mean to, today at the latest" if style.today >= closes else " if you mean to"
    text = f"Strip {fish_of(room, task)}{last}: window {style.days(opens, closes)} ({day})."
    if facts["first_brood"]:
        text += " It is the first brood of hers in the book: better let her finish it herself."
    yolk = facts["yolk"]
    if yolk is not None and yolk.likely is not None and yolk.likely > style.today:
        text += f" No food for the fry before about {style.day(yolk.likely)}."
    to = f" to {facts['box']}" if facts["box"] else ""
    return f'{text} Then say "stripped {_label(room, task)}: 20 fry{to}", or leave it to her.'


def _release_expected(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = (
        f"{capital(fish_of(room, task))} lets her fry go {window(facts['release'], style)}: hiding places or a box of her own "
        "save more of them."
    )
    return f'{text} Then say "{_label(room, task)} released 20".'


def _brood_overdue(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label = _label(room, task)
    text = (
        f"{capital(fish_of(room, task))} should have let go by {style.day(facts['release'].latest)} (holding since "
        f"{style.day(facts['since'])})."
    )
    return f'{text} Look, and say "{label} still holding", "{label} released 20" or "{label} lost them".'


def _collect_fry(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = f"{capital(fish_of(room, task))} let her fry go on {style.day(facts['ended'])}, uncounted: look for them among the stones."
    return f'{text} Then say "{_label(room, task)} released 15".'


def _mother_rest(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = f"{capital(fish_of(room, task))} gave up her brood on {style.day(facts['ended'])} after weeks without food"
    return f"{text}: small meals, and quiet until about {style.day(facts['until'])} (away from the male if he pesters her)."


def _mother_return(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    to = facts["to"]
    text = (
        f"{capital(fish_of(room, task))} has rested since {style.day(facts['ended'])}: back to {to} from about "
        f"{style.day(facts['until'])}, if she is fat again."
    )
    return f'{text} Then say "{_label(room, task)} moved to {to}".'


def _rest_female(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = (
        f"{capital(fish_of(room, task))} has had {facts['broods']} broods {number(facts['interval'], 0)} days apart (usual is "
        f"{number(facts['usual'].likely, 0)})"
    )
    return f"{text}: a rest without the male until about {style.day(facts['until'])} does her good."


def _related_pair(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    females = listed(naming.inside(naming.fish(room, female)) for female in facts["females"])
    text = (
        f"{capital(fish_of(room, task))} is with close kin in {task.place}: {females}. Their young would carry up to "
        f"{facts['inbreeding']:.0%} inbreeding"
    )
    return f'{text}; swap him or part them. "Pairings" shows less related males in the club.'


FISH_LINES: Mapping[str, Line] = {
    "holding_check": _holding_check,
    "prepare_box": _prepare_box,
    "strip": _strip,
    "release_expected": _release_expected,
    "brood_overdue": _brood_overdue,
    "collect_fry": _collect_fry,
    "mother_rest": _mother_rest,
    "mother_return": _mother_return,
    "rest_female": _rest_female,
    "related_pair": _related_pair,
}
