"""What a sitter is told, in words for somebody who keeps no cichlids: look, feed little, leave the rest alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.replies import naming
from bot.replies.words import Style, listed
from core.biology.feeding import PINCH_G
from core.fishroom.state import Fishroom
from core.planning.rations import PlaceRation
from core.planning.tasks import CareTask

WITHIN_C = 2.0
"""So far from the usual temperature a sitter should call (common practice, no source)."""


def sitter_line(room: Fishroom, task: CareTask, style: Style) -> str:
    """The task in plain words."""
    return LINES[task.rule](room, task, style)


def _look(room: Fishroom, task: CareTask, style: Style) -> str:
    usual: Any = task.facts["usual_c"]
    warm = ""
    if usual is not None:
        warm = f" The thermometer should show {style.temperatures(usual - WITHIN_C, usual + WITHIN_C)}."
    boxes: Any = task.facts["boxes"]
    here = f"Look, also into {listed(boxes)}" if boxes else "Look"
    return f"{here}: does the water move, do the fish swim about, does none gasp at the top or lie about?{warm}"


def _feed(room: Fishroom, task: CareTask, style: Style) -> str:
    found: PlaceRation = task.facts["ration"]  # type: ignore[assignment]
    yolk: Any = task.facts["yolk"]
    young = [one for one in found.batches if naming.label(one.batch) not in yolk and one.ration.feeds]
    parts = []
    if young:
        feeds = min(3, max(one.ration.feeds for one in young))
        grams = sum(one.ration.low_g for one in young)
        dust = ", rubbed to dust between your fingers" if any(one.ration.ground for one in young) else ""
        parts.append(f"the young fish {_pinches(grams / feeds)}, {_times(feeds)}{dust}")
    if found.breeders and found.breeders_g[0] > 0:
        parts.append(f"the big fish {_pinches(found.breeders_g[0])}, once")
    if yolk and not parts:
        return "Do not feed here yet: these newborn fish still live on their own yolk."
    if not parts:
        return "No food here today."
    text = f"Feed {'; '.join(parts)}."
    return text + (" The newest fry in here need nothing." if yolk else "")


def _pinches(grams: float) -> str:
    pinches = grams / PINCH_G
    if pinches < 0.4:
        return "a few grains"
    if pinches < 0.8:
        return "half a pinch"
    return "one pinch" if pinches < 1.5 else f"{round(pinches)} pinches"


def _times(feeds: int) -> str:
    return {1: "once a day", 2: "morning and evening"}.get(feeds, f"{feeds} times a day if you can")


def _water(room: Fishroom, task: CareTask, style: Style) -> str:
    return (
        f"Take a fifth of the water out of {task.place} (watch for the tiny fish) and fill up slowly from the prepared canister, "
        "never straight from the tap."
    )


def _leave(room: Fishroom, task: CareTask, style: Style) -> str:
    holding: Any = task.facts["holding"]
    who = listed(naming.inside(naming.fish(room, fish)) for fish in holding)
    text = f"Leave {who} in peace: she carries her young in her mouth and does not eat. That is as it should be."
    if task.facts["soon"]:
        text += " Tiny fish may appear among the stones any day: leave them there and tell the keeper."
    return text


LINES: Mapping[str, Callable[[Fishroom, CareTask, Style], str]] = {
    "sitter_look": _look,
    "sitter_feed": _feed,
    "sitter_water": _water,
    "sitter_leave": _leave,
}
