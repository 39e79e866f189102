"""What planning says ahead, in the board's words."""

from __future__ import annotations

from collections.abc import Mapping

from bot.page.board import DueRow, Facts, Told
from bot.page.shelf_rows import size, window
from bot.replies.digest import by_day
from bot.replies.tasks import task_line
from bot.replies.words import Style, capital
from core.fishroom.state import Batch, Brood, Fishroom
from core.planning.care import WEEK, Urgency, tasks_between
from core.planning.outlook import batch_outlook, brood_outlook


def told_of(room: Fishroom, style: Style, names: Mapping[str, str]) -> Told:
    """Strip days, sizes and due tasks of one fishroom."""
    strips = {female: _strip(room, room.broods[brood], style) for female, brood in room.holding.items()}
    return Told(due_of(room, style, names), strips, {batch.id: _ahead(room, batch, style) for batch in room.live_batches()})


def due_of(room: Fishroom, style: Style, names: Mapping[str, str]) -> tuple[DueRow, ...]:
    """What is to be done in the coming week, day by day; what is open already stands under today."""
    found = by_day(tasks_between(room, style.today, style.today, style.today + WEEK), style.today)
    return tuple(
        DueRow(
            style.near(max(task.opens, style.today)).partition(",")[0],
            capital(task.place or ""),
            task_line(room, task, style, names),
            task.urgency is Urgency.NOW,
        )
        for task in found
    )


def _strip(room: Fishroom, brood: Brood, style: Style) -> str:
    found = brood_outlook(room, brood, style.today)
    if found is None or found.strip_opens is None or found.strip_closes is None:
        return "cannot be said"
    if found.strip_opens <= style.today <= found.strip_closes:
        return f"now, until {style.near(found.strip_closes)}"
    if found.strip_closes < style.today:
        return f"over since {style.day(found.strip_closes)}"
    return style.days(found.strip_opens, found.strip_closes)


def _ahead(room: Fishroom, batch: Batch, style: Style) -> Facts:
    found = batch_outlook(room, batch, style.today)
    saleable = found.ready["saleable"]
    when = "half or more now" if saleable.share_now >= 0.5 else f"half {window(saleable.half, style)}"
    return ("Size", size(found.fish_mm, style)), ("Saleable", when)
