"""A message that could not be handled, time after time: its organisers are told who and when, and the log where it went wrong.

Neither the notice nor the log shows what was written: that is the member's. It stays in the inbox, for whoever looks after the bot.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from traceback import extract_tb
from zoneinfo import ZoneInfo

from bot.conversation.message import Reply
from bot.conversation.plain import to_plain
from bot.conversation.sending import quiet_until
from bot.replies.set_aside import for_the_organiser
from core.store import Transaction
from core.store.clubs import Club
from core.store.people import Identity, Person

ROOT = Path(__file__).parents[2]


def tell_organisers(tx: Transaction, key: str, sender: Person | None, door: str, error: str, now: datetime) -> None:
    """Puts a notice to the organisers of the sender's clubs (of every club, for a stranger) among the deliveries, once per key."""
    clubs = [club for club, _ in tx.clubs.of(sender.id)] if sender else tx.clubs.all()
    for club, person, where in _organisers(tx, clubs):
        local = now.astimezone(ZoneInfo(person.zone or club.zone))
        tx.deliveries.put(
            f"aside:{key}:{where.door}:{where.external}",
            door=where.door,
            chat=where.chat,
            kind="notice",
            payload=to_plain(Reply(for_the_organiser(sender.name if sender else None, door, local, error))),
            due_at=now,
            now=now,
            person=person.id,
            hold_until=quiet_until(person, club, now),
        )


def organisers_chats(tx: Transaction) -> set[tuple[str, str]]:
    """Every organiser's chats, as (door, chat)."""
    return {(where.door, where.chat) for _, _, where in _organisers(tx, tx.clubs.all())}


def _organisers(tx: Transaction, clubs: list[Club]) -> Iterator[tuple[Club, Person, Identity]]:
    """The organisers by every door of theirs that is open."""
    for club in clubs:
        for one in tx.clubs.members(club.id):
            if "organiser" in one.roles:
                yield from ((club, one.person, where) for where in tx.people.identities(one.person.id) if where.blocked is None)


def kind_of(error: BaseException) -> str:
    """What kind of error it was and where it came up, without its words: they may quote a member's."""
    frames = extract_tb(error.__traceback__)
    return f"{type(error).__name__} in {_place(frames[-1].filename)}, line {frames[-1].lineno}" if frames else type(error).__name__


def way_to(error: BaseException) -> str:
    """Every step to the error, for the log, without its words; the causes behind it too."""
    steps = [f"{_place(frame.filename)}:{frame.lineno} {frame.name}" for frame in extract_tb(error.__traceback__)]
    behind = f"; because of {way_to(error.__cause__)}" if error.__cause__ else ""
    return f"{type(error).__name__} at {' > '.join(steps)}{behind}"


def _place(file: str) -> str:
    path = Path(file)
    return str(path.relative_to(ROOT)) if path.is_relative_to(ROOT) else path.name
