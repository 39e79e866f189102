"""Individually known breeders: how they come, are named, move, breed on and go."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Literal

from core.events import Entry, FishId, Joined, Left, Named, Parents, PersonId, PlaceName
from core.fishroom.books import batch_meant, check_place, fish_meant, parents_of, problem, remove, stays_with
from core.fishroom.numbers import held_without
from core.fishroom.state import UNKNOWN_PARENTS, Batch, Brood, Fish, Fishroom, Parentage, Stay


def joined(room: Fishroom, event: Joined, entry: Entry) -> None:
    """A breeder came in, or grew up here: then it leaves its batch's count and keeps its parents and its birthday."""
    if event.fish in room.fish:
        problem(room, entry, "label_taken", event.fish)
        return
    check_place(room, event.to, entry)
    batch = batch_meant(room, event.from_batch, entry) if event.from_batch else None
    place = event.to or (batch.places[0] if batch and batch.places else None)
    room.fish[event.fish] = Fish(
        id=event.fish,
        sex=event.sex,
        label=event.label,
        strain=event.strain,
        place=place,
        nickname=event.nickname,
        origin=event.origin or (batch.origin if batch else None),
        from_batch=event.from_batch,
        born=event.born or (batch.spawned if batch else None),
        joined=entry.on,
        parentage=batch.parentage if batch else UNKNOWN_PARENTS,
        stays=(Stay(entry.on, place),),
        formerly=event.formerly,
    )
    if batch is not None:
        _leave_batch(room, batch, event, entry)


def _leave_batch(room: Fishroom, batch: Batch, event: Joined, entry: Entry) -> None:
    """A fish whose sex was misjudged until now is still one fish less, whichever group it was counted in."""
    held = held_without(batch.held_back, 1, event.sex)
    room.batches[batch.id] = replace(batch, held_back=held)
    known = batch.count_of(event.sex) + batch.count_of("unsexed") > 0
    remove(room, room.batches[batch.id], 1, "bred_on", entry, sex=event.sex if known else None)


def named(room: Fishroom, event: Named, entry: Entry) -> None:
    """A nickname."""
    fish = room.fish.get(event.fish)
    if fish is None:
        problem(room, entry, "no_such_fish", event.fish)
    else:
        room.fish[fish.id] = replace(fish, nickname=event.nickname)


def fish_moved(room: Fishroom, fish_id: FishId, to: PlaceName, entry: Entry) -> None:
    """A breeder goes to another place."""
    fish = fish_meant(room, fish_id, entry)
    if fish is not None:
        room.fish[fish.id] = replace(fish, place=to, stays=stays_with(fish.stays, entry.on, to))


def left(room: Fishroom, event: Left, entry: Entry) -> None:
    """A breeder left the fishroom; what she carried went with her."""
    gone(room, event.fish, "left", entry, event.member)


def gone(room: Fishroom, fish_id: FishId, how: Literal["died", "left"], entry: Entry, to: PersonId | None = None) -> None:
    """A breeder is no longer here. A brood in the mouth of one that died is lost, unless it is stripped within days."""
    fish = fish_meant(room, fish_id, entry)
    if fish is None:
        return
    stays = stays_with(fish.stays, entry.on, None)
    room.fish[fish.id] = replace(fish, place=None, stays=stays, gone=entry.on, gone_how=how, gone_to=to)
    brood = room.holding.pop(fish.id, None)
    if brood is not None:
        room.broods[brood] = replace(room.broods[brood], ended=entry.on, outcome="lost")


def parents(room: Fishroom, event: Parents, entry: Entry) -> None:
    """Somebody knows the parents: of a fish, or of a batch (with its brood, its sister batches and its grown-up fish)."""
    for fish in (event.sire, event.dam):
        if fish is not None and fish not in room.fish and "/" not in fish:
            problem(room, entry, "no_such_fish", fish)
            return
    if event.subject in room.fish:
        subject = room.fish[event.subject]
        room.fish[subject.id] = replace(subject, parentage=_told(room, subject.parentage, event))
        return
    batch = batch_meant(room, event.subject, entry)
    if batch is not None:
        _tell_batch(room, batch, event)


def _told(room: Fishroom, was: Parentage, event: Parents) -> Parentage:
    """A parent that is not named stays as it was known."""
    said = parents_of(room, event.sire, event.dam).pairs[0][0]
    shares: dict[tuple[str | None, str | None], float] = {}
    for (sire, dam), share in was.pairs:
        pair = (said[0] or sire, said[1] or dam)
        shares[pair] = shares.get(pair, 0.0) + share
    return Parentage(tuple(shares.items()))


def _tell_batch(room: Fishroom, batch: Batch, event: Parents) -> None:
    was, now = batch.parentage, _told(room, batch.parentage, event)
    sisters = [
        b.id for b in room.batches.values() if b.id == batch.id or (b.brood and b.brood == batch.brood and b.parentage == was)
    ]
    for sister in sisters:
        room.batches[sister] = replace(room.batches[sister], parentage=now)
    for fish in list(room.fish.values()):
        if fish.from_batch in sisters and fish.parentage == was:
            room.fish[fish.id] = replace(fish, parentage=now)
    if batch.brood in room.broods and event.sire is not None:
        brood: Brood = room.broods[batch.brood]
        room.broods[brood.id] = replace(brood, male=event.sire, male_taken=False)


def adult_by(fish: Fish, on: date, days: int) -> bool:
    """Whether the fish can breed on that day: old enough, or of unknown age (breeders that come in usually are grown)."""
    return fish.born is None or (on - fish.born).days >= days
