"""Young fish: bought, moved, lost, culled, sold, kept back, measured, offered."""

from __future__ import annotations

from dataclasses import replace

from core.events import BatchJoined, Culled, Entry, HeldBack, Measured, Moved, Offered, PlaceName, Priced, Sold, Withdrawn
from core.fishroom.books import batch_meant, check_place, enter, problem, remove, revised, sound_number
from core.fishroom.fish import fish_moved
from core.fishroom.numbers import Which, anywhere, held_with, moved_to, put, take, total
from core.fishroom.state import Batch, Change, Fishroom, Group, Measurement, Offer


def batch_joined(room: Fishroom, event: BatchJoined, entry: Entry) -> None:
    """Young fish came in from elsewhere; their clock starts at their birth where that is known."""
    if not sound_number(room, entry, event.count, event.batch):
        return
    check_place(room, event.to, entry)
    size = () if event.mean_mm is None or event.mean_mm <= 0 else (Measurement(entry.on, mean_mm=event.mean_mm),)
    batch = Batch(
        id=event.batch,
        label=event.batch.partition(".")[0],
        strain=event.strain,
        began=entry.on,
        spawned=event.born,
        origin=event.origin,
        formerly=event.formerly,
        measurements=size,
        approx=event.approx,
    )
    arrival = Change(entry.on, "bought", event.count, entry.number, approx=event.approx)
    enter(room, batch, (Group(event.to, "unsexed", event.count),), arrival)


def moved(room: Fishroom, event: Moved, entry: Entry) -> None:
    """A breeder or a batch, or part of a batch, goes to another place.

    Part of a batch that is there already comes from elsewhere.
    """
    check_place(room, event.to, entry)
    if event.fish is not None:
        fish_moved(room, event.fish, event.to, entry)
    batch = batch_meant(room, event.batch, entry) if event.batch is not None else None
    if batch is None:
        return
    which = _leaving(event.to, event.from_place)
    there_is = sum(g.count for g in batch.groups if which(g) and event.sex in (None, g.sex))
    count = there_is if event.count is None else event.count
    if event.count is not None and not sound_number(room, entry, count, batch.id):
        return
    stay, go = take(batch.groups, count, event.sex, which)
    if total(go) < count:
        problem(room, entry, "not_enough", batch.id)
    room.batches[batch.id] = revised(batch, put(stay, moved_to(event.to, go)), entry.on)


def _leaving(to: PlaceName, from_place: PlaceName | None) -> Which:
    if from_place is not None:
        return lambda group: group.place == from_place
    return lambda group: group.place != to


def in_place(place: PlaceName | None) -> Which:
    """Fish of that place; every fish where no place is named."""
    return anywhere if place is None else lambda group: group.place == place


def culled(room: Fishroom, event: Culled, entry: Entry) -> None:
    """Fish taken out for faults."""
    batch = batch_meant(room, event.batch, entry)
    if batch is not None and sound_number(room, entry, event.count, batch.id):
        remove(room, batch, event.count, "culled", entry)


def sold(room: Fishroom, event: Sold, entry: Entry) -> None:
    """Fish gone without a reservation."""
    batch = batch_meant(room, event.batch, entry)
    if batch is not None and sound_number(room, entry, event.count, batch.id):
        remove(room, batch, event.count, "sold", entry, sex=event.sex, to=event.member, price=event.price)


def held_back(room: Fishroom, event: HeldBack, entry: Entry) -> None:
    """Some more of the batch are kept as future breeders, never more than there are."""
    batch = batch_meant(room, event.batch, entry)
    if batch is None or not sound_number(room, entry, event.count, batch.id):
        return
    free = batch.count - batch.held_back_count
    if free < event.count:
        problem(room, entry, "not_enough", batch.id)
    if free > 0:
        held = held_with(batch.held_back, event.sex or "unsexed", min(event.count, free))
        room.batches[batch.id] = replace(batch, held_back=held)


def measured(room: Fishroom, event: Measured, entry: Entry) -> None:
    """Lengths of some fish."""
    batch = batch_meant(room, event.batch, entry)
    if batch is None:
        return
    if not event.lengths and event.mean_mm is None:
        problem(room, entry, "nothing_said", batch.id)
        return
    if min(*event.lengths, event.mean_mm or 1, event.n or 1, 1) <= 0:
        problem(room, entry, "bad_number", batch.id)
        return
    size = Measurement(entry.on, event.lengths, event.mean_mm, event.n)
    room.batches[batch.id] = replace(batch, measurements=(*batch.measurements, size))


def offered(room: Fishroom, event: Offered, entry: Entry) -> None:
    """The batch is for sale; a price that is not said again stays."""
    batch = batch_meant(room, event.batch, entry)
    if batch is not None:
        before = batch.offer.price if batch.offer and batch.offer.sex == event.sex else None
        offer = Offer(entry.on, event.count, event.sex, before if event.price is None else event.price, event.from_day)
        room.batches[batch.id] = replace(batch, offer=offer)


def withdrawn(room: Fishroom, event: Withdrawn, entry: Entry) -> None:
    """The batch is no longer for sale."""
    batch = batch_meant(room, event.batch, entry)
    if batch is not None:
        room.batches[batch.id] = replace(batch, offer=None)


def priced(room: Fishroom, event: Priced, entry: Entry) -> None:
    """A price each, for a batch (in place of the price it was offered at) or for a strain."""
    if event.strain is not None:
        room.strain_prices[event.strain, event.sex] = event.price
    batch = batch_meant(room, event.batch, entry) if event.batch is not None else None
    if batch is None:
        return
    prices = dict(batch.prices) | {event.sex: event.price}
    offer = batch.offer
    if offer is not None and event.sex in (None, offer.sex):
        offer = replace(offer, price=event.price)
    room.batches[batch.id] = replace(batch, prices=tuple(prices.items()), offer=offer)
