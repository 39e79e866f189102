"""The demo season: the invented club's conversations, shifted so that the last day is today."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo

from bot.play.player import first_moment
from bot.play.script import Script, Step, local_time, parse

FILE = "season.chat"


def script_text() -> str:
    """The season as it is written."""
    return files("demo_seed").joinpath(FILE).read_text(encoding="utf-8")


def season(now: datetime) -> tuple[Script, datetime]:
    """The season's script with its days shifted so that the last one is today, and the moment (UTC) it begins.

    Messages keep their time of day. The script names days only by how far back they are ("yesterday", "in 4 days"), never by a
    weekday or a date, so that it can be moved by any number of days; its last clock line is the first minute of the day after
    the last message.
    """
    script = parse(script_text())
    begins = first_moment(script)
    zone = ZoneInfo(script.zone)
    local = begins.astimezone(zone).replace(tzinfo=None)
    last = local
    for step in script.steps:
        if step.kind == "clock":
            last = local_time(step, last)
    shift = now.astimezone(zone).date() - last.date()
    script.steps = [shifted(step, shift) for step in script.steps]
    return script, (local + shift).replace(tzinfo=zone).astimezone(begins.tzinfo)


def shifted(step: Step, shift: timedelta) -> Step:
    """The step with an absolute day moved."""
    return replace(step, moment=step.moment + shift) if step.moment is not None else step
