"""How each care task is worded: what to do, why now, and (in quotation marks) what to say when it is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from bot.replies import fetching, naming
from bot.replies import food as feeding
from bot.replies.follow import SAYS, window
from bot.replies.watering import HELPS
from bot.replies.words import Style, by_sex, capital, counted, days_long, listed, number, of_sex
from core.biology.water import Finding, Parameter, Urgency
from core.fishroom.state import Absence, Batch, Fishroom
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
    """The task in a few words, for the mornings on which it is only still open."""
    what = SHORT.get(task.rule, task.rule.replace("_", " "))
    about = _fish(room, task) if task.fish else f"batch {naming.label(task.batch)}" if task.batch else task.place or ""
    said = what.format(naming.inside(about))
    return f"Still open since {style.day(task.opens)}: {said}{'' if said.endswith('?') else '.'}"


SHORT: Mapping[str, str] = {
    "holding_check": "look whether {} still holds",
    "prepare_box": "a box for the fry of {}",
    "strip": "strip {}",
    "release_expected": "{} may let her fry go",
    "brood_overdue": "does {} still hold?",
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
    "related_pair": "{} is with close kin",
    "missed": "a pickup of {} that passed",
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
TELL: Mapping[str, str] = {
    "strip": ' If fry came of it, tell me: "stripped {}: 20 fry".',
    "count": ' How many were it? "counted {} 20".',
    "measure": ' How long were they? "measured {} 24 mm".',
    "sex": ' What did you see? "sexed {}: 6 males 9 females".',
}
"""What the book still lacks when only "done" was said; `{}` is the label."""


def done_line(room: Fishroom, key: str) -> str:
    """A task that was said to be done, by its key."""
    rule, what, label = _spoken(room, key)
    return f"Done{f': {what}' if what else ''}.{TELL.get(rule, '').format(label)}"


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
    label = fish.label if fish else batch.label if batch else ""
    return rule, form.format(naming.inside(about)).rstrip("?") if known else "", label


def _fish(room: Fishroom, task: CareTask) -> str:
    return naming.fish(room, task.fish) if task.fish else "she"


def _label(room: Fishroom, task: CareTask) -> str:
    found = room.fish.get(task.fish or "")
    return found.label if found else "4"


def _batch(room: Fishroom, task: CareTask) -> Batch:
    return room.batches[task.batch or ""]


def _day_on(task: CareTask, since: date, style: Style) -> int:
    """Which day since then it is when the task is to be done."""
    return (max(style.today, task.opens) - since).days


# --- broods ----------------------------------------------------------------------------------------------------------


def _holding_check(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    since, last = facts["since"], facts["last"]
    seen = f", last seen {style.day(last)}" if last != since else ""
    text = f"Look whether {_fish(room, task)} still holds (since {style.day(since)}, day {_day_on(task, since, style)}{seen})."
    bulge = facts["bulge"]
    if bulge is not None and bulge.likely is not None and style.today < bulge.likely:
        text += f" The bulge shows from about {style.day(bulge.likely)}."
    if facts["out_of_range"] is not None:
        text += " The water is outside what I can reckon with, so only a look tells how far she is."
    return f'{text} Then say "{_label(room, task)} still holding".'


def _prepare_box(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    box = facts["box"] or "a nursery box (none of yours is free)"
    return f"Strip window of {_fish(room, task)} from {style.near(facts['strip_opens'])}: get {box} ready, with the same water."


def _strip(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    opens, closes, since, warmth = facts["strip_opens"], facts["strip_closes"], facts["since"], facts["warmth"]
    day = f"day {_day_on(task, since, style)}, at {style.temperature(warmth.mean_c)}, {SAYS[warmth.basis]}"
    last = ", today at the latest" if style.today >= closes else " if you mean to"
    text = f"Strip {_fish(room, task)}{last}: window {style.days(opens, closes)} ({day})."
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
        f"{_fish(room, task)} lets her fry go {window(facts['release'], style)}: hiding places or a box of her own "
        "save more of them."
    )
    return f'{text} Then say "{_label(room, task)} released 20".'


def _brood_overdue(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label = _label(room, task)
    text = (
        f"{_fish(room, task)} should have let go by {style.day(facts['release'].latest)} (holding since "
        f"{style.day(facts['since'])})."
    )
    return f'{text} Look, and say "{label} still holding", "{label} released 20" or "{label} lost them".'


def _collect_fry(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = f"{_fish(room, task)} let her fry go on {style.day(facts['ended'])}, uncounted: look for them among the stones."
    return f'{text} Then say "{_label(room, task)} released 15".'


def _mother_rest(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = f"{_fish(room, task)} gave up her brood on {style.day(facts['ended'])} after weeks without food"
    return f"{text}: small meals, and quiet until about {style.day(facts['until'])} (away from the male if he pesters her)."


def _mother_return(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    to = facts["to"]
    text = (
        f"{_fish(room, task)} has rested since {style.day(facts['ended'])}: back to {to} from about "
        f"{style.day(facts['until'])}, if she is fat again."
    )
    return f'{text} Then say "{_label(room, task)} moved to {to}".'


# --- batches ---------------------------------------------------------------------------------------------------------


def _first_feed(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label = _batch(room, task).label
    food = f" {capital(feeding.food(facts['ration'].ration, style))}." if facts["ration"] else ""
    if facts["unknown"]:
        text = f"First food for batch {label} once no yolk sac is left: nobody saw her spawn, so only a look tells."
    elif facts["yolk"] is None:
        text = f"First food for batch {label}: their yolk is gone when she lets them go."
    else:
        text = f"First food for batch {label}, once no yolk sac is left (reckoned {window(facts['yolk'], style)}; look first)."
    return f'{text}{food} Then say "fed {label}".'


def _box_feed(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    found = facts["ration"].ration
    if not found.feeds:
        return f"No food for batch {_batch(room, task).label}: the water is too cold."
    return f"This week's food for batch {_batch(room, task).label}: {feeding.food(found, style)}."


def _box_water(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    low, high = facts["share"]
    return (
        f"Change {low:.0%} to {high:.0%} of the water in {task.place} every day this week (dechlorinated, same temperature; "
        "mind the fry in the siphon)."
    )


def _count(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label = _batch(room, task).label
    return (
        f"Count batch {label} (last {style.day(facts['last'])}, every {days_long(facts['every'])}). Then say "
        f'"counted {label} {_batch(room, task).count}".'
    )


def _measure(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label, size = _batch(room, task).label, facts["fish_mm"]
    likely = f"{number(size.likely / 25.4, 1)} in" if style.units == "us" else f"{number(size.likely, 0)} mm"
    text = f"Measure five or more of batch {label}, netted blindly (I expect {style.lengths(size.low, size.high)})."
    return f'{text} Then say "measured {label} {likely}" with each length.'


def _settle_deaths(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    labels = [naming.label(batch) for batch in facts["batches"]]
    text = (
        f"Count batch {listed(labels, 'or')}: {counted(facts['count'], 'death')} in {task.place} still "
        f"belong{'s' if facts['count'] == 1 else ''} to nobody"
    )
    return f'{text}, and until then I promise fewer of each. Then say "counted {labels[0]} 20".'


def _move_up(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    batch, size = _batch(room, task), facts["fish_mm"]
    if facts["most"] is not None:
        text = (
            f"{capital(task.place or 'the box')} is crowded: {batch.count} of batch {batch.label} where about "
            f"{facts['most']} do well. Move some up."
        )
    else:
        text = (
            f"Batch {batch.label} outgrows {task.place}: {style.lengths(size.low, size.high)}, and half are "
            f"{style.length(facts['ready'].mm)}. Move them up."
        )
    return f'{text} Then say "{batch.label} moved to tub".'


def _sex(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    batch, ready = _batch(room, task), facts["ready"]
    text = f"Sex batch {batch.label} ({facts['unsexed']} unsexed): half should be {style.length(ready.mm)} by now."
    return f'{text} Then say "sexed {batch.label}: 8 males, 12 females".'


def _separate(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    batch = _batch(room, task)
    text = (
        f"Separate batch {batch.label} ({by_sex(facts['males'], facts['females'], 0)}): brothers and sisters can "
        f"breed from {style.length(facts['mm'])} on."
    )
    return f'{text} Then say "males of {batch.label} moved to tank 2".'


def _hold_back(room: Fishroom, task: CareTask, style: Style) -> str:
    batch = _batch(room, task)
    text = f"Choose keepers from batch {batch.label} before it is offered: the best grown, best coloured, without faults."
    return f'{text} Then say "hold back 4 of {batch.label}".'


def _offer(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    batch, ready = _batch(room, task), facts["ready"]
    text = (
        f"Batch {batch.label} is ready to be offered: half are {style.length(ready.mm)} since about "
        f"{style.day(ready.half.likely)}, {facts['count']} in it."
    )
    return f'{text} Then say "offer {batch.label} at 5".'


# --- water -----------------------------------------------------------------------------------------------------------


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


# --- breeders, orders, absence ---------------------------------------------------------------------------------------


def _rest_female(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    text = (
        f"{_fish(room, task)} has had {facts['broods']} broods {number(facts['interval'], 0)} days apart (usual is "
        f"{number(facts['usual'].likely, 0)})"
    )
    return f"{text}: a rest without the male until about {style.day(facts['until'])} does her good."


def _related_pair(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    females = listed(naming.fish(room, female) for female in facts["females"])
    text = (
        f"{_fish(room, task)} is with close kin in {task.place}: {females}. Their young would carry up to "
        f"{facts['inbreeding']:.0%} inbreeding"
    )
    return f'{text}; swap him or part them. "Pairings" shows less related males in the club.'


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
        parts.append(
            f"{listed(naming.fish(room, fish) for fish in facts['holding'])} may be due meanwhile, so give each a safe place or strip in time"
        )
    if facts["pickups"]:
        parts.append(
            f"pickup {listed(f'#{number_}' for number_ in facts['pickups'])} falls into it: move it, or say who hands over"
        )
    sitter = names.get(away.sitter or "", "your sitter") if away.sitter else None
    parts.append(f"{sitter} gets the daily list" if sitter else "nobody is named to look after them")
    return "; ".join(parts) + "."


LINES: Mapping[str, Line] = {
    "holding_check": _holding_check,
    "prepare_box": _prepare_box,
    "strip": _strip,
    "release_expected": _release_expected,
    "brood_overdue": _brood_overdue,
    "collect_fry": _collect_fry,
    "mother_rest": _mother_rest,
    "mother_return": _mother_return,
    "first_feed": _first_feed,
    "box_feed": _box_feed,
    "box_water": _box_water,
    "count": _count,
    "settle_deaths": _settle_deaths,
    "move_up": _move_up,
    "measure": _measure,
    "sex": _sex,
    "separate": _separate,
    "hold_back": _hold_back,
    "offer": _offer,
    "water_test": _habit("Test the water of", "test"),
    "water_change": _habit("Change water in", "change water in"),
    "retest": _retest,
    "rest_female": _rest_female,
    "related_pair": _related_pair,
}
"""How the rules are worded whose tasks come from state alone."""
