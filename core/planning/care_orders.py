"""What the order book asks of the keeper, as tasks: answers buyers wait for, catching, fasting, bagging, and pickups that
passed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time

from core.planning.care_look import Look
from core.planning.pickup_tasks import PickupTask, bag_task, catch_task, of_fish, pickup_tasks
from core.planning.pickups import agreed, catch_plan
from core.planning.tasks import CareTask, Urgency, days

ASKED_FOR = days(14)
"""A pickup that passed without a word is asked about for so long."""


def order_tasks(look: Look, until: date) -> Iterator[CareTask]:
    """Everything that is asked for today, and what is planned up to a day. Facts: pickup (the `PickupTask`); hold_until."""
    moment = datetime.combine(look.day, time(), UTC)
    for task in pickup_tasks(look.room, look.day, moment):
        yield _as_care(look, task)
    for task in _ahead(look, until, moment):
        yield _as_care(look, task)
    for reservation in look.room.reservations.values():
        if reservation.status == "unconfirmed" and reservation.open_at(moment):
            yield look.task(
                "confirm",
                str(reservation.number),
                look.day,
                look.day,
                urgency=Urgency.SOON,
                batch=reservation.batch,
                reservation=reservation.number,
                hold_until=reservation.hold_until,
                count=reservation.left,
                member=reservation.member,
            )


def _ahead(look: Look, until: date, moment: datetime) -> Iterator[PickupTask]:
    """Planned from today on: catches, fasting and bagging of later days."""
    plan = catch_plan(look.room, look.day, moment)
    tomorrow = look.day + days(1)
    yield from (catch_task(look.room, plan, catch, moment) for catch in plan.days if tomorrow <= catch.day <= until)
    yield from (bag_task(look.room, pickup, moment) for pickup in of_fish(look.room, agreed(look.room, moment, tomorrow, until)))
    for ahead in range(1, (until - look.day).days + 1):
        planned = pickup_tasks(look.room, look.day + days(ahead), moment)
        yield from (task for task in planned if task.rule == "stop_feeding")


def _as_care(look: Look, task: PickupTask) -> CareTask:
    """The same key as the planner of pickups gives it."""
    _, subject, cycle = task.key.split(":", 2)
    first = task.reservations[0] if task.reservations else None
    waits = task.rule in ("missed", "answer_proposal") or task.impossible is not None
    opens = max(look.day, task.day + days(1)) if task.rule == "missed" else look.day if waits else task.day
    return look.task(
        task.rule,
        subject,
        opens,
        opens,
        task.day + ASKED_FOR if task.rule == "missed" else None if waits else task.day,
        cycle=cycle,
        place=task.place,
        urgency=Urgency.SOON,
        batch=task.batches[0][0] if task.batches else first.batch if first else None,
        reservation=first.number if first else None,
        pickup=task,
    )
