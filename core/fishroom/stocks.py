"""When batches part or come together: splits, merges, and fish that share water and can no longer be told apart.

What is put together becomes one stock: its parentage is a mixture by numbers, it remembers which batches it was mixed from and in
which shares (their sizes make a mixture too), and letters and reservations of what went into it mean the stock from then on.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from core.events import BatchId, Entry, Merged, Mixed, Split, ToldApart
from core.fishroom.batches import in_place
from core.fishroom.books import batch_meant, blend, check_place, crossed, enter, problem, revised, sound_number
from core.fishroom.numbers import Groups, Which, anywhere, held_with, held_without, moved_to, put, take, total
from core.fishroom.state import Batch, Change, Fishroom, Offer


def split(room: Fishroom, event: Split, entry: Entry) -> None:
    """Part of a batch becomes a batch of its own, with the same parents, age, water history and sizes."""
    batch = batch_meant(room, event.batch, entry)
    if batch is None:
        return
    if event.count is None and event.sex is None:
        problem(room, entry, "nothing_said", batch.id)
        return
    check_place(room, event.to, entry)
    count = batch.count_of(event.sex) if event.count is None and event.sex else event.count or 0
    if event.new in room.batches:
        problem(room, entry, "label_taken", event.new)
        return
    if not sound_number(room, entry, count, batch.id):
        return
    stay, part = take(batch.groups, count, event.sex)
    if total(part) < count:
        problem(room, entry, "not_enough", batch.id)
    if part:
        _part(room, batch, event, entry, stay, part)


def _part(room: Fishroom, batch: Batch, event: Split, entry: Entry, stay: Groups, part: Groups) -> None:
    off = Change(entry.on, "split_off", -total(part), entry.number, event.sex, to=event.new)
    room.batches[batch.id] = revised(batch, stay, entry.on, off)
    new = replace(
        batch,
        id=event.new,
        label=event.new.partition(".")[0],
        began=entry.on,
        groups=(),
        held_back=(),
        changes=(),
        counts=(),
        sexings=(),
        offer=None,
    )
    arrival = Change(entry.on, "split_in", total(part), entry.number, event.sex, to=batch.id)
    enter(room, new, moved_to(event.to, part) if event.to else part, arrival)


def merged(room: Fishroom, event: Merged, entry: Entry) -> None:
    """Batches are put together under the name of one of them."""
    _together(room, event.batches, event.into, anywhere, entry)


def mixed(room: Fishroom, event: Mixed, entry: Entry) -> None:
    """Batches share a place and can no longer be told apart.

    A part of one that is elsewhere stays a batch under its own letter.
    """
    check_place(room, event.place, entry)
    _together(room, event.batches, event.into, in_place(event.place), entry)


def told_apart(room: Fishroom, event: ToldApart, entry: Entry) -> None:
    """Batches that share a place can be told apart."""
    room.told_apart.add(frozenset(event.batches))


def _together(room: Fishroom, batches: Iterable[BatchId], into: BatchId, which: Which, entry: Entry) -> None:
    stock = batch_meant(room, into, entry)
    if stock is None:
        return
    for letter in batches:
        source = batch_meant(room, letter, entry)
        if source is not None and source.id != stock.id:
            _pour(room, source, room.batches[stock.id], which, entry)


def _pour(room: Fishroom, source: Batch, stock: Batch, which: Which, entry: Entry) -> None:
    going = tuple(group for group in source.groups if which(group))
    staying = tuple(group for group in source.groups if not which(group))
    number = total(going)
    if number == 0 and staying:
        problem(room, entry, "not_enough", source.id)
        return
    gone = (Change(entry.on, "merged_away", -number, entry.number, to=stock.id),) if number else ()
    come = (Change(entry.on, "merged_in", number, entry.number, to=source.id),) if number else ()
    kept = min(source.held_back_count, number)
    held = stock.held_back
    for sex, count in source.held_back:
        held = held_with(held, sex, min(count, kept))
        kept -= min(count, kept)
    joined = replace(
        stock,
        parentage=blend(stock.parentage, stock.count, source.parentage, number),
        mixture=_mixture(stock, source, number),
        hybrid=crossed(stock, source),
        offer=_offer(stock, source, number),
        approx=stock.approx or source.approx,
    )
    room.batches[stock.id] = revised(joined, put(stock.groups, going), entry.on, *come, held=held)
    left = revised(source, staying, entry.on, *gone, held=held_without(source.held_back, number))
    room.batches[source.id] = left if staying else replace(left, merged_into=stock.id, offer=None)
    if not staying:
        _redirect(room, source.id, stock.id)


def _mixture(stock: Batch, source: Batch, number: int) -> tuple[tuple[BatchId, float], ...]:
    """Shares of the batches as they were before the first mixing, by the numbers now."""
    shares: dict[BatchId, float] = {}
    for batch, count in ((stock, stock.count), (source, number)):
        for letter, share in batch.mixture or ((batch.id, 1.0),):
            shares[letter] = shares.get(letter, 0.0) + share * count
    whole = sum(shares.values())
    return tuple((letter, share / whole) for letter, share in shares.items()) if whole else stock.mixture


def _offer(stock: Batch, source: Batch, number: int) -> Offer | None:
    """What was for sale stays for sale, and no more than that: an offer of all of one becomes an offer of its number."""
    mine, other = stock.offer, source.offer
    if other is None or number == 0:
        return mine if mine is None or other is not None or number == 0 else replace(mine, count=_offered(mine, stock.count))
    if mine is None:
        return replace(other, count=_offered(other, number))
    both = None if mine.count is None and other.count is None else _offered(mine, stock.count) + _offered(other, number)
    price: Decimal | None = other.price if mine.price is None else mine.price
    return replace(mine, count=both, sex=mine.sex if mine.sex == other.sex else None, price=price)


def _offered(offer: Offer, there_are: int) -> int:
    return there_are if offer.count is None else offer.count


def _redirect(room: Fishroom, gone: BatchId, stock: BatchId) -> None:
    for reservation in list(room.reservations.values()):
        if reservation.batch == gone and reservation.closed is None:
            room.reservations[reservation.number] = replace(reservation, batch=stock)
