"""A day or a time and nothing else, said by somebody with one reservation to fetch: its pickup, or another pickup that is proposed."""

from __future__ import annotations

import re

from bot.conversation import asking
from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Ask, Events, Item, read
from bot.replies import fetching
from bot.replies.words import MONTHS
from core.fishroom.state import Reservation

_WHEN = (
    r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|today|tomorrow|tonight|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
    r"|\d{1,2}(?:[:.]\d\d)?(?:st|nd|rd|th|am|pm)?|am|pm|at|on|next|this|the|of"
)
_ROUND_IT = (
    r"please|pls|ok|okay|fine|would|be|is|good|great|then|i|ill|i'll|i'd|can|could|come|works?|suits?|for|me|us|morning|afternoon|evening"
    r"|around|about|noon|perhaps|maybe|say|how|what|better|rather|instead|make|we|that|possible"
)
_NAMES_A_TIME = re.compile(r"\b\d{1,2}(?:[:.]\d\d|am|pm)")
_NOT_THEN = re.compile(
    r"(?:sorry |no )*(?:i )?(?:can't|cannot|cant|can not|won't|not)(?: (?:make|come|do|manage))?(?: it)?"
    rf"(?: (?:then|that day|on|this|next|the|{_WHEN}))+(?: after all| anymore)?"
)
_DAY_ALONE = re.compile(rf"(?:(?:{_WHEN}|{_ROUND_IT})\s*)+")
_DOUBTFUL = re.compile(r"\?|\b(?:how|what|possible)\b")
_NAMES_A_DAY = re.compile(r"\b(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*|today|tomorrow|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*)\b")


def day_answer(scene: Scene, heard: Heard) -> list[Reply] | None:
    """A day (and time) and nothing else: that of the pickup, where the writer has one open reservation without a day; else None."""
    said = " ".join(re.sub(r"[,!?]", " ", heard.text.lower().replace("’", "'")).rstrip(" .").split())
    one = _meant(scene)
    if one is None or _waits_for_a_day(scene):
        return None
    if one.pickup is not None and _NOT_THEN.fullmatch(said):
        return [Reply(fetching.another_day(one, scene.style))]
    named = _NAMES_A_DAY.search(said) or (one.pickup is not None and _NAMES_A_TIME.search(said))
    if not named or not _DAY_ALONE.fullmatch(said):
        return None
    day = " ".join(re.findall(rf"\b(?:{_WHEN})(?=\s|$)", said))
    if one.pickup is not None and not _NAMES_A_DAY.search(said):
        day = f"{one.pickup.day} {MONTHS[one.pickup.month - 1]} {day}"
    found = read(
        f"pickup for #{one.number} {day}", now=heard.local, by=scene.person.name, names=scene.names(), context=scene.context()
    )
    match found:
        case Events(items=(Item("pickup_set"),)):
            return record_items(scene, found.items, heard)
        case Ask(about="pickup" | "at"):
            return [asking.ask(scene, found, heard)]
    return None


def _waits_for_a_day(scene: Scene) -> bool:
    """Whether a reservation that is not yet made waits for another day: a day that did not answer that is of no other one."""
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now)
    return draft is not None and draft.about == "pickup"


def only_a_day(said: str) -> bool:
    """Whether the words are a day (and a time), with nothing beside it that makes it doubtful."""
    words = " ".join(re.sub(r"[,!]", " ", said.lower().replace("’", "'")).split())
    return _DAY_ALONE.fullmatch(words) is not None and not _DOUBTFUL.search(words)


def _meant(scene: Scene) -> Reservation | None:
    """The writer's only open reservation without a pickup, or their only open one at all; None where several could be meant."""
    mine = [
        one
        for room in scene.visit.rooms_of_club(scene.club.id)
        for one in room.reservations.values()
        if one.member == scene.person.id and one.open_at(scene.now) and one.left
    ]
    undated = [one for one in mine if one.pickup is None and one.proposed is None]
    for some in (undated, mine):
        if len(some) == 1:
            return some[0]
    return None
