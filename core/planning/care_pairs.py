"""Which breeders should rest or be swapped: females bred too often, and pairs too closely related, as far as this fishroom
knows.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.fishroom.broods import adult_days
from core.fishroom.fish import adult_by
from core.fishroom.state import Fish
from core.planning.care_look import Look
from core.planning.kin import WARN_FROM, brood_inbreeding, kinship_of
from core.planning.tasks import CareTask, days

IN_A_ROW = 3
"""So many broods, each sooner after the last than usual, and she is due a longer rest (common practice, no source)."""
ASKED_FOR = days(30)


def pair_tasks(look: Look) -> Iterator[CareTask]:
    """Females to rest, pairs to part."""
    for female in look.room.fish.values():
        if female.sex == "female" and female.alive_here and female.id not in look.room.holding:
            yield from _rest(look, female)
    yield from _related(look)


def _rest(look: Look, female: Fish) -> Iterator[CareTask]:
    """Facts: broods, interval (days between their starts), usual."""
    broods = [b for b in look.room.broods.values() if b.female == female.id and b.since and b.ended and b.outcome != "lost"]
    broods = sorted(broods, key=lambda brood: brood.since or look.day)[-IN_A_ROW:]
    if len(broods) < IN_A_ROW:
        return
    first, last = broods[0].since, broods[-1]
    if first is None or last.since is None or last.ended is None:
        return
    interval = (last.since - first).days / (IN_A_ROW - 1)
    usual = look.species(female.strain).brood
    if interval < usual.interval_days.low:
        until = last.ended + days(usual.rest_days.high * 2)
        yield look.task(
            "rest_female",
            female.id,
            last.ended,
            last.ended + days(1),
            min(until, last.ended + ASKED_FOR),
            cycle=last.id,
            place=female.place,
            fish=female.id,
            broods=IN_A_ROW,
            interval=interval,
            usual=usual.interval_days,
            until=until,
        )


def _related(look: Look) -> Iterator[CareTask]:
    """Facts: females, inbreeding (expected F of the young, the highest)."""
    homegrown = any(fish.alive_here and any(any(pair) for pair, _ in fish.parentage.pairs) for fish in look.room.fish.values())
    if not homegrown:
        return
    kinship = kinship_of([look.room])
    for male in (fish for fish in look.room.fish.values() if fish.sex == "male" and _adult(look, fish)):
        company = [
            f for f in look.room.fish_in(male.place or "") if f.sex == "female" and f.strain == male.strain and _adult(look, f)
        ]
        close = {f.id: brood_inbreeding(kinship, look.room, f, male).expected for f in company}
        close = {female: expected for female, expected in close.items() if expected >= WARN_FROM}
        if close:
            met = max(look.room.fish[fish].stays[-1].since for fish in (male.id, *close) if look.room.fish[fish].stays)
            yield look.task(
                "related_pair",
                male.id,
                met,
                met,
                cycle="+".join(sorted(close)),
                place=male.place,
                fish=male.id,
                females=tuple(sorted(close)),
                inbreeding=max(close.values()),
            )


def _adult(look: Look, fish: Fish) -> bool:
    return fish.alive_here and adult_by(fish, look.day, adult_days(look.room.species_of(fish.strain)))
