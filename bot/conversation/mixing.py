"""Batches of a strain that meet in one place: the question is asked once, and answered in a few words as well as by its buttons."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

from bot.conversation.scene import Scene
from bot.reading import Item
from core.fishroom.names import find_batch

ASKED_FOR = timedelta(hours=12)
LONGEST = 60
"""Characters of an answer; what is longer tells more than one thing."""
_WHO = r"(?:(?:yes|no|well|oh|i|we|you|they|theyre|these|those|its|it|are|is|all|both|fish|the|two|batches|now|still|really|easily) )*"
_APARTNESS = (
    r"(?: (?:them|these|those|the two|both|which|who|apart|from|each|other|one|another|is|easily|by|sizes?|fins|colou?r|now|any ?more|all|of))*"
)
_APART = re.compile(
    rf"{_WHO}can (?:\w+ )?(?:tell|be told){_APARTNESS}|{_WHO}(?:told |kept |keep them )?apart|{_WHO}not mixed(?: now| yet)?"
    rf"|{_WHO}easy to tell{_APARTNESS}|{_WHO}separate"
)
_MIXED = re.compile(
    rf"{_WHO}mixed(?: up| together)?(?: now)?|{_WHO}one (?:lot|stock|batch) now|{_WHO}(?:cant|cannot|can not) (?:\w+ )?(?:tell|be told){_APARTNESS}"
    rf"|(?:no idea|no way to tell){_APARTNESS}"
)
"""All that is said: "can't tell if f1 is holding" and "mixed the salt" answer nothing."""


def ask_once(scene: Scene, labels: Sequence[str], place: str) -> None:
    """Remember what was asked, so that "mixed now" answers it."""
    scene.remember(mixing={"room": scene.room_id, "batches": list(labels), "place": place}, mixing_at=scene.now.isoformat())


def answered(scene: Scene, text: str) -> Item | None:
    """What the text tells where it answers the question that was asked last; the scene goes into its fishroom. Else None."""
    asked = scene.memory.get("mixing")
    said = " ".join(re.sub(r"[^\w\s]", " ", text.lower().replace("'", "").replace("’", "")).split())
    if not asked or len(said) > LONGEST or not scene.fresh("mixing_at", ASKED_FOR):
        return None
    kind = "told_apart" if _APART.fullmatch(said) else "mixed" if _MIXED.fullmatch(said) else None
    room = scene.visit.room(asked["room"])
    found = [find_batch(room, label) for label in asked["batches"]]
    if kind is None or None in found or len({batch.id for batch in found if batch}) < len(found):
        return None
    scene.room_id = asked["room"]
    scene.remember(mixing=None)
    return Item(kind, {"batches": asked["batches"], "place": asked["place"]})
