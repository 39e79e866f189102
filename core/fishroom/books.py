"""The book of a batch: who may be meant, what goes in and out, and what cannot be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from core.events import BatchId, Entry, FishId, PersonId, PlaceName, Sex
from core.fishroom.living import places_of
from core.fishroom.names import pedigree_id
from core.fishroom.numbers import Groups, Held, Which, anywhere, held_without, put, take, total
from core.fishroom.state import Batch, Change, ChangeKind, Fish, Fishroom, Parentage, Problem, Stay


def problem(room: Fishroom, entry: Entry, why: str, about: object) -> None:
    """Notes that the entry does not fit.

    Why: no_such_fish, no_such_batch, no_such_place, no_such_reservation, no_such_entry, fish_gone, not_female, not_enough,
    bad_number, label_taken, number_taken, closed, brood_ended_unseen, who_died, nothing_said, not_proposed, unknown_kind.
    """
    room.problems.append(Problem(entry.number, why, str(about), entry.on))


def current(room: Fishroom, batch: BatchId) -> BatchId:
    """The batch that now goes by this letter: itself, or the stock it was merged or mixed into."""
    found = room.batches.get(batch)
    while found is not None and found.merged_into is not None:
        batch = found.merged_into
        found = room.batches.get(batch)
    return batch


def batch_meant(room: Fishroom, batch: BatchId, entry: Entry) -> Batch | None:
    """The batch that is meant by a letter, or a problem."""
    found = room.batches.get(current(room, batch))
    if found is None:
        problem(room, entry, "no_such_batch", batch)
    return found


def fish_meant(room: Fishroom, fish: FishId, entry: Entry) -> Fish | None:
    """The living fish that is meant, or a problem."""
    found = room.fish.get(fish)
    if found is None:
        problem(room, entry, "no_such_fish", fish)
    elif not found.alive_here:
        problem(room, entry, "fish_gone", fish)
        return None
    return found


def sound_number(room: Fishroom, entry: Entry, count: int, about: object, least: int = 1) -> bool:
    """Whether the number can be a number of fish, or a problem."""
    if count < least:
        problem(room, entry, "bad_number", about)
    return count >= least


def check_place(room: Fishroom, place: PlaceName | None, entry: Entry) -> None:
    """A problem where a place is named that the fishroom does not have (the fish are taken to be there all the same)."""
    if place is not None and place not in room.places:
        problem(room, entry, "no_such_place", place)


def revised(batch: Batch, groups: Groups, on: date, *changes: Change, held: Held | None = None) -> Batch:
    """The batch with other groups and the changes that led there; what is held back is never more than what is there."""
    kept = batch.held_back if held is None else held
    excess = sum(count for _, count in kept) - total(groups)
    return replace(
        batch,
        groups=groups,
        changes=batch.changes + changes,
        held_back=held_without(kept, excess) if excess > 0 else kept,
        stays=_stays_after(batch, groups, on),
        arrivals=_arrivals_after(batch, groups, on),
    )


def _stays_after(batch: Batch, groups: Groups, on: date) -> tuple[Stay, ...]:
    most = places_of(groups)
    return stays_with(batch.stays, on, most[0]) if most else batch.stays


def _arrivals_after(batch: Batch, groups: Groups, on: date) -> tuple[Stay, ...]:
    known = {stay.place: stay for stay in batch.arrivals}
    return tuple(known.get(place) or Stay(on, place) for place in dict.fromkeys(group.place for group in groups))


def stays_with(stays: tuple[Stay, ...], on: date, place: PlaceName | None) -> tuple[Stay, ...]:
    """The stays, with another place from a day on."""
    if stays and stays[-1].place == place:
        return stays
    if stays and stays[-1].since == on:
        return stays_with(stays[:-1], on, place)
    return (*stays, Stay(on, place))


def remove(
    room: Fishroom,
    batch: Batch,
    count: int,
    kind: ChangeKind,
    entry: Entry,
    *,
    sex: Sex | None = None,
    which: Which = anywhere,
    approx: bool = False,
    to: PersonId | BatchId | None = None,
    price: Decimal | None = None,
    reservation: int | None = None,
) -> Groups:
    """Takes fish out of the batch's book, as far as there are any (else also a problem), and gives those taken."""
    groups, taken = take(batch.groups, count, sex, which)
    gone = total(taken)
    if gone < count:
        problem(room, entry, "not_enough", batch.id)
    if gone:
        change = Change(entry.on, kind, -gone, entry.number, sex, approx, to, price, reservation)
        room.batches[batch.id] = revised(batch, groups, entry.on, change)
    return taken


def enter(room: Fishroom, batch: Batch, groups: Groups, change: Change) -> Batch:
    """Puts fish into the book: of a new batch, or of one that already goes by this letter, whose parentage is blended."""
    known = room.batches.get(current(room, batch.id))
    if known is None:
        room.batches[batch.id] = entered = revised(batch, groups, change.on, change)
        return entered
    blended = replace(
        known, parentage=blend(known.parentage, known.count, batch.parentage, total(groups)), hybrid=crossed(known, batch)
    )
    room.batches[known.id] = entered = revised(blended, put(known.groups, groups), change.on, change)
    return entered


def blend(one: Parentage, count: int, other: Parentage, more: int) -> Parentage:
    """The parentage of two lots of fish put together, each pair's share weighted by the numbers."""
    if one == other or more == 0:
        return one
    if count == 0:
        return other
    shares: dict[tuple[str | None, str | None], float] = {}
    for parentage, weight in ((one, count), (other, more)):
        for pair, share in parentage.pairs:
            shares[pair] = shares.get(pair, 0.0) + share * weight / (count + more)
    return Parentage(tuple(shares.items()))


def crossed(*batches: Batch) -> tuple[str, ...]:
    """The strains that are crossed where these come together; empty where all are of one strain."""
    strains = {strain for batch in batches for strain in (batch.hybrid or (batch.strain,))}
    return tuple(sorted(strains)) if len(strains) > 1 else ()


def parents_of(room: Fishroom, sire: FishId | None, dam: FishId | None) -> Parentage:
    """The parentage of the young of two fish of this fishroom (pedigree ids are taken as they are)."""
    return Parentage((((_pedigree(room, sire), _pedigree(room, dam)), 1.0),))


def _pedigree(room: Fishroom, fish: FishId | None) -> str | None:
    known = room.fish.get(fish) if fish is not None else None
    return fish if known is None else pedigree_id(room, known)
