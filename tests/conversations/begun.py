"""A club after what a script tells."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from bot.play.player import play
from bot.play.script import parse
from bot.play.stage import PlainStage
from core.store import Store


def stage_after(script: str, folder: Path, now: datetime) -> PlainStage:
    """The stage in a database of its own, once everything in the script was said."""
    read = parse(script)
    found = PlainStage(Store.open(f"sqlite:///{folder / 'club.sqlite'}"), read, now)
    for _ in play(read, found, now):
        pass
    return found
