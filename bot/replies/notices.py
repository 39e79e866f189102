"""What people are told unasked about reservations and fish that change hands."""

from __future__ import annotations

from datetime import date
from typing import Any

from bot.replies import naming
from bot.replies.recorded_orders import reserved_what
from bot.replies.words import Style
from core import events as e
from core.fishroom.state import Fishroom, Reservation


def _what(found: Reservation, room: Fishroom) -> str:
    batch = room.batches.get(found.batch)
    strain = f", {naming.strain(room, batch.strain)}" if batch else ""
    return f"{reserved_what(found)} of batch {naming.label(found.batch)}{strain}"


def _when(found: Reservation, style: Style) -> str:
    if found.pickup is None:
        return ""
    return f", pickup {style.day(found.pickup)}{f' {style.clock(found.at)}' if found.at else ''}"


def reserved_for_keeper(found: Reservation, room: Fishroom, buyer: str, style: Style) -> str:
    """Somebody reserved."""
    if found.status == "unconfirmed":
        return f"{buyer} would like {_what(found, room)}{_when(found, style)} (#{found.number}). The fish are held for now. Confirm?"
    return f"{buyer} reserved {_what(found, room)}{_when(found, style)} (#{found.number})."


def reserved_for_buyer(found: Reservation, room: Fishroom, keeper: str, style: Style) -> str:
    """The keeper reserved for somebody."""
    return f"{keeper} keeps {_what(found, room)} for you{_when(found, style)} (#{found.number})."


def state_for_buyer(event: e.Event, found: Reservation, room: Fishroom, keeper: str, style: Style) -> str:
    """What became of a reservation, for whom it is."""
    match event:
        case e.Confirmed():
            return f"{keeper} confirmed #{found.number}: {_what(found, room)}{_when(found, style)}."
        case e.Declined():
            return f"{keeper} cannot give you #{found.number} ({_what(found, room)}), sorry. Say \"what's available\" for others."
        case e.Cancelled():
            return f"{keeper} put #{found.number} ({_what(found, room)}) down as called off. Say \"what's available\" for others."
        case e.NoShow():
            return f"{keeper} waited for you with #{found.number}. The fish are free again; reserve anew if you still want them."
        case _:
            return f"#{found.number} is now {_what(found, room)}{_when(found, style)}."


def state_for_keeper(event: e.Event, found: Reservation, room: Fishroom, buyer: str, style: Style) -> str:
    """What became of a reservation, for the keeper."""
    match event:
        case e.Cancelled():
            return f"{buyer} cancelled #{found.number} ({_what(found, room)}). The fish are free again."
        case e.ReservationChanged():
            return f"#{found.number} for {buyer} is now {_what(found, room)}{_when(found, style)}."
        case _:
            return f"#{found.number} for {buyer} is now {_what(found, room)}{_when(found, style)}: {found.status.replace('_', '-')}."


def pickup(event: Any, found: Reservation, room: Fishroom, who: str, style: Style) -> str:
    """A pickup was set, proposed, agreed or refused."""
    match event:
        case e.PickupSet() if found.proposed is not None:
            day, at, _ = found.proposed
            return f"{who} proposes {style.day(day)}{f' {style.clock(at)}' if at else ''} for the pickup of #{found.number}. Does that suit?"
        case e.PickupSet():
            other = f"If that does not suit, propose another: \"pickup for #{found.number} saturday 10:30\"."
            return f"{who} set the pickup of #{found.number} ({_what(found, room)}){_when(found, style).replace(', pickup', ':')}. {other}"
        case e.PickupAgreed():
            return f"Pickup of #{found.number} ({_what(found, room)}){_when(found, style).replace(', pickup', ':')}, agreed."
        case _:
            stands = _when(found, style).replace(", pickup ", "") or "none is set"
            return f"{who} cannot make the new pickup of #{found.number}. What stood before stands: {stands}."


def fish_came(event: e.Left, room: Fishroom, keeper: str, called: str | None) -> str:
    """A fish changed hands; `called` is its name in the receiver's own book."""
    name = f"as {naming.inside(called)}" if called else "now"
    there = f" It stands in your book {name}; tell me where it swims." if event.to_room else ""
    return f"{keeper} gave you {naming.inside(naming.fish(room, event.fish, with_strain=True))}.{there}"


def asked_to_sit(event: e.Away, keeper: str, style: Style) -> str:
    """Somebody is named to look after the fish."""
    return (
        f"{keeper} is away {style.days(event.from_day, event.to_day)} and has named you to look after the fish. "
        "Each of those mornings I send you a short list of what to do, in plain words."
    )


def not_to_sit(event: e.Away, keeper: str, style: Style) -> str:
    """The absence was taken back."""
    return f"{keeper} has changed the plan: {style.days(event.from_day, event.to_day)} is off, so there is nothing to look after."


def turned(who: str, line: str, found: Reservation | None, *, again: bool) -> str:
    """What somebody was told of a reservation is taken back, or counts `again`; `found` is the reservation as it stands now."""
    now = f" #{found.number} is {STANDS[found.status]} now." if found else " Nothing is reserved by it any more."
    return f"{who} {'puts back' if again else 'takes back'}: {line}{now}"


def keeper_left(found: Reservation, room: Fishroom, style: Style) -> str:
    """To a buyer: the keeper is no longer there, and nobody else keeps those fish."""
    deposit = f" A deposit of {style.money(found.deposit)} was noted: ask the club's organiser about it." if found.deposit else ""
    return (
        f"#{found.number} ({_what(found, room)}) is off: its keeper has left, and nobody else here keeps those fish, sorry.{deposit} "
        "Say \"what's available\" for others."
    )


def buyer_left(found: Reservation, room: Fishroom) -> str:
    """To a keeper: the buyer is no longer there."""
    return f"#{found.number} ({_what(found, room)}) is off: its buyer has left. The fish are free again."


def co_keeper_left(name: str) -> str:
    """To a keeper whose fellow keeper is no longer there."""
    return f"Somebody who kept {name} with you has left. Its promises go on with you: \"reservations\" shows them."


def asked_no_more(wish: int) -> str:
    """To somebody on the wanted list: the fish just proposed are no longer to be had."""
    return f"The fish I asked you about for wish {wish} are no longer to be had: their keeper has left. Your wish keeps its place."


def sitter_left(first: date, last: date, style: Style) -> str:
    """To a keeper: whoever was to look after the fish is no longer there."""
    return f"Whoever was to look after your fish {style.days(first, last)} has left. Please name somebody else."


STANDS = {
    "unconfirmed": "held, and waits to be confirmed",
    "confirmed": "confirmed",
    "declined": "declined",
    "cancelled": "cancelled",
    "collected": "collected",
    "no_show": "closed, as nobody came",
}


def found_by(who: str, line: str) -> str:
    """What somebody else found in the keeper's fishroom."""
    return f"{who} tells: {line}"
