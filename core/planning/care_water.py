"""What the water asks for: tests and changes by habit, and another test after a bad one.

Where the keeper set no habit, one is taken from what is told: a water that was tested once is to be tested every `TEST_EVERY`
days, one that was changed once to be changed every `CHANGE_EVERY` days (common practice, no source). Who tells of neither is
not reminded, and who stopped telling is not reminded for ever.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Literal

from core.biology.water import Advice
from core.biology.water import Urgency as Danger
from core.fishroom.state import Place
from core.planning.care_look import Look
from core.planning.tasks import CareTask, Urgency, days
from core.planning.water_verdict import water_verdict

TEST_EVERY = {"tank": 14, "box": 14, "tub": 7, "pond": 14}
CHANGE_EVERY = {"tank": 7, "box": 7, "tub": 14, "pond": 30}
"""Waters with plants in a loop are changed only where the keeper set a habit."""
GIVE_UP_AFTER = 3
"""A habit that nobody set is let go after so many intervals without a word."""
RETEST_WITHIN = days(14)
AS_URGENT = {Danger.WATCH: Urgency.NORMAL, Danger.SOON: Urgency.SOON, Danger.NOW: Urgency.NOW}


def water_tasks(look: Look) -> Iterator[CareTask]:
    """Tasks of every water with fish in it."""
    for place in look.room.places.values():
        if place.retired or look.room.water_of(place.name) != place.name or not _inhabited(look, place.name):
            continue
        tests = [test.on for test in look.room.water_tests.get(place.name, ())[-1:]]
        changes = [change.on for change in look.room.water_changes.get(place.name, ())[-1:]]
        again = list(_retest(look, place))
        yield from again
        retested = look.marks.last_done("retest", place.name)
        if not again or (retested is not None and retested >= tests[-1]):  # else one test is asked for, not two
            yield from _habit(look, place, "water_test", [*tests, *([retested] if retested else [])], TEST_EVERY[place.type])
        yield from _habit(look, place, "water_change", changes, 0 if place.loop else CHANGE_EVERY[place.type])


def _inhabited(look: Look, water: str) -> bool:
    places = [name for name in look.room.places if look.room.water_of(name) == water]
    return any(look.room.fish_in(place) or look.room.batches_in(place) for place in places)


def _habit(
    look: Look, place: Place, rule: Literal["water_test", "water_change"], told: Sequence[date], default: int
) -> Iterator[CareTask]:
    """`told` holds the last day told, if any. Facts: last (None: never told), every, said."""
    said = look.every(rule, place.name)
    done = look.marks.last_done(rule, place.name)
    last = max([*told, *([done] if done else [])], default=None)
    if said is None and (last is None or default == 0 or look.day - last > days(default * GIVE_UP_AFTER)):
        return
    every = said[0] if said is not None else default
    since = said[1] if said is not None else look.day
    if every > 0:
        due = last + days(every) if last is not None else since
        yield look.task(
            rule,
            place.name,
            due,
            due,
            cycle=last.isoformat() if last else "first",
            place=place.name,
            last=last,
            every=every,
            said=said is not None,
        )


def _retest(look: Look, place: Place) -> Iterator[CareTask]:
    """The day after poison was found, a few days after anything else that must not stay so. Facts: verdict."""
    verdict = water_verdict(look.room, place.name, look.day)
    if verdict is None:
        return
    tomorrow = any(Advice.RETEST_TOMORROW in finding.advice for finding in verdict.assessment.findings)
    if not tomorrow and verdict.assessment.urgency < Danger.SOON:
        return
    due = verdict.on + days(1 if tomorrow or verdict.assessment.urgency is Danger.NOW else 3)
    yield look.task(
        "retest",
        place.name,
        due,
        due,
        verdict.on + RETEST_WITHIN,
        cycle=verdict.on.isoformat(),
        place=place.name,
        urgency=AS_URGENT[verdict.assessment.urgency],
        verdict=verdict,
    )
