"""What the bot says unasked: a row in the deliveries with a stable key, for the door a person uses, held back in quiet hours."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from bot.conversation.message import Reply
from bot.conversation.plain import from_plain, to_plain
from bot.mornings import end_of_quiet, night_of
from bot.replies.talk import MAY_REPEAT
from core.club import Visit
from core.store.clubs import Club
from core.store.deliveries import Delivery
from core.store.people import Identity, Person

DOORS = ("telegram", "page", "play", "terminal")
"""Where a person with several doors is written to: the first they have."""


def door_of(visit: Visit, person: str) -> Identity | None:
    """Where the person is written to: the first door that is not blocked."""
    open_doors = [one for one in visit.tx.people.identities(person) if one.blocked is None]
    order = {door: place for place, door in enumerate(DOORS)}
    return min(open_doors, key=lambda one: order.get(one.door, len(order)), default=None)


def send(
    visit: Visit,
    club: Club,
    person_id: str,
    key: str,
    kind: Literal["digest", "alert", "notice"],
    reply: Reply,
    now: datetime,
    *,
    urgent: bool = False,
    due_at: datetime | None = None,
) -> bool:
    """Put a message to a person into the deliveries, once per key. Somebody without a door (a guest) is not written to."""
    person = visit.person(person_id)
    where = door_of(visit, person_id)
    if where is None:
        return False
    hold = None if urgent or kind == "digest" else quiet_until(person, club, due_at or now)
    return bool(
        visit.tx.deliveries.put(
            key,
            door=where.door,
            chat=where.chat,
            kind=kind,
            payload=to_plain(reply),
            due_at=due_at or now,
            now=now,
            person=person_id,
            hold_until=hold,
        )
    )


def quiet_until(person: Person, club: Club, moment: datetime) -> datetime | None:
    """When a message may be said, if the person sleeps at the moment."""
    start, end = night_of(person.quiet_from, person.quiet_to)
    until = end_of_quiet(ZoneInfo(person.zone or club.zone), start, end, moment)
    return until if until > moment else None


def reply_of(delivery: Delivery) -> Reply:
    """The reply that a delivery carries; one that may have arrived before says so."""
    reply = from_plain(delivery.payload)
    return replace(reply, text=f"{MAY_REPEAT} {reply.text}") if delivery.may_repeat else reply
