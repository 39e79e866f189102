"""What is recalled the evening before a pickup: to the buyer what to bring and how to get home, to the keeper what to pack."""

from __future__ import annotations

from collections.abc import Sequence

from bot.replies import fetching, naming, orders, own_orders
from bot.replies.words import Style
from core.fishroom.state import Fishroom, Reservation
from core.planning.paying import cost_of


def pickup_tomorrow(one: Reservation, room: Fishroom, keeper: str, reach: str, style: Style) -> str:
    """The buyer's reminder; `reach` says how to reach the keeper, if that may be said."""
    at = f" at {style.clock(one.at)}" if one.at else ""
    batch = naming.batch(room, one.batch, with_strain=True)
    reach = f" {reach}." if reach else ""
    day = style.day(one.pickup) if one.pickup else "tomorrow"
    cost = cost_of(room, one)
    money = f" To pay: {own_orders.cost(cost, style)}." if cost else ""
    return (
        f"Tomorrow ({day}){at}: fetch {orders.what(one, style)} of {naming.inside(batch)} at {keeper}'s (#{one.number}).{reach}{money}\n"
        f"{fetching.what_to_bring(style)} The fish travel fasted.\n"
        "At home float the bag for 15 to 20 minutes, then net the fish over: no bag water into the tank. "
        "New fish belong in quarantine first. Never release fish."
    )


def handing_over_tomorrow(found: Sequence[tuple[Reservation, str, str]], room: Fishroom, style: Style) -> str:
    """The keeper's reminder of tomorrow's pickups: each with its buyer's name, and how to reach them where that may be said."""
    day = style.day(found[0][0].pickup) if found[0][0].pickup else "tomorrow"
    if len(found) == 1:
        one = found[0][0]
        at = f" at {style.clock(one.at)}" if one.at else ""
        return f"Tomorrow ({day}){at}: {_fetches(*found[0], room, style)} Packing list and bag labels are attached."
    lines = [f"• {f'{style.clock(one.at)}: ' if one.at else ''}{_fetches(one, buyer, reach, room, style)}" for one, buyer, reach in found]
    return "\n".join([f"Tomorrow ({day}):", *lines, "Packing lists and bag labels are attached."])


def _fetches(one: Reservation, buyer: str, reach: str, room: Fishroom, style: Style) -> str:
    batch = naming.inside(naming.batch(room, one.batch, with_strain=True))
    return f"{buyer} fetches {orders.what(one, style)} of {batch} (#{one.number}).{f' {reach}.' if reach else ''}"


def lapsed_for_keeper(one: Reservation, room: Fishroom, buyer: str, style: Style) -> str:
    """A hold has run out without the reader's word."""
    batch = naming.inside(naming.batch(room, one.batch, with_strain=True))
    return (
        f"The hold of #{one.number} ({buyer}, {orders.what(one, style)} of {batch}) has run out, and its fish are free again; {buyer} knows. "
        f'While they are free, "confirm {one.number}" still works.'
    )


def lapsed(one: Reservation, room: Fishroom, keeper: str, style: Style) -> str:
    """A hold has run out without the keeper's word."""
    batch = naming.inside(naming.batch(room, one.batch, with_strain=True))
    return (
        f"{keeper} did not confirm #{one.number} ({orders.what(one, style)} of {batch}) in time, so those fish are free again. "
        "Ask once more if you still want them."
    )
