"""What waits for somebody's word, where a bare yes or no does not say to which."""

from __future__ import annotations

from collections.abc import Sequence

from bot.replies import orders
from bot.replies.words import Style
from core.fishroom.state import Reservation


def which(lines: Sequence[str], *, yes: bool) -> str:
    """To what is the answer?"""
    word = "Yes" if yes else "No"
    return "\n".join([f"{word} to what? {'These wait' if len(lines) > 1 else 'This waits'} for your word:", *lines])


def waits(one: Reservation, about: str, buyer: str, style: Style) -> str:
    """A reservation that waits for the reader's word."""
    if about == "pickup" and one.proposed is not None:
        day, at, _ = one.proposed
        return f"• #{one.number} ({buyer}): pickup on {style.day(day)}{f' at {style.clock(at)}' if at else ''}"
    return f"• #{one.number}: {buyer} would like {orders.what(one, style)}"


def nothing_waits(number: int | None) -> str:
    """A yes or a no to something that is settled, or was never asked."""
    return f"Nothing {f'about #{number} ' if number else 'there '}waits for your word now, so nothing changed."


def wish_waits(number: int, count: int) -> str:
    """Fish are kept for a wish of the reader's."""
    return f"• wish {number}: {count} fish are kept for you"


def to_reservation(number: int, *, yes: bool) -> str:
    """The label of a button."""
    return f"{'Yes' if yes else 'No'} to #{number}"


def to_wish(number: int, *, yes: bool) -> str:
    """The label of a button."""
    return f"{'Yes' if yes else 'No'} to wish {number}"
