"""What is to be done in a fishroom, from its state and the day alone: the care plan.

Every rule is a function that looks at the state and yields tasks, also those that lie ahead; what was said about them (done,
later, never) and the keeper's absences are applied to all of them in one place. Tasks come in walking order: the places as
the keeper added them, each box after the tank it hangs in, a place with something urgent first; within a place the urgent
first, then by day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from core.fishroom.state import Fishroom
from core.planning.absence import around_absences, leaving_tasks, sitter_tasks
from core.planning.care_batches import batch_tasks
from core.planning.care_broods import brood_tasks, mother_tasks
from core.planning.care_look import Look
from core.planning.care_orders import order_tasks
from core.planning.care_pairs import pair_tasks
from core.planning.care_water import water_tasks
from core.planning.tasks import TRAITS, CareTask, Marks, Rule, Urgency, told_at_all

__all__ = ["TRAITS", "CareTask", "Marks", "Rule", "Urgency", "care_plan", "due_tasks", "tasks_between", "walking_order"]

WEEK = timedelta(days=6)


def care_plan(room: Fishroom, day: date, until: date | None = None, extra: Iterable[CareTask] = ()) -> list[CareTask]:
    """Every task that is open on `day` or opens by `until` (left out: within a week), in walking order.

    `extra`: tasks of other planners (the club's), treated like the rules' own.
    """
    last = until or day + WEEK
    look = Look(room, day)
    found = [
        *brood_tasks(look),
        *mother_tasks(look),
        *batch_tasks(look),
        *water_tasks(look),
        *pair_tasks(look),
        *order_tasks(look, last),
        *leaving_tasks(look),
        *extra,
    ]
    planned = look.marks.applied(around_absences(look, found))
    return walking_order(room, [task for task in planned if task.opens <= last and (task.closes is None or task.closes >= day)])


def due_tasks(room: Fishroom, day: date, *, for_sitter: bool = False) -> list[CareTask]:
    """What is to be told on `day`: what is open by then, old things only now and then (`told_at_all`).

    For a sitter only what somebody without cichlids can do.
    """
    if for_sitter:
        look = Look(room, day)
        return walking_order(room, look.marks.applied(sitter_tasks(look)))
    return [task for task in care_plan(room, day, day) if told_at_all(task, day)]


def tasks_between(room: Fishroom, today: date, first: date, last: date) -> list[CareTask]:
    """What is to be done from `first` to `last` (both included), as known today; from today on, with all that is open already."""
    plan = [task for task in care_plan(room, today, last) if task.closes is None or task.closes >= first]
    return plan if first <= today else [task for task in plan if task.opens >= first or task.due >= first]


def walking_order(room: Fishroom, tasks: Sequence[CareTask]) -> list[CareTask]:
    """The tasks as one walks past them with a bucket in hand."""
    presses: dict[str | None, int] = {}
    for task in tasks:
        presses[task.place] = max(presses.get(task.place, 0), task.urgency if task.urgency >= Urgency.SOON else 0)
    stands = {name: index for index, name in enumerate(sorted(room.places, key=lambda name: _stand(room, name)))}

    rules = {rule: index for index, rule in enumerate(TRAITS)}

    def order(task: CareTask) -> tuple[int, int, int, date, int, str]:
        where = stands.get(task.place or "", len(stands))
        return -presses[task.place], where, -task.urgency, task.due, rules[task.rule], task.subject

    return sorted(tasks, key=order)


def _stand(room: Fishroom, name: str) -> tuple[int, int]:
    """Where a place stands: as it was added; a hanging box with its tank."""
    order = list(room.places)
    tank = room.water_of(name)
    return (order.index(tank) if tank in room.places else order.index(name)), (0 if tank == name else 1 + order.index(name))
