"""How the tasks of growing batches are worded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.replies import food as feeding
from bot.replies import naming
from bot.replies.follow import window
from bot.replies.words import Style, by_sex, capital, counted, days_long, listed, number
from core.fishroom.state import Batch, Fishroom
from core.planning.tasks import CareTask

Line = Callable[[Fishroom, CareTask, Style], str]


def _batch(room: Fishroom, task: CareTask) -> Batch:
    return room.batches[task.batch or ""]


def _first_feed(room: Fishroom, task: CareTask, style: Style) -> str:
    facts: Any = task.facts
    label = _batch(room, task).label
    food = f" {capital(feeding.food(facts['ration'].ration, style))}." if facts["ration"] else ""
    if facts["unknown"]:
        text = f"First food for batch {label} once no yolk sac is left: nobody saw her spawn, so only a look tells."
    elif facts["yolk"] is None:
        text = f"First food for batch {label}: their yolk is gone when she lets them go."
    else:
        text = f"First food for batch {label} once no yolk sac is left, {window(facts['yolk'], style)}: look first."
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


BATCH_LINES: Mapping[str, Line] = {
    "first_feed": _first_feed,
    "box_feed": _box_feed,
    "box_water": _box_water,
    "count": _count,
    "measure": _measure,
    "settle_deaths": _settle_deaths,
    "move_up": _move_up,
    "sex": _sex,
    "separate": _separate,
    "hold_back": _hold_back,
    "offer": _offer,
}
