"""One line for everything of the order book that was recorded: offers, reservations, pickups, wishes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.replies import naming, own_orders
from bot.replies.recorded_scene import Scene, Words
from bot.replies.words import capital, counted, listed, of_sex
from core import events as e
from core.events import Entry
from core.fishroom.state import Reservation
from core.planning.paying import cost_of


def _offered(entry: Entry, event: e.Offered, scene: Scene) -> str:
    what = of_sex(event.count, event.sex) + " of " if event.count else f"the {event.sex}s of " if event.sex else ""
    price = f" at {scene.style.money(event.price)} each" if event.price is not None else ""
    day = f" from {scene.style.day(event.from_day)}" if event.from_day else ""
    return capital(f"{what}batch {naming.label(event.batch)} for sale{price}{day}.")


def _priced(entry: Entry, event: e.Priced, scene: Scene) -> str:
    what = f"batch {naming.label(event.batch)}" if event.batch else naming.strain(scene.room, event.strain or "")
    sex = f", {event.sex}s" if event.sex else ""
    return f"Price of {what}{sex}: {scene.style.money(event.price)} each."


def reserved_what(event: Any) -> str:
    """ "1 male and 4 females", "6 fish"; of a reservation that was collected in part what is still to be fetched."""
    gone: int = getattr(event, "collected", 0)
    if gone and gone < event.count:
        males = max(0, (event.males or 0) - event.collected_males)
        females = max(0, (event.females or 0) - event.collected_females)
        if males or females:
            return listed([of_sex(n, sex) for n, sex in ((males, "male"), (females, "female")) if n])  # type: ignore[arg-type]
        return of_sex(event.count - gone, event.sex)
    if event.males or event.females:
        return listed([of_sex(n, sex) for n, sex in ((event.males, "male"), (event.females, "female")) if n])  # type: ignore[arg-type]
    return of_sex(event.count, event.sex)


def _reserved(entry: Entry, event: e.Reserved, scene: Scene) -> str:
    who = scene.person(event.member)
    pickup = (
        f", pickup {scene.style.day(event.pickup)}{f' {scene.style.clock(event.at)}' if event.at else ''}" if event.pickup else ""
    )
    state = "" if event.confirmed else " The keeper has yet to confirm."
    return (
        f"Reservation #{event.reservation}: {reserved_what(event)} of {scene.lot(event.batch)} for {who}{pickup}.{state}"
        f"{_cost(event.reservation, scene)}"
    )


def _cost(number: int, scene: Scene) -> str:
    """ " In all €40.00." where the keeper has named the prices."""
    found = scene.room.reservations.get(number)
    known = cost_of(scene.room, found) if found and not scene.past and not scene.undone else None
    return f" In all {own_orders.cost(known, scene.style)}." if known else ""


def _pickup_set(entry: Entry, event: e.PickupSet, scene: Scene) -> str:
    at = f" {scene.style.clock(event.at)}" if event.at else ""
    found = scene.room.reservations.get(event.reservation)
    other = "the keeper" if found and found.member == event.proposed_by else scene.person(found.member) if found else "the other side"
    proposed = f" proposed; it stands once {other} accepts" if event.proposed_by else ""
    return f"Reservation #{event.reservation}: pickup {scene.style.day(event.pickup)}{at}{proposed}."


def _collected(entry: Entry, event: e.Collected, scene: Scene) -> str:
    found = scene.room.reservations.get(event.reservation)
    count = event.count or _handed_over(entry, found, scene)
    took = f": {counted(count, 'fish', 'fish')}{_of_whom(event, scene)}" if count else ""
    rest = f" {found.left} still reserved." if found and found.left and found.status in ("confirmed", "unconfirmed") else ""
    return f"Reservation #{event.reservation} collected{scene.when(entry)}{took}.{rest}"


def _handed_over(entry: Entry, found: Reservation | None, scene: Scene) -> int:
    """How many fish left the batch with this entry; all that were fetched, where the book says no more of it."""
    batch = scene.room.batches.get(found.batch) if found else None
    gone = sum(-change.count for change in batch.changes if change.entry == entry.number) if batch else 0
    return gone or (found.collected if found else 0)


def _of_whom(event: Any, scene: Scene) -> str:
    """ " of batch A by Marek": whose reservation it is, of what."""
    found = scene.room.reservations.get(event.reservation)
    return f" of {scene.lot(found.batch)} by {scene.person(found.member)}" if found else ""


def _sold(entry: Entry, event: e.Sold, scene: Scene) -> str:
    to = f" to {scene.person(event.member)}" if event.member else ""
    price = f" for {scene.style.money(event.price)}" if event.price is not None else ""
    done = "sold" if event.price is not None else "passed on"
    return f"{of_sex(event.count, event.sex)} of batch {naming.label(event.batch)} {done}{to}{price}{scene.when(entry)}.{scene.left_in(event.batch)}"


def _reservation_changed(entry: Entry, event: e.ReservationChanged, scene: Scene) -> str:
    found = scene.room.reservations.get(event.reservation)
    if found is None:
        return f"Reservation #{event.reservation} changed."
    return f"Reservation #{event.reservation} is now {reserved_what(found)} of {scene.lot(found.batch)}.{_cost(found.number, scene)}"


def _wanted(entry: Entry, event: e.Wanted, scene: Scene) -> str:
    by = f" by {scene.style.day(event.by_day)}" if event.by_day else ""
    size = f" from {scene.style.length(event.min_mm)}" if event.min_mm else ""
    strain = event.strain.replace("-", " ")
    return f"On the wanted list (wish {event.wish}): {of_sex(event.count, event.sex)}, {strain}{size}{by}."


def _numbered(form: str) -> Words:
    """A sentence about a reservation; `what` is ": 6 fish of batch A for Marek"."""
    return lambda entry, event, scene: form.format(
        number=event.reservation, when=scene.when(entry), what=_what(event, scene), pickup=_agreed(event, scene)
    )


def _what(event: Any, scene: Scene) -> str:
    found = scene.room.reservations.get(event.reservation)
    return f": {reserved_what(found)} of {scene.lot(found.batch)} for {scene.person(found.member)}" if found else ""


def _agreed(event: Any, scene: Scene) -> str:
    found = scene.room.reservations.get(event.reservation)
    if found is None or found.pickup is None:
        return "none is set"
    return f"{scene.style.day(found.pickup)}{f' {scene.style.clock(found.at)}' if found.at else ''}"


WISH_ANSWERS = {"met": "met", "passed": "not these; the next in the row is asked", "dropped": "off the list"}

ORDER_LINES: Mapping[type[e.Event], Words] = {
    e.Offered: _offered,
    e.Withdrawn: lambda entry, event, scene: f"Batch {naming.label(event.batch)} is off sale; reservations stand.",
    e.Priced: _priced,
    e.Reserved: _reserved,
    e.Confirmed: _numbered("Reservation #{number} confirmed{what}."),
    e.Declined: _numbered("Reservation #{number} declined{what}."),
    e.ReservationChanged: _reservation_changed,
    e.PickupSet: _pickup_set,
    e.PickupAgreed: _numbered("Reservation #{number}: pickup {pickup} agreed."),
    e.PickupRefused: _numbered("Reservation #{number}: that pickup is off. What stands: {pickup}."),
    e.Collected: _collected,
    e.NoShow: _numbered("Reservation #{number}: nobody came{when}. The fish are free again."),
    e.Cancelled: _numbered("Reservation #{number} cancelled{what}."),
    e.Deposit: lambda entry, event, scene: f"Deposit of {scene.style.money(event.amount)} noted on #{event.reservation}.",
    e.Sold: _sold,
    e.Wanted: _wanted,
    e.WishOffered: lambda entry, event, scene: f"Wish {event.wish}: {event.count} of batch {naming.label(event.batch)} proposed.",
    e.WishAnswered: lambda entry, event, scene: f"Wish {event.wish}: {WISH_ANSWERS[event.answer]}.",
}
