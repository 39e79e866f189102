"""A day and nothing else, said by somebody with one reservation that has no pickup yet: that is the pickup's day."""

from __future__ import annotations

import re

from bot.conversation import asking
from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Ask, Events, Item, read

_WHEN = (
    r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|today|tomorrow|tonight|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
    r"|\d{1,2}(?:[:.]\d\d)?(?:st|nd|rd|th|am|pm)?|am|pm|at|on|next|this|the|of"
)
_ROUND_IT = (
    r"please|pls|ok|okay|fine|would|be|is|good|great|then|i|ill|i'll|i'd|can|could|come|works?|suits?|for|me|us|morning|afternoon|evening"
    r"|around|about|noon|perhaps|maybe|say|how|what"
)
_DAY_ALONE = re.compile(rf"(?:(?:{_WHEN}|{_ROUND_IT})\s*)+")
_NAMES_A_DAY = re.compile(r"\b(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|today|tomorrow|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*)\b")


def day_answer(scene: Scene, heard: Heard) -> list[Reply] | None:
    """A day (and time) and nothing else: that of the pickup, where the writer has one open reservation without a day; else None."""
    said = " ".join(re.sub(r"[,!?]", " ", heard.text.lower().replace("’", "'")).rstrip(" .").split())
    if not _DAY_ALONE.fullmatch(said) or not _NAMES_A_DAY.search(said):
        return None
    undated = _undated(scene)
    if len(undated) != 1:
        return None
    day = " ".join(re.findall(rf"\b(?:{_WHEN})(?=\s|$)", said))
    found = read(
        f"pickup for #{undated[0]} {day}", now=heard.local, by=scene.person.name, names=scene.names(), context=scene.context()
    )
    match found:
        case Events(items=(Item("pickup_set"),)):
            return record_items(scene, found.items, heard)
        case Ask(about="pickup" | "at"):
            return [asking.ask(scene, found, heard)]
    return None


def _undated(scene: Scene) -> list[int]:
    """The writer's own open reservations for which no pickup is set or proposed."""
    return [
        one.number
        for room in scene.visit.rooms_of_club(scene.club.id)
        for one in room.reservations.values()
        if one.member == scene.person.id and one.open_at(scene.now) and one.left and one.pickup is None and one.proposed is None
    ]
