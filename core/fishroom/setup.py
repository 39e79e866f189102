"""What stands in the fishroom and how the keeper runs it: places, strains, habits, absences, marks on tasks, settings."""

from __future__ import annotations

from dataclasses import replace

from core.events import (
    Away,
    Entry,
    FishroomSetting,
    FreeDays,
    Habit,
    PlaceAdded,
    PlaceRetired,
    StrainAdded,
    TaskDone,
    TaskDropped,
    TaskLater,
)
from core.fishroom.books import check_place, problem
from core.fishroom.state import Absence, Fishroom, FreeTime, HabitSaid, Place, Strain, TaskMark


def place_added(room: Fishroom, event: PlaceAdded, entry: Entry) -> None:
    """A new place, or other particulars of one that stands there; a retired place is in use again."""
    check_place(room, event.hangs_in, entry)
    old = room.places.get(event.place) or Place(event.place, event.type, added=entry.on)
    room.places[event.place] = replace(
        old,
        type=event.type,
        litres=old.litres if event.litres is None else event.litres,
        temp_c=old.temp_c if event.temp_c is None else event.temp_c,
        hangs_in=_not_itself(event) or old.hangs_in,
        hard_to_catch=old.hard_to_catch if event.hard_to_catch is None else event.hard_to_catch,
        loop=old.loop if event.loop is None else event.loop,
        retired=False,
    )


def _not_itself(event: PlaceAdded) -> str | None:
    return None if event.hangs_in == event.place else event.hangs_in


def place_retired(room: Fishroom, event: PlaceRetired, entry: Entry) -> None:
    """The place is no longer used."""
    if event.place in room.places:
        room.places[event.place] = replace(room.places[event.place], retired=True)
    else:
        problem(room, entry, "no_such_place", event.place)


def strain_added(room: Fishroom, event: StrainAdded, entry: Entry) -> None:
    """A strain is kept here; said again, with other particulars."""
    room.strains[event.strain] = Strain(event.strain, event.name, event.species, event.names)


def habit(room: Fishroom, event: Habit, entry: Entry) -> None:
    """A task comes round every so many days (none: no longer)."""
    check_place(room, event.place, entry)
    if event.every_days < 0:
        problem(room, entry, "bad_number", event.task)
        return
    room.habits[event.task, event.place] = HabitSaid(event.task, event.place, event.every_days, entry.on)


def away(room: Fishroom, event: Away, entry: Entry) -> None:
    """The keeper is away; a later word on the same days takes the place of the earlier."""
    if event.to_day < event.from_day:
        problem(room, entry, "bad_number", event.to_day)
        return
    others = [a for a in room.absences if a.to_day < event.from_day or event.to_day < a.from_day]
    room.absences[:] = [*others, Absence(event.from_day, event.to_day, event.sitter)]


def task_done(room: Fishroom, event: TaskDone, entry: Entry) -> None:
    """A care task was done."""
    room.task_marks[event.task] = TaskMark("done", entry.on)


def task_later(room: Fishroom, event: TaskLater, entry: Entry) -> None:
    """A care task is put off."""
    room.task_marks[event.task] = TaskMark("later", entry.on, event.until)


def task_dropped(room: Fishroom, event: TaskDropped, entry: Entry) -> None:
    """A care task is never to be shown again."""
    room.task_marks[event.task] = TaskMark("dropped", entry.on)


def free_days(room: Fishroom, event: FreeDays, entry: Entry) -> None:
    """When the keeper can catch and hand over."""
    room.free = FreeTime(event.weekdays, event.from_time, event.to_time)


def setting(room: Fishroom, event: FishroomSetting, entry: Entry) -> None:
    """A choice of the keeper."""
    room.settings[event.name] = event.value
