"""What planning says ahead, in the board's words."""

from __future__ import annotations

from datetime import datetime

from bot.page.board import Told
from bot.replies.words import Style
from core.club import Visit
from core.fishroom.state import Fishroom


def told_of(visit: Visit, room: Fishroom, club: str, style: Style, moment: datetime) -> Told:
    """Due tasks, strip days and sizes of one fishroom."""
    return Told()
