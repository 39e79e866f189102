"""What batches ask for: first food, box feeds and water, counts, sizes, moving up, sexing, keepers, the offer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any, Literal

from core.biology.stocking import NURSERY_DAILY_CHANGE, nursery_fry
from core.fishroom.broods import DAYS_A_MONTH
from core.fishroom.state import Batch
from core.planning.batch_outlook import ready_days
from core.planning.care_look import Look
from core.planning.rations import batch_ration
from core.planning.tasks import CareTask, Urgency, days
from core.planning.yolk import yolk_gone

MEASURE_EVERY = 30
"""Days between measurements where the keeper set none (common practice, no source)."""
COUNT_EVERY = 30
COUNT_IN_BOX_EVERY = 14
"""Days between counts where the keeper set none: fry in a box can be counted easily (common practice, no source)."""
SEX_AGAIN_EVERY = 30
FEED_LATE = days(10)
CROWDED_FROM = days(14)
"""New fry may be crowded for so long."""
WORTH_CHOOSING = 4
"""Of fewer fish nobody chooses."""


def batch_tasks(look: Look) -> Iterator[CareTask]:
    """Tasks of every live batch, and the deaths that nobody could assign."""
    for batch in look.room.live_batches():
        first = list(_first_food(look, batch))
        yield from first
        yield from _box(look, batch, hungry=not any(task.closes is None or task.closes >= look.day for task in first))
        yield from _count(look, batch)
        yield from _measure(look, batch)
        yield from _sex(look, batch)
        yield from _separate(look, batch)
        yield from _ready(look, batch)
    yield from _deaths(look)


def _first_food(look: Look, batch: Batch) -> Iterator[CareTask]:
    """Not before the yolk is likely gone. Facts: yolk (None: gone, or unknown), unknown, ration."""
    brood = look.room.broods.get(batch.brood) if batch.brood else None
    if brood is None or brood.ended is None or look.day - brood.ended > days(40):
        return
    yolk = yolk_gone(look.room, batch, look.day)
    window = (yolk.earliest, yolk.likely, yolk.latest) if yolk is not None else (brood.ended,) * 3
    early, due, latest = (max(day, batch.began) if day else batch.began for day in window)
    if _fed_since(look, batch, early):
        return
    urgency = Urgency.NOW if look.day >= latest else Urgency.SOON
    yield look.task(
        "first_feed",
        batch.id,
        due,
        due,
        latest + FEED_LATE,
        place=_place(batch),
        urgency=urgency,
        batch=batch.id,
        yolk=yolk,
        unknown=brood.outcome == "stripped" and yolk is None,
        ration=batch_ration(look.room, batch, look.day, outlook=look.batch(batch)) if look.day >= due else None,
    )


def _box(look: Look, batch: Batch, *, hungry: bool) -> Iterator[CareTask]:
    """Food for the week (once the first has been given), water of its own every day, and out of the box in time.

    What is done every day anyway is said once a week, with the week's figures, so that mornings stay quiet.
    Facts: ration; share; mm, ready, crowded.
    """
    place = look.room.places.get(_place(batch) or "")
    if place is None or place.type != "box":
        return
    this_week = look.day - days((look.day - batch.began).days % 7)
    ration = batch_ration(look.room, batch, look.day, outlook=look.batch(batch)) if hungry else None
    for week in (this_week, this_week + days(7)):
        about: dict[str, Any] = {"cycle": week.isoformat(), "place": place.name, "urgency": Urgency.ROUTINE, "batch": batch.id}
        if ration is not None and week > batch.began:
            yield look.task("box_feed", batch.id, week, week, week, ration=ration, **about)
        if place.hangs_in is None and batch == look.room.batches_in(place.name)[0]:
            start = max(week, batch.began + days(1))
            yield look.task("box_water", place.name, start, start, start, share=NURSERY_DAILY_CHANGE, **about)
    yield from _move_up(look, batch, place.name, place.litres)


def _move_up(look: Look, batch: Batch, box: str, litres: float | None) -> Iterator[CareTask]:
    outlook = look.batch(batch)
    ready = outlook.ready["out_of_box"]
    most = nursery_fry(litres, outlook.mean_g.likely)[1] if litres else None
    crowded = most is not None and batch.count > most and look.day - batch.began > CROWDED_FROM
    since = max(batch.began + CROWDED_FROM, batch.arrivals[-1].since if batch.arrivals else batch.began)
    opens = since if crowded else ready.half.likely
    if opens is not None:
        due = opens if crowded else ready.most.likely or opens
        yield look.task(
            "move_up", batch.id, opens, due, cycle=box, place=box, urgency=Urgency.SOON if crowded else Urgency.NORMAL,
            batch=batch.id, fish_mm=outlook.fish_mm, ready=ready, most=most if crowded else None,
        )  # fmt: skip


def _count(look: Look, batch: Batch) -> Iterator[CareTask]:
    """Facts: last, every."""
    last = max([batch.began, *(said.on for said in batch.counts), *(said.on for said in batch.sexings)])
    every = COUNT_IN_BOX_EVERY if look.in_box(batch) else COUNT_EVERY
    yield from _by_habit(look, batch, "count", last, every)


def _measure(look: Look, batch: Batch) -> Iterator[CareTask]:
    """Until the batch is grown. Facts: last (None: never), every, expected."""
    grown = look.batch(batch).ready["sexable"].share_now >= 0.9
    if grown and look.every("measure", _place(batch)) is None:
        return
    last = max([batch.began, *(size.on for size in batch.measurements)])
    yield from _by_habit(look, batch, "measure", last, MEASURE_EVERY, fish_mm=look.batch(batch).fish_mm)


def _by_habit(
    look: Look, batch: Batch, task: Literal["count", "measure"], last: date, default: int, **facts: Any
) -> Iterator[CareTask]:
    """The next time counts from the last time it was done, or was said to be done."""
    said = look.every(task, _place(batch))
    every = said[0] if said is not None else default
    done = look.marks.last_done(task, batch.id)
    base = max(last, done) if done is not None else last
    if every > 0:
        due = base + days(every)
        yield look.task(
            task, batch.id, due, due, cycle=base.isoformat(), place=_place(batch), batch=batch.id, last=base, every=every,
            said=said is not None, **facts,
        )  # fmt: skip


def _sex(look: Look, batch: Batch) -> Iterator[CareTask]:
    """Once half of them can be sexed; again while some cannot. Facts: ready, unsexed."""
    unsexed = batch.count_of("unsexed")
    ready = look.batch(batch).ready["sexable"]
    if not unsexed or ready.half.likely is None:
        return
    last = batch.sexings[-1].on if batch.sexings else None
    opens = max(ready.half.likely, last + days(SEX_AGAIN_EVERY)) if last else ready.half.likely
    cycle = last.isoformat() if last else "first"
    yield look.task(
        "sex", batch.id, opens, max(opens, ready.most.likely or opens), cycle=cycle, place=_place(batch), batch=batch.id,
        ready=ready, unsexed=unsexed,
    )  # fmt: skip


def _separate(look: Look, batch: Batch) -> Iterator[CareTask]:
    """Brothers and sisters apart before they can breed. Facts: males, females, mm, months."""
    mixed = [place for place in batch.places if {"male", "female"} <= {g.sex for g in batch.groups if g.place == place}]
    if not mixed:
        return
    species = look.species(batch.strain)
    mature = ready_days(look.room, batch, look.day, species.maturity_mm.low).half.likely
    by_age = batch.spawned + days(species.maturity_months.low * DAYS_A_MONTH) if batch.spawned else None
    known = [day for day in (mature, by_age) if day is not None]
    if known:
        due = max(min(known), batch.sexings[-1].on if batch.sexings else min(known))
        yield look.task(
            "separate", batch.id, min(due, max(due - days(7), _came(batch))), due, cycle=mixed[0], place=mixed[0], batch=batch.id,
            males=batch.count_of("male"), females=batch.count_of("female"), mm=species.maturity_mm.low,
        )  # fmt: skip


def _ready(look: Look, batch: Batch) -> Iterator[CareTask]:
    """When half of them can be sold: first choose who stays, then offer the others. Facts: ready, count."""
    ready = look.batch(batch).ready["saleable"]
    due = ready.half.likely
    if due is None or batch.hybrid:
        return
    kept = batch.held_back_count or any(change.kind == "bred_on" for change in batch.changes)
    about: dict[str, Any] = {"place": _place(batch), "batch": batch.id, "ready": ready, "count": batch.count}
    if not kept and batch.count >= WORTH_CHOOSING and batch.offer is None:
        yield look.task("hold_back", batch.id, min(due, max(due - days(3), _came(batch))), due, **about)
    if batch.offer is None and batch.count > batch.held_back_count:
        yield look.task("offer", batch.id, due, due, **about)


def _deaths(look: Look) -> Iterator[CareTask]:
    """A count settles whose they were. Facts: count, batches."""
    places = dict.fromkeys(deaths.place for deaths in look.room.unassigned)
    for place in places:
        here = [deaths for deaths in look.room.unassigned if deaths.place == place]
        batches = tuple(dict.fromkeys(batch for deaths in here for batch in deaths.batches))
        promised = any(r.batch in batches and r.closed is None for r in look.room.reservations.values())
        first = here[0].on
        yield look.task(
            "settle_deaths", place, first + days(1), first + days(2), cycle=first.isoformat(), place=place,
            urgency=Urgency.SOON if promised else Urgency.NORMAL, count=sum(d.count for d in here), batches=batches,
        )  # fmt: skip


def _came(batch: Batch) -> date:
    """The first day on which the book knows of the batch: nothing was due before."""
    return min((change.on for change in batch.changes), default=date.min)


def _place(batch: Batch) -> str | None:
    return batch.places[0] if batch.places else None


def _fed_since(look: Look, batch: Batch, day: date) -> bool:
    """Whether somebody told of food for the batch, or for its place, from that day on."""
    for feeding in reversed(look.room.feedings):
        if feeding.on < day:
            return False
        if feeding.batch == batch.id or (feeding.place is not None and feeding.place in batch.places):
            return True
    return False
