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


def moved(tx: Transaction, old: str, new: str) -> None:
    """The chat goes on under a new id, and everything that belongs to it goes there."""
    tx.leaving.move_chat(DOOR, old, new)
