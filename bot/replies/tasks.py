"""How each care task is worded: what to do, why now, and (in quotation marks) what to say when it is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from bot.replies import fetching, naming
from bot.replies.batch_tasks import BATCH_LINES
from bot.replies.fish_tasks import FISH_LINES, fish_of
from bot.replies.watering import HELPS
from bot.replies.words import Style, capital, days_long, listed, number, of_sex
from core.biology.water import Finding, Parameter, Urgency
from core.fishroom.state import Absence, Fishroom
from core.planning.tasks import CareTask

Names = Mapping[str, str]
Line = Callable[[Fishroom, CareTask, Style], str]
NAMES_OF: Mapping[Parameter, str] = {Parameter.AMMONIA: "ammonia", Parameter.PH: "pH", Parameter.OXYGEN: "oxygen"}


def task_line(room: Fishroom, task: CareTask, style: Style, names: Names | None = None) -> str:
    """The task in a sentence or two."""
    pickup = task.facts.get("pickup")
    if pickup is not None:
        return fetching.task(pickup, style, room, names or {})  # type: ignore[arg-type]
    if task.rule == "confirm":
        return _confirm(task, style, names or {})
    if task.rule == "before_away":
        return _before_away(room, task, style, names or {})
    line = LINES[task.rule](room, task, style)
    moved = task.facts.get("moved_from")
    if isinstance(moved, date) and task.due < moved:
        return f"{line} (You are away on {style.day(moved)}, so do it before.)"
    return line


def short_line(room: Fishroom, task: CareTask, style: Style) -> str:
    """The task in a few words, for the mornings on which it is only still open: "Count batch E (open since Fri 4 Dec)."."""
    what = SHORT.get(task.rule, task.rule.replace("_", " "))
    about = fish_of(room, task) if task.fish else f"batch {naming.label(task.batch)}" if task.batch else task.place or ""
    return f"{capital(what.format(about))} (open since {style.day(task.opens)})."


SHORT: Mapping[str, str] = {
    "holding_check": "look whether {} still holds",
    "prepare_box": "a box for the fry of {}",
    "strip": "strip {}",
    "release_expected": "hiding places for the fry of {}",
    "brood_overdue": "look whether {} still holds",
    "collect_fry": "fry of {} to count",
    "mother_rest": "rest for {}",
    "mother_return": "{} back to the others",
    "first_feed": "first food for {}",
    "count": "count {}",
    "settle_deaths": "count, to settle the deaths",
    "move_up": "move {} up",
    "measure": "measure {}",
    "sex": "sex {}",
    "separate": "separate males and females of {}",
    "hold_back": "choose keepers from {}",
    "offer": "offer {}",
    "water_test": "test the water of {}",
    "water_change": "change water in {}",
    "retest": "test {} again",
    "rest_female": "a rest for {}",
    "related_pair": "part {} from close kin",
    "missed": "a pickup that passed",
    "before_away": "prepare for being away",
}
"""How a task is named in passing; `{}` is who it is about."""


ALSO: Mapping[str, str] = {
    "box_feed": "food for {}",
    "box_water": "water of {}",
    "sitter_look": "a look at {}",
    "sitter_feed": "food in {}",
    "sitter_water": "water of {}",
    "sitter_leave": "peace for those in {}",
}
HELD = ' How is she? "{0} still holding", "{0} released 20" or "{0} lost them".'
TELL: Mapping[str, str] = {
    "holding_check": ' And? "{0} still holding" or "{0} lost them".',
    "strip": ' If fry came of it, tell me: "stripped {0}: 20 fry".',
    "release_expected": ' Once they are out, tell me: "{0} released 20".',
    "brood_overdue": HELD,
    "collect_fry": ' How many were there? "{0} released 15".',
    "mother_return": ' Where is she now? "{0} moved to tank 2".',
    "count": ' How many were there? "counted {0} 20".',
    "measure": ' How long were they? "measured {0} 24 mm".',
    "move_up": ' Where are they now? "{0} moved to tub".',
    "sex": ' What did you see? "sexed {0}: 6 males 9 females".',
    "separate": ' Where are they now? "males of {0} moved to tank 2".',
    "hold_back": ' How many stay? "hold back 4 of {0}".',
    "offer": ' For how much? "offer {0} at 5".',
    "water_test": ' What did it show? "{0} ph 8 ammonia 0 nitrite 0".',
    "retest": ' What did it show? "{0} ph 8 ammonia 0 nitrite 0".',
    "missed": ' Which was it? "#{0} collected" or "#{0} no show".',
    "bag": ' Once they are gone, tell me: "#{0} collected".',
}
"""What the book still lacks when only "done" was said; `{0}` is the label, the place or the reservation."""
ABOUT_RESERVATION = ("missed", "bag")


def done_line(room: Fishroom, key: str) -> str:
    """A task that was said to be done, by its key."""
    rule, what, label = _spoken(room, key)
    return f"Done{f': {what}' if what else ''}.{TELL.get(rule, '').format(label) if label else ''}"


def named_by(room: Fishroom, key: str) -> str:
    """ ": measure batch A", of a task's key; empty where a task has no short name."""
    _, what, _ = _spoken(room, key)
    return f": {what}" if what else ""


def _spoken(room: Fishroom, key: str) -> tuple[str, str, str]:
    """Rule, short words, and the label of whom a key is about."""
    rule, _, rest = key.partition("/")[2].partition(":")
    subject = rest.rpartition(":")[0]
    brood = room.broods.get(subject)
    fish, batch = room.fish.get(brood.female if brood else subject), room.batches.get(subject)
    about = naming.fish_name(fish) if fish else f"batch {batch.label}" if batch else subject
    form = {**SHORT, **ALSO}.get(rule, "")
    known = bool(fish or batch or subject in room.places or "{}" not in form)
    named = subject in room.places or (rule in ABOUT_RESERVATION and subject.isdigit())
    label = fish.label if fish else batch.label if batch else subject if named else ""
    return rule, form.format(naming.inside(about)) if known else "", label


def _habit(verb: str, say: str) -> Line:
    def line(room: Fishroom, task: CareTask, style: Style) -> str:
        facts: Any = task.facts
        last = f"last {style.day(facts['last'])}, " if facts["last"] else ""
        change = "" if facts["said"] else f', unless you say "{say} {task.place} every 14 days"'
        return f"{verb} {task.place} ({last}every {days_long(facts['every'])}{change})."

    return line


def _retest(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    verdict = facts["verdict"]
    bad = [one for one in verdict.assessment.findings if one.urgency is not Urgency.FINE]
    helps = list(dict.fromkeys(HELPS[step] for one in bad for step in one.advice if "RETEST" not in step.name))
    text = f"Test {verdict.place} again: on {style.day(verdict.on)} {listed(_value(one, style) for one in bad)}."
    return text + (f" Until it is good: {'; '.join(helps)}." if helps else "")


def _value(one: Finding, style: Style) -> str:
    match one.parameter:
        case Parameter.TEMPERATURE:
            return f"it had {style.temperature(one.value)}"
        case Parameter.PH:
            return f"the pH was {number(one.value, 2)}"
        case Parameter.AMMONIA:
            return f"un-ionised ammonia was {number(one.value, 3)} mg/L"
        case _:
            return f"{NAMES_OF.get(one.parameter, one.parameter.value)} was {number(one.value, 2)} mg/L"


def _confirm(task: CareTask, style: Style, names: Names) -> str:
    facts: Any = task.facts
    who = names.get(facts["member"], "A buyer")
    return (
        f"{who} waits for your word on #{task.reservation}: {of_sex(facts['count'], None)} of batch "
        f'{naming.label(task.batch or "")}. Say "confirm {task.reservation}" or "decline {task.reservation}".'
    )


def _before_away(room: Fishroom, task: CareTask, style: Style, names: Names) -> str:
    facts: Any = task.facts
    away: Absence = facts["away"]
    parts = [f"Before you leave ({style.days(away.from_day, away.to_day)}): top up, change water, portion the food"]
    if facts["holding"]:
        due = listed(naming.inside(naming.fish(room, fish)) for fish in facts["holding"])
        parts.append(f"{due} may be due meanwhile, so give each a safe place or strip in time")
    if facts["pickups"]:
        parts.append(
            f"pickup {listed(f'#{number_}' for number_ in facts['pickups'])} falls into it: move it, or say who hands over"
        )
    sitter = names.get(away.sitter or "", "your sitter") if away.sitter else None
    parts.append(f"{sitter} gets the daily list" if sitter else "nobody is named to look after them")
    return "; ".join(parts) + "."


LINES: Mapping[str, Line] = {
    **FISH_LINES,
    **BATCH_LINES,
    "water_test": _habit("Test the water of", "test"),
    "water_change": _habit("Change water in", "change water in"),
    "retest": _retest,
}
"""How the rules are worded whose tasks come from state alone."""
