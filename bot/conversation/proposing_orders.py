"""Offers, reservations, pickups and wishes as they are read become events: one small function per kind, in the table `ORDERS`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, time
from decimal import Decimal
from typing import Any

from bot.conversation.here import Here, NotClearError, Unclear, day_of, time_of
from bot.replies import selling
from bot.replies.orders import fish
from core import events as e
from core.fishroom.choices import confirms_by_hand
from core.fishroom.state import Batch, Reservation
from core.planning.pickups import DoesNotSuit, suits
from core.planning.promises import held_until
from core.planning.standing import in_proportion, parts_of

Slots = Mapping[str, Any]


def offered(here: Here, slots: Slots) -> None:
    """For sale from a day. A batch has one offer: another takes its place, and that of the other sex in one message is asked about."""
    batch = here.batch(slots["batch"])
    sex, before = slots.get("sex"), batch.offer.sex if batch.offer else None
    if any(isinstance(one.event, e.Offered) and one.event.batch == batch.id for one in here.proposals):
        raise NotClearError(Unclear("batch", "one_offer", batch.label))
    if {sex, before} == {"male", "female"}:
        here.remarks.append(selling.takes_the_place(batch.label, "male" if sex == "female" else "female"))
    price = Decimal(slots["price"]) if slots.get("price") else None
    here.propose(e.Offered(batch.id, slots.get("count"), slots.get("sex"), price, day_of(slots.get("from"))))


def withdrawn(here: Here, slots: Slots) -> None:
    """No longer for sale."""
    here.propose(e.Withdrawn(here.batch(slots["batch"]).id))


def sold(here: Here, slots: Slots) -> None:
    """Gone without a reservation."""
    member = here.visit.member_named(here.club_id, slots["member"]) if slots.get("member") else None
    price = Decimal(slots["price"]) if slots.get("price") else None
    here.propose(e.Sold(here.batch(slots["batch"]).id, slots["count"], slots.get("sex"), member, price), slots)


def go_to_batch(here: Here, label: str) -> Batch:
    """Enter the fishroom whose batch is meant: the writer's own where it has such a batch, else the one that offers it."""
    if here.room_id is not None and (found := here.own_batch(label)):
        return found
    rooms = here.visit.rooms_offering(here.club_id, label)
    if not rooms:
        raise NotClearError(Unclear("batch", "unknown", label))
    if len(rooms) > 1:
        options = tuple(f"{here.visit.keeper_name(room)}'s {label}" for room in rooms)
        raise NotClearError(Unclear("batch", "several_keepers", label, options))
    here.in_room(rooms[0])
    return here.batch(label)


def reserved(here: Here, slots: Slots) -> None:
    """One reservation against one batch. Asked by strain, the batch that fits best; parts are proposed, not taken (see orders)."""
    member = here.visit.member_named(here.club_id, slots["member"]) if slots.get("member") else here.person
    if "batch" not in slots:
        raise NotClearError(Unclear("batch", "by_strain"))
    if member is None:
        raise NotClearError(Unclear("member", "unknown", str(slots["member"])))
    batch = go_to_batch(here, str(slots["batch"]))
    reserve_in(here, batch, member, slots)


def reserve_in(here: Here, batch: Batch, member: str, slots: Slots) -> None:
    """Propose the reservation of a batch of the fishroom the scene is in."""
    keeper = here.visit.is_keeper(here.person, here.room.id)
    pickup, at = day_of(slots.get("pickup")), time_of(slots.get("at"))
    if pickup is not None:
        check_day(here, Reservation(0, member, batch.id, slots["count"], here.told, "confirmed"), pickup, at, by_keeper=keeper)
    by_hand = confirms_by_hand(here.room) and not keeper
    here.propose(
        e.Reserved(
            here.new_reservation(),
            member,
            batch.id,
            slots["count"],
            slots.get("sex"),
            slots.get("males"),
            slots.get("females"),
            pickup,
            at,
            slots.get("min_mm"),
            confirmed=not by_hand,
            hold_until=held_until(here.room, here.told) if by_hand else None,
            wish=slots.get("wish"),
        )
    )


def reservation(here: Here, slots: Slots) -> Reservation:
    """The reservation of that number; the scene goes into its fishroom. Others' reservations do not exist for a mere buyer."""
    number = int(slots["reservation"])
    room = here.visit.room_of_reservation(here.club_id, number)
    if room is None:
        raise NotClearError(Unclear("reservation", "unknown", str(number)))
    here.in_room(room)
    found = here.room.reservations[number]
    if found.member != here.person and not here.visit.is_keeper(here.person, room):
        raise NotClearError(Unclear("reservation", "unknown", str(number)))
    return found


def confirmed(here: Here, slots: Slots) -> None:
    """The keeper says yes."""
    here.propose(e.Confirmed(reservation(here, slots).number))


def declined(here: Here, slots: Slots) -> None:
    """The keeper says no."""
    here.propose(e.Declined(reservation(here, slots).number))


def reservation_changed(here: Here, slots: Slots) -> None:
    """Another number, sex, mix or batch. The numbers said are what is still to be fetched; what was fetched stays in the book."""
    found = reservation(here, slots)
    batch = here.batch_of(slots)
    males, females = _mix(found, slots)
    count = slots["count"] + found.collected if slots.get("count") is not None else None
    males = males + found.collected_males if males is not None else None
    females = females + found.collected_females if females is not None else None
    said = {"count": count, "sex": slots.get("sex"), "batch": batch, "males": males, "females": females}
    if all(value is None or value == getattr(found, name) for name, value in said.items()):
        raise NotClearError(Unclear("reservation", "unchanged", str(found.number), (), found))
    here.propose(e.ReservationChanged(found.number, count, slots.get("sex"), batch, males, females))


def _mix(found: Reservation, slots: Slots) -> tuple[int | None, int | None]:
    """The males and females meant. Another number of a mix keeps the mix where it comes out even; else it is asked."""
    if "males" in slots or "females" in slots:
        return slots.get("males", 0), slots.get("females", 0)
    count, (males, females, either) = slots.get("count"), parts_of(found)
    if count is None or slots.get("sex") or found.sex or not (males or females):
        return None, None
    if all(part * count % found.left == 0 for part in (males, females, either)):
        return males * count // found.left, females * count // found.left
    least = males * count // found.left
    near = in_proportion(found, count)
    mixes = {near[0]: near[1]} if either else {most: count - most for most in (least, least + 1) if most <= count}
    options = (*(fish(count, None, *mix) for mix in mixes.items()), f"{count} of either sex")
    raise NotClearError(Unclear("mix", "mix", fish(found.left, None, males, females), options))


def pickup_set(here: Here, slots: Slots) -> None:
    """A day (and time) that suits the keeper. The first that is said stands; a change is a proposal until the other side accepts.

    A guest's keeper speaks for both. A change of the time alone keeps the day.
    """
    found = reservation(here, slots)
    at = time_of(slots.get("at"))
    pickup = day_of(slots.get("pickup")) or found.pickup or here.today
    keeps = here.visit.is_keeper(here.person, here.room.id)
    alone = here.visit.is_guest(found.member, here.club_id) or (found.member == here.person and keeps)
    check_day(here, found, pickup, at, by_keeper=keeps)
    at = at or found.at
    if found.proposed is not None and found.proposed[:2] == (pickup, at) and not alone:
        _the_same(here, found)
        return
    if found.proposed is None and (found.pickup, found.at) == (pickup, at):
        raise NotClearError(Unclear("pickup", "stands_already", str(found.number), (), found))
    confirm_by_the_way(here, found, keeps=keeps)
    here.propose(e.PickupSet(found.number, pickup, at, None if alone or found.pickup is None else here.person))


def _the_same(here: Here, found: Reservation) -> None:
    """The day that is proposed already is said again: by the other side that is a yes."""
    if found.proposed is None or found.proposed[2] == here.person:
        raise NotClearError(Unclear("pickup", "proposed_already", str(found.number), (), found))
    confirm_by_the_way(here, found, keeps=here.visit.is_keeper(here.person, here.room.id))
    here.propose(e.PickupAgreed(found.number))


def confirm_by_the_way(here: Here, found: Reservation, *, keeps: bool) -> None:
    """A keeper who agrees on a day says yes to the reservation too."""
    if keeps and found.status == "unconfirmed":
        here.propose(e.Confirmed(found.number))


def check_day(here: Here, found: Reservation, pickup: date, at: time | None, *, by_keeper: bool) -> None:
    """Raises where the keeper cannot hand over then; a keeper chooses any day that is still to come and leaves time to catch."""
    decision = suits(here.room, found, pickup, at, here.today)
    if isinstance(decision, DoesNotSuit) and not (by_keeper and decision.why in ("away", "not_free", "hours")):
        options = tuple(day.isoformat() for day in decision.days) if decision.why != "hours" else ()
        keeper = here.visit.keeper_name(here.room.id)
        raise NotClearError(Unclear("pickup", "does_not_suit", pickup.isoformat(), options, (decision, keeper)))


def pickup_agreed(here: Here, slots: Slots) -> None:
    """The other side accepts."""
    found = reservation(here, slots)
    confirm_by_the_way(here, found, keeps=here.visit.is_keeper(here.person, here.room.id))
    here.propose(e.PickupAgreed(found.number))


def pickup_refused(here: Here, slots: Slots) -> None:
    """The other side does not accept."""
    here.propose(e.PickupRefused(reservation(here, slots).number))


def collected(here: Here, slots: Slots) -> None:
    """Fetched, all or in part."""
    found = reservation(here, slots)
    here.propose(e.Collected(found.number, slots.get("count"), slots.get("males"), slots.get("females")), slots)


def cancelled(here: Here, slots: Slots) -> None:
    """Called off by the writer's side."""
    found = reservation(here, slots)
    here.propose(e.Cancelled(found.number, "buyer" if found.member == here.person else "keeper"))


def no_show(here: Here, slots: Slots) -> None:
    """Nobody came."""
    here.propose(e.NoShow(reservation(here, slots).number), slots)


def deposit(here: Here, slots: Slots) -> None:
    """Money noted."""
    here.propose(e.Deposit(reservation(here, slots).number, Decimal(slots["amount"])))


def wanted(here: Here, slots: Slots) -> None:
    """A line on the wanted list."""
    here.propose_club(
        e.Wanted(
            here.new_wish(),
            here.person,
            str(slots["strain"]),
            slots["count"],
            slots.get("sex"),
            day_of(slots.get("by")),
            slots.get("min_mm"),
        )
    )


ORDERS: Mapping[str, Callable[[Here, Slots], None]] = {
    function.__name__: function
    for function in (
        offered,
        withdrawn,
        sold,
        reserved,
        confirmed,
        declined,
        reservation_changed,
        pickup_set,
        pickup_agreed,
        pickup_refused,
        collected,
        cancelled,
        no_show,
        deposit,
        wanted,
    )
}
