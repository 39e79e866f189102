"""What a buyer has reserved: of whose fish, when they can be fetched, what there is to pay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.replies import naming, orders
from bot.replies.words import Style, capital, listed
from core.fishroom.state import Fishroom, Reservation, Wish
from core.planning.paying import Cost
from core.planning.readiness import Readiness


@dataclass(frozen=True, slots=True)
class Own:
    """A reservation of the reader's, with its keeper's name and what is known of it."""

    room: Fishroom
    one: Reservation
    keeper: str
    cost: Cost | None
    ready: Readiness | None


def listing(found: Sequence[Own], style: Style) -> str:
    """The reader's open reservations."""
    if not found:
        return "You have no open reservation."
    lines = [line(own, style) for own in found]
    undated = [own.one.number for own in found if own.one.pickup is None and own.one.proposed is None]
    if undated:
        lines.append(f'To fix a day say for example "pickup for #{undated[0]} saturday 11:00".')
    return "\n".join(["Your reservations:", *lines])


def line(own: Own, style: Style) -> str:
    """One of them."""
    one = own.one
    batch = naming.inside(naming.batch(own.room, one.batch, with_strain=True))
    extra = orders.remarks(one, style)
    tail = f" ({', '.join(extra)})" if extra else ""
    money = f", {cost(own.cost, style)}" if own.cost else ""
    return f"• #{one.number} {orders.what(one, style)} of {own.keeper}'s {batch}{money}{_when(own, style)}{tail}"


def wishes(found: Sequence[tuple[Wish, str, int]], style: Style) -> str:
    """What the reader looks for, each with the strain's name and the place in the row."""
    if not found:
        return 'You are looking for nothing. "wanted 4 saulosi" puts you on the list.'
    lines = [f"• wish {one.number}: {orders.wish(one, style, strain)}. {orders.in_the_row(place)}" for one, strain, place in found]
    return "\n".join(["You are looking for:", *lines])


def unchanged(one: Reservation, style: Style) -> str:
    """A change that changes nothing."""
    return f"Reservation #{one.number} is {orders.what(one, style)} of batch {naming.label(one.batch)} already."


def when_to_fetch(number: int, ready: Readiness | None, style: Style) -> str:
    """The next thing a buyer says, with days that would do."""
    example = f'say for example "pickup for #{number} saturday 11:00".'
    if ready is None or not ready.days:
        return f"When would you like to fetch them? {capital(example)}"
    days = listed([style.day(day) for day in ready.days], "or")
    when = "" if ready.ready or ready.from_day is None else f"They are likely ready from about {style.day(ready.from_day)}. "
    return f"{when}When would you like to fetch them? {days} would do: {example}"


def cost(found: Cost, style: Style) -> str:
    """ "€40.00", with what is left of it after a deposit."""
    left = f" ({style.money(found.to_pay)} after the deposit)" if found.deposit else ""
    return f"{style.money(found.price)}{left}"


def _when(own: Own, style: Style) -> str:
    one, ready = own.one, own.ready
    if one.pickup is not None:
        at = f" at {style.clock(one.at)}" if one.at else ""
        return f", to be fetched on {style.day(one.pickup)}{at}"
    if ready is None:
        return ", no pickup day yet"
    days = f"; {listed([style.day(day) for day in ready.days], 'or')} would do" if ready.days else ""
    if ready.ready:
        return f", ready now{days}"
    if ready.from_day is None:
        return f", not {style.length(ready.mm)} within sight"
    return f", ready from about {style.day(ready.from_day)} (half of them {style.length(ready.mm)} then){days}"
