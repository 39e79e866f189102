"""What a water test means now: said after each test, and when somebody asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.conversation.message import Reply
from bot.conversation.scene import Scene
from bot.replies import watering
from core.fishroom.history import newest_first
from core.fishroom.state import Fishroom
from core.planning.water_verdict import water_verdict

ASK_UNIT = "Does your ammonia kit show its value as N or as NH3? (They differ by 22%; the leaflet says.)"


def water_lines(scene: Scene, room: Fishroom, place: str, *, ask_unit: bool = False) -> list[str]:
    """The verdict on the last test of the place's water; `ask_unit` where the ammonia kit's unit is not known yet."""
    found = water_verdict(room, place, scene.today)
    lines = watering.verdict(found, scene.style) if found else []
    return [*lines, ASK_UNIT] if ask_unit else lines


def changed_since(scene: Scene, room: Fishroom, place: str) -> list[str]:
    """The water changes that the last test may not have seen."""
    found = water_verdict(room, place, scene.today)
    if found is None:
        return []
    last = next(newest_first(room.water_changes.get(room.water_of(place), ()), scene.today), None)
    return [watering.changed(last, scene.style)] if last is not None and found.on <= last.on else []


def water_answer(scene: Scene, slots: Mapping[str, Any]) -> list[Reply]:
    """Is the water safe?"""
    room = scene.room
    place = str(slots.get("place") or "")
    lines = [*water_lines(scene, room, place), *changed_since(scene, room, place)] if room else []
    return [Reply("\n".join(lines) or watering.never_tested(place, scene.style))]
