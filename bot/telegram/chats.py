"""What becomes of a chat: it closes, it opens again, it moves."""

from __future__ import annotations

from datetime import datetime

from bot.telegram.incoming import DOOR
from core.store.transaction import Transaction


def gone(tx: Transaction, chat: str, now: datetime) -> None:
    """The chat cannot be written to again: whatever waits for it is given up, and a group is no club's group any more."""
    tx.deliveries.give_up(now, door=DOOR, chat=chat)
    tx.people.blocked(DOOR, chat, now)
    tx.clubs.remove_group(DOOR, chat)


def opened(tx: Transaction, chat: str) -> None:
    """The member lets the bot write again."""
    tx.people.blocked(DOOR, chat, None)


def moved(tx: Transaction, old: str, new: str, now: datetime) -> None:
    """The group goes on under a new id, and what waits for it goes there."""
    tx.deliveries.move(DOOR, old, new, now)
    club = tx.clubs.of_group(DOOR, old)
    if club is not None:
        tx.clubs.remove_group(DOOR, old)
        tx.clubs.set_group(DOOR, new, club)
