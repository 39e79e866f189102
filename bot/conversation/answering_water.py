"""What a water test means now: said after each test, and when somebody asks."""

from __future__ import annotations

from bot.conversation.scene import Scene
from core.fishroom.state import Fishroom


def water_lines(scene: Scene, room: Fishroom, place: str, *, ask_unit: bool = False) -> list[str]:
    """The verdict on the last test of the place's water; `ask_unit` where the ammonia kit's unit is not known yet."""
    return []
