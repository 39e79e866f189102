"""Water, feeding, notes, and what runs a fishroom (habits, absences, task marks, free days, prices) become events."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import time, timedelta
from decimal import Decimal
from typing import Any

from bot.conversation.here import Here, NotClearError, Unclear, day_of
from core import events as e
from core.fishroom.choices import kit_unit
from core.planning.tasks import room_of_key

Slots = Mapping[str, Any]


def water_tested(here: Here, slots: Slots) -> None:
    """Readings of a place, with the unit of the ammonia kit."""
    unit = kit_unit(here.room)
    readings = {
        name: slots.get(name) for name in ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")
    }
    here.propose(
        e.WaterTested(slots["place"], **readings, kit_unit=unit if readings["tan_mg_l"] is not None else None), slots
    )


def water_changed(here: Here, slots: Slots) -> None:
    """Part of the water replaced."""
    here.propose(e.WaterChanged(slots["place"], slots.get("percent"), slots.get("litres")), slots)


def fed(here: Here, slots: Slots) -> None:
    """A feeding."""
    here.propose(e.Fed(slots.get("place"), here.batch_of(slots), slots.get("grams")), slots)


def noted(here: Here, slots: Slots) -> None:
    """A note; its words stand aside."""
    if not str(slots["text"]).strip():
        raise NotClearError(Unclear("text", "missing"))
    here.propose(e.Noted(here.keep_text(slots["text"]), here.fish_of(slots), here.batch_of(slots), slots.get("place")), slots)


def habit(here: Here, slots: Slots) -> None:
    """Every so many days."""
    here.propose(e.Habit(slots["task"], slots["every_days"], slots.get("place")), slots)


def away(here: Here, slots: Slots) -> None:
    """Away from a day to a day, with a sitter or without."""
    sitter = here.visit.member_named(here.club_id, slots["sitter"]) if slots.get("sitter") else None
    first, last = day_of(slots["from"]), day_of(slots["to"])
    if first is None or last is None or last < first:
        raise NotClearError(Unclear("to", "backwards"))
    here.propose(e.Away(first, last, sitter), slots)


def task_key(here: Here, slots: Slots) -> str:
    """The key of the task with that number in the last digest shown; the scene goes into its fishroom."""
    number = int(slots["number"])
    if not 1 <= number <= len(here.tasks):
        raise NotClearError(Unclear("number", "unknown", str(number)))
    key = here.tasks[number - 1]
    here.in_room(room_of_key(key))
    return key


def task_done(here: Here, slots: Slots) -> None:
    """A numbered task of the digest was done."""
    here.propose(e.TaskDone(task_key(here, slots)), slots)


def task_later(here: Here, slots: Slots) -> None:
    """Put off, until the day said, else until tomorrow."""
    until = day_of(slots.get("until")) or here.today + timedelta(days=1)
    here.propose(e.TaskLater(task_key(here, slots), until), slots)


def task_dropped(here: Here, slots: Slots) -> None:
    """Never for this one."""
    here.propose(e.TaskDropped(task_key(here, slots)), slots)


WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def free_days(here: Here, slots: Slots) -> None:
    """The weekdays (and hours) when the keeper can catch and hand over."""
    days = tuple(sorted({_weekday(day) for day in slots["weekdays"]}))
    hours = [time.fromisoformat(part) for part in str(slots["hours"]).split("-")] if slots.get("hours") else [None, None]
    here.propose(e.FreeDays(days, hours[0], hours[-1]), slots)


def _weekday(day: object) -> int:
    return day if isinstance(day, int) else WEEKDAYS.index(str(day)[:3].lower())


def price(here: Here, slots: Slots) -> None:
    """A price each."""
    here.propose(e.Priced(Decimal(slots["price"]), here.batch_of(slots), slots.get("strain"), slots.get("sex")), slots)


RUNNING: Mapping[str, Callable[[Here, Slots], None]] = {
    function.__name__: function
    for function in (
        water_tested,
        water_changed,
        fed,
        noted,
        habit,
        away,
        task_done,
        task_later,
        task_dropped,
        free_days,
        price,
    )
}
