"""The shelf's rows, from the fishrooms of the club."""

from __future__ import annotations

from datetime import datetime

from bot.page.shelf import ShelfRow
from bot.replies import naming
from bot.replies.words import Style, by_sex, number
from core.club import Visit
from core.fishroom.state import Batch, Fishroom


def rows_of(visit: Visit, club: str, style: Style, moment: datetime) -> list[ShelfRow]:
    """Every batch on offer in the club."""
    found = []
    for room in visit.rooms_of_club(club):
        keeper = visit.keeper_name(room.id)
        found += [_row(room, batch, keeper, style, moment) for batch in offered(room)]
    return found


def offered(room: Fishroom) -> list[Batch]:
    """Living batches that are for sale and are what they are called."""
    return [batch for batch in room.live_batches() if batch.offer is not None]


def photos_on(visit: Visit, club: str) -> set[str]:
    """The photos that the shelf shows."""
    rooms = visit.rooms_of_club(club)
    return {photo for room in rooms for batch in offered(room) if (photo := newest_photo(room, batch))}


def newest_photo(room: Fishroom, batch: Batch) -> str | None:
    """The newest photo of the batch."""
    return next((note.photo for note in reversed(room.notes) if note.photo and note.batch == batch.id), None)


def _row(room: Fishroom, batch: Batch, keeper: str, style: Style, moment: datetime) -> ShelfRow:
    promised = sum(one.left for one in room.reservations.values() if one.batch == batch.id and one.open_at(moment))
    free = max(0, batch.count - promised - batch.held_back_count)
    offer = batch.offer
    facts = [("Free", f"about {number(free, 0)} of {batch.count}"), ("Sexes", _sexes(batch))]
    if offer and offer.price is not None:
        facts.append(("Price", f"{style.money(offer.price)} each"))
    if offer and offer.from_day is not None:
        facts.append(("From", style.near(offer.from_day)))
    return ShelfRow(
        key=f"{room.id}/{batch.id}",
        strain_key=batch.strain,
        strain=naming.kind_of_batch(room, batch),
        batch=batch.label,
        keeper=keeper,
        facts=tuple(facts),
        say=f"reserve 6 of {keeper}'s {batch.label}",
        ready=offer.from_day if offer else None,
        photo=newest_photo(room, batch),
    )


def _sexes(batch: Batch) -> str:
    return by_sex(batch.count_of("male"), batch.count_of("female"), batch.count_of("unsexed"))
