"""A brood's life: begun by a spawning or first seen holding, ended by loss, release or stripping, and whose it is.

One mouthful is one brood: a spawning and the "holding" that follows it within `CARRIED_DAYS` are the same, and so are two
strippings within `LEFTOVER_DAYS`. A female that is stripped without having been recorded as holding is taken to have held: a
supposed brood.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from core.events import BroodId, BroodLost, Entry, FishId, Holding, Released, Spawned, StillHolding, Stripped
from core.fishroom.books import check_place, enter, fish_meant, parents_of, problem, sound_number
from core.fishroom.fish import adult_by
from core.fishroom.state import Batch, Brood, Change, ChangeKind, Fish, Fishroom, Group, Stay
from core.species import profile

CARRIED_DAYS = 40
"""Nobody is taken to carry longer. Hobby keepers report 21 to 32 days (common practice, no source); this leaves a margin."""
LEFTOVER_DAYS = 3
"""Fry taken from her so soon after the brood ended belong to that brood."""
DAYS_A_MONTH = 30.44


def spawned(room: Fishroom, event: Spawned, entry: Entry) -> None:
    """A pair was seen spawning; with a female her brood begins, or gets its father."""
    female = _mother(room, event.female, entry) if event.female else None
    if female is None:
        return
    brood = room.brood_of(female.id)
    if brood is not None and _same(brood, event.brood, entry.on):
        first = entry.on if brood.since is None or entry.on <= brood.since else brood.spawned
        room.broods[brood.id] = _with_male(room, replace(brood, spawned=brood.spawned or first), event.male, entry)
    else:
        _begin(room, entry, female, event.brood, event.male, spawned=entry.on)


def holding(room: Fishroom, event: Holding, entry: Entry) -> None:
    """She carries; an open brood of a plausible age is meant, else a new one begins."""
    female = _mother(room, event.female, entry)
    if female is None:
        return
    brood = room.brood_of(female.id)
    if brood is not None and _same(brood, event.brood, entry.on):
        seen = replace(brood, first_seen=brood.first_seen or entry.on, last_seen=entry.on)
        room.broods[brood.id] = _with_male(room, seen, event.male, entry)
    else:
        _begin(room, entry, female, event.brood, event.male, first_seen=entry.on, last_seen=entry.on)


def still_holding(room: Fishroom, event: StillHolding, entry: Entry) -> None:
    """She was looked at and carries; unrecorded until now, she is taken to carry since that day."""
    female = _mother(room, event.female, entry)
    if female is None:
        return
    brood = room.brood_of(female.id)
    if brood is None:
        _begin(room, entry, female, None, None, first_seen=entry.on, last_seen=entry.on, supposed=True)
    else:
        room.broods[brood.id] = replace(brood, last_seen=entry.on)


def brood_lost(room: Fishroom, event: BroodLost, entry: Entry) -> None:
    """She no longer carries, and there are no fry."""
    female = _mother(room, event.female, entry)
    if female is None:
        return
    brood = _brood_at_end(room, female, entry)
    if brood.ended is None:
        _end(room, replace(brood, ended=entry.on, outcome="lost"))
    else:
        problem(room, entry, "closed", brood.id)


def released(room: Fishroom, event: Released, entry: Entry) -> None:
    """She let them go herself; with a batch they are in the book, swimming where she was."""
    female = _any_female(room, event.female, entry)
    if female is None:
        return
    brood = _brood_at_end(room, female, entry)
    count = event.count
    if count is not None and not sound_number(room, entry, count, event.female, least=0):
        count = None
    _end(
        room, replace(brood, ended=entry.on, outcome="released", count=_sum(brood.count, count), batch=event.batch or brood.batch)
    )
    if event.batch is not None:
        _fry(room, brood.id, event.batch, count, "released", event.approx, _place_of(female), entry)


def stripped(room: Fishroom, event: Stripped, entry: Entry) -> None:
    """The fry were taken from her; those alive are a batch in its own place, or where she is."""
    female = _any_female(room, event.female, entry)
    if female is None or not sound_number(room, entry, event.count, event.female, least=0):
        return
    check_place(room, event.to, entry)
    brood = _brood_at_end(room, female, entry)
    _end(
        room,
        replace(
            brood,
            ended=entry.on,
            outcome="stripped",
            batch=event.batch if event.count else brood.batch,
            count=_sum(brood.count, event.count),
            eggs=_sum(brood.eggs, event.eggs),
            dead=_sum(brood.dead, event.dead),
        ),
    )
    if event.count:
        _fry(room, brood.id, event.batch, event.count, "stripped", event.approx, event.to or _place_of(female), entry)


def _sum(before: int | None, more: int | None) -> int | None:
    return before if more is None else (before or 0) + more


def _fry(
    room: Fishroom,
    brood_id: BroodId,
    batch_id: str,
    count: int | None,
    kind: ChangeKind,
    approx: bool,
    place: str | None,
    entry: Entry,
) -> None:
    """Puts the fry into the book as a batch.

    Uncounted, it stands in the book empty until the first count says how many they are.
    """
    brood = room.broods[brood_id]
    parentage = parents_of(room, brood.male, brood.female)
    batch = Batch(
        id=batch_id,
        label=batch_id.partition(".")[0],
        strain=brood.strain,
        began=entry.on,
        spawned=brood.since,
        brood=brood.id,
        parentage=parentage,
        hybrid=_cross(room, brood),
        approx=approx,
    )
    if count:
        enter(room, batch, (Group(place, "unsexed", count),), Change(entry.on, kind, count, entry.number, approx=approx))
    elif batch_id not in room.batches:
        room.batches[batch_id] = replace(batch, stays=_stay(place, entry))


def _stay(place: str | None, entry: Entry) -> tuple[Stay, ...]:
    return (Stay(entry.on, place),) if place else ()


def _cross(room: Fishroom, brood: Brood) -> tuple[str, ...]:
    sire = room.fish.get(brood.male) if brood.male else None
    return tuple(sorted({sire.strain, brood.strain})) if sire and sire.strain != brood.strain else ()


# --- which brood is meant --------------------------------------------------------------------------------------------


def _mother(room: Fishroom, fish: FishId, entry: Entry) -> Fish | None:
    found = fish_meant(room, fish, entry)
    return _female(room, found, entry)


def _any_female(room: Fishroom, fish: FishId, entry: Entry) -> Fish | None:
    """Also one that is gone: fry can be saved from the mouth of a dead female."""
    found = room.fish.get(fish)
    if found is None:
        problem(room, entry, "no_such_fish", fish)
    return _female(room, found, entry)


def _female(room: Fishroom, fish: Fish | None, entry: Entry) -> Fish | None:
    if fish is not None and fish.sex != "female":
        problem(room, entry, "not_female", fish.id)
        return None
    return fish


def _same(brood: Brood, said: BroodId | None, on: date) -> bool:
    since = brood.since
    return said == brood.id or since is None or (on - since).days <= CARRIED_DAYS


def _brood_at_end(room: Fishroom, female: Fish, entry: Entry) -> Brood:
    """The brood that ends: the open one, one that ended only days ago, or one that is taken to have been there."""
    brood = room.brood_of(female.id)
    if brood is not None:
        return brood
    recent = [b for b in room.broods.values() if b.female == female.id and b.ended]
    if recent and recent[-1].ended and entry.on - recent[-1].ended <= timedelta(days=LEFTOVER_DAYS):
        return recent[-1]
    return _begin(room, entry, female, None, None, supposed=True)


def _begin(
    room: Fishroom,
    entry: Entry,
    female: Fish,
    said: BroodId | None,
    male: FishId | None,
    *,
    spawned: date | None = None,
    first_seen: date | None = None,
    last_seen: date | None = None,
    supposed: bool = False,
) -> Brood:
    before = room.brood_of(female.id)
    if before is not None:
        problem(room, entry, "brood_ended_unseen", before.id)
        room.broods[before.id] = replace(before, ended=entry.on, outcome="lost")
    brood = Brood(
        id=_unused(room, said or f"{female.id} {entry.on}"),
        female=female.id,
        strain=female.strain,
        spawned=spawned,
        first_seen=first_seen,
        last_seen=last_seen,
        supposed=supposed,
    )
    room.broods[brood.id] = brood = _with_male(room, brood, male, entry)
    room.holding[female.id] = brood.id
    return brood


def _unused(room: Fishroom, name: BroodId) -> BroodId:
    number, wanted = 1, name
    while name in room.broods:
        number += 1
        name = f"{wanted}.{number}"
    return name


def _end(room: Fishroom, brood: Brood) -> None:
    room.broods[brood.id] = brood
    room.holding.pop(brood.female, None)


# --- the father ------------------------------------------------------------------------------------------------------


def _with_male(room: Fishroom, brood: Brood, said: FishId | None, entry: Entry) -> Brood:
    """The father as told; else, where none is known yet, the only adult male of her strain that was with her."""
    if said is not None:
        if said in room.fish and room.fish[said].sex == "male":
            return replace(brood, male=said, male_taken=False)
        problem(room, entry, "no_such_fish", said)
    if brood.male is not None:
        return brood
    company = _adult_males_with(room, room.fish[brood.female], entry.on)
    return replace(brood, male=company[0].id, male_taken=True) if len(company) == 1 else brood


def _adult_males_with(room: Fishroom, female: Fish, on: date) -> list[Fish]:
    """Adult males of her strain where she is; alone since today, where she came from (she is often moved when seen holding)."""
    days = adult_days(room.species_of(female.strain))
    males = [
        f for f in room.fish.values() if f.sex == "male" and f.strain == female.strain and f.alive_here and adult_by(f, on, days)
    ]
    for place in _places_today(female, on):
        company = [male for male in males if male.place == place]
        if company:
            return company
    return []


def _places_today(fish: Fish, on: date) -> list[str]:
    stays = fish.stays[-2:] if fish.stays and fish.stays[-1].since == on else fish.stays[-1:]
    return [stay.place for stay in reversed(stays) if stay.place is not None]


def _place_of(female: Fish) -> str | None:
    """Where she is; of one that is gone, where she was last."""
    return next((stay.place for stay in reversed(female.stays) if stay.place is not None), None)


@cache
def adult_days(species: str) -> int:
    """Days from birth at which a male of the species may already breed (the early end of what is known, so that none is
    missed).
    """
    return round(profile(species).maturity_months.low * DAYS_A_MONTH)
