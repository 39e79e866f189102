"""What broods and their mothers ask for: looks, the box, the strip window, the release, rest and return."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from core.fishroom.state import Brood, Fish, Fishroom
from core.planning.brood_outlook import BroodOutlook
from core.planning.care_look import Look
from core.planning.tasks import CareTask, Urgency, days

CHECK_EVERY = days(5)
"""How long a female is left without a look whether she still carries (common practice, no source)."""
BOX_AHEAD = days(2)
BOX_OPENS_AHEAD = days(4)
FRY_SEARCH = days(14)
"""So long it is worth looking for fry that a female let go uncounted (common practice, no source)."""
RETURN_ASKED = days(60)
OVERDUE_ASKED = days(60)
"""Nobody is asked for longer about what a female did."""


def brood_tasks(look: Look) -> Iterator[CareTask]:
    """Tasks of every brood that is carried now."""
    for brood_id in look.room.holding.values():
        brood = look.room.broods[brood_id]
        mother = look.room.fish.get(brood.female)
        outlook = look.brood(brood)
        if mother is not None and outlook is not None:
            yield from _check(look, brood, mother, outlook)
            yield from _strip(look, brood, mother, outlook)
            yield from _release(look, brood, mother, outlook)


def _check(look: Look, brood: Brood, mother: Fish, outlook: BroodOutlook) -> Iterator[CareTask]:
    """Every few days until the strip window opens. Facts: last, bulge, out_of_range."""
    last = max(filter(None, (brood.last_seen, brood.since, look.marks.last_done("holding_check", brood.id))))
    due = last + CHECK_EVERY
    until = outlook.strip_opens
    if until is None or due < until:
        yield look.task(
            "holding_check",
            brood.id,
            due,
            due,
            until - days(1) if until is not None else None,
            cycle=last.isoformat(),
            place=mother.place,
            fish=mother.id,
            brood=brood.id,
            last=last,
            since=brood.since,
            bulge=outlook.bulge,
            out_of_range=outlook.out_of_range,
        )


def _strip(look: Look, brood: Brood, mother: Fish, outlook: BroodOutlook) -> Iterator[CareTask]:
    """The box in time, then the window. Facts: opens, closes, since, warmth, first_brood, box."""
    opens, closes = outlook.strip_opens, outlook.strip_closes
    if opens is None or closes is None:
        return
    facts: dict[str, Any] = {
        "strip_opens": opens,
        "strip_closes": closes,
        "since": brood.since,
        "warmth": outlook.warmth,
        "box": free_box(look.room),
    }
    yield look.task(
        "prepare_box",
        brood.id,
        opens - BOX_OPENS_AHEAD,
        opens - BOX_AHEAD,
        opens,
        place=free_box(look.room),
        fish=mother.id,
        brood=brood.id,
        **facts,
    )
    last_day = look.day >= closes
    yield look.task(
        "strip",
        brood.id,
        opens,
        opens,
        closes,
        place=mother.place,
        urgency=Urgency.NOW if last_day else Urgency.SOON,
        fish=mother.id,
        brood=brood.id,
        first_brood=not any(b.female == brood.female and b.ended for b in look.room.broods.values()),
        yolk=outlook.yolk,
        **facts,
    )


def _release(look: Look, brood: Brood, mother: Fish, outlook: BroodOutlook) -> Iterator[CareTask]:
    """She lets them go; and when she should have long ago. Facts: release, since."""
    release = outlook.release
    if release is None or release.earliest is None or release.latest is None or release.likely is None:
        return
    after_strip = outlook.strip_closes + days(1) if outlook.strip_closes else release.earliest
    opens = min(max(after_strip, release.earliest), release.latest)
    about: dict[str, Any] = {
        "place": mother.place,
        "fish": mother.id,
        "brood": brood.id,
        "release": release,
        "since": brood.since,
    }
    yield look.task("release_expected", brood.id, opens, max(opens, release.likely), release.latest, **about)
    late = release.latest + days(1)
    cycle = max(filter(None, (brood.last_seen, brood.since))).isoformat()
    yield look.task("brood_overdue", brood.id, late, late, late + OVERDUE_ASKED, cycle=cycle, urgency=Urgency.SOON, **about)


def free_box(room: Fishroom) -> str | None:
    """A nursery box that nobody is in."""
    boxes = (place.name for place in room.places.values() if place.type == "box" and not place.retired)
    return next((box for box in boxes if not room.batches_in(box) and not room.fish_in(box)), None)


def mother_tasks(look: Look) -> Iterator[CareTask]:
    """What is owed to a female whose brood is over, until she carries again."""
    for brood in look.room.broods.values():
        mother = look.room.fish.get(brood.female)
        if mother is None or not mother.alive_here or brood.ended is None or mother.id in look.room.holding:
            continue
        if brood.ended > look.day or look.day - brood.ended > RETURN_ASKED or _later_brood(look, brood):
            continue
        yield from _uncounted(look, brood, mother, brood.ended)
        if brood.outcome in ("stripped", "released"):
            yield from _rest(look, brood, mother, brood.ended)


def _later_brood(look: Look, brood: Brood) -> bool:
    ended = brood.ended
    return any(
        b.female == brood.female and b.id != brood.id and ended and (b.ended or look.day) > ended
        for b in look.room.broods.values()
    )


def _uncounted(look: Look, brood: Brood, mother: Fish, ended: date) -> Iterator[CareTask]:
    """Facts: ended."""
    batch = look.room.batches.get(brood.batch) if brood.batch else None
    if brood.outcome == "released" and brood.count is None and (batch is None or not batch.changes):
        yield look.task(
            "collect_fry",
            brood.id,
            ended,
            ended + days(1),
            ended + FRY_SEARCH,
            place=mother.place,
            urgency=Urgency.SOON,
            fish=mother.id,
            brood=brood.id,
            ended=ended,
        )


def _rest(look: Look, brood: Brood, mother: Fish, ended: date) -> Iterator[CareTask]:
    """With the male: quiet and food where she is. By herself: back to him after her rest. Facts: ended, until, to."""
    rest = look.species(mother.strain).brood.rest_days
    until = ended + days(rest.likely)
    about: dict[str, Any] = {"place": mother.place, "fish": mother.id, "brood": brood.id, "ended": ended, "until": until}
    if look.males_with(mother):
        yield look.task("mother_rest", brood.id, ended, ended, ended + days(2), **about)
        return
    home = _home(look, mother)
    if home is not None:
        yield look.task("mother_return", brood.id, ended + days(rest.low), until, to=home, **about)


def _home(look: Look, mother: Fish) -> str | None:
    """The place with males of her strain where she was last, else any."""
    with_males = {
        fish.place for fish in look.room.fish.values() if fish.sex == "male" and fish.strain == mother.strain and fish.place
    }
    before = [stay.place for stay in reversed(mother.stays) if stay.place in with_males]
    return next(iter([*before, *sorted(place for place in with_males if place)]), None)
