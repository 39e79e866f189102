"""One-time invitations into a club: only a hash is kept, the first who uses it is bound, wrong guesses are slowed down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row, delete, select, update

from core.events import PersonId
from core.store.clubs import Role
from core.store.secret import hashed, token
from core.store.subject import Subject
from core.store.tables import guesses, invitations

GUESSES = 5
"""Wrong codes somebody may try within `GUESS_SPAN`; after that, right ones are not looked at either."""
GUESS_SPAN = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Invitation:
    """An invitation that can be used now."""

    hash: str
    club: str
    roles: frozenset[Role]
    room: str | None
    name: str | None
    by: PersonId
    expires: datetime


@dataclass(frozen=True, slots=True)
class UnknownInvitation:
    """No such invitation."""


@dataclass(frozen=True, slots=True)
class ExpiredInvitation:
    """Its time is over."""

    club: str


@dataclass(frozen=True, slots=True)
class UsedInvitation:
    """Somebody used it already."""

    club: str
    used_by: PersonId


@dataclass(frozen=True, slots=True)
class TooManyGuesses:
    """Too many wrong codes from there; the next is looked at from `again_at`."""

    again_at: datetime


Opened = Invitation | UnknownInvitation | ExpiredInvitation | UsedInvitation | TooManyGuesses


class Invitations(Subject):
    """Invitations within a transaction."""

    def make(
        self,
        club: str,
        roles: Iterable[Role],
        by: PersonId,
        now: datetime,
        expires: datetime,
        *,
        name: str | None = None,
        room: str | None = None,
    ) -> str:
        """A new invitation into the club (with `room`: as a keeper of that fishroom); the token, which is kept nowhere."""
        secret = token()
        row: dict[str, Any] = {"hash": hashed(secret), "club": club, "roles": sorted(set(roles)), "room": room, "name": name}
        self._add_all(invitations, [row | {"by_person": by, "made": now, "expires": expires}])
        return secret

    def open(self, secret: str, who: str, now: datetime) -> Opened:
        """What the token is worth to somebody; `who` names where the attempt comes from ("telegram:12345", an address)."""
        if (again := self._slowed(who, now)) is not None:
            return TooManyGuesses(again)
        query = select(invitations).where(invitations.c.hash == hashed(secret)).with_for_update()
        row = self.connection.execute(query).one_or_none()
        if row is None:
            self._count_wrong(who, now)
            return UnknownInvitation()
        if row.used_by is not None:
            return UsedInvitation(row.club, row.used_by)
        return ExpiredInvitation(row.club) if row.expires <= now else _invitation(row)

    def use(self, invitation: Invitation, person: PersonId, now: datetime) -> bool:
        """Binds the invitation to the person; False where another was quicker."""
        free = (invitations.c.hash == invitation.hash) & invitations.c.used_by.is_(None)
        return self.connection.execute(update(invitations).where(free).values(used_by=person, used_at=now)).rowcount == 1

    def open_of(self, club: str, now: datetime) -> list[Invitation]:
        """The club's invitations that are still to be used."""
        free = (invitations.c.club == club) & invitations.c.used_by.is_(None) & (invitations.c.expires > now)
        rows = self.connection.execute(select(invitations).where(free).order_by(invitations.c.made, invitations.c.hash))
        return [_invitation(row) for row in rows]

    def withdraw(self, invitation: Invitation) -> None:
        """The invitation is void."""
        self.connection.execute(delete(invitations).where(invitations.c.hash == invitation.hash))

    def _slowed(self, who: str, now: datetime) -> datetime | None:
        row = self.connection.execute(select(guesses).where(guesses.c.who == who)).one_or_none()
        if row is None or row.wrong < GUESSES or row.since + GUESS_SPAN <= now:
            return None
        again: datetime = row.since + GUESS_SPAN
        return again

    def _count_wrong(self, who: str, now: datetime) -> None:
        if self._add_new(guesses, {"who": who, "since": now, "wrong": 1}):
            return
        row = self.connection.execute(select(guesses).where(guesses.c.who == who).with_for_update()).one()
        over = row.since + GUESS_SPAN <= now
        values = {"since": now, "wrong": 1} if over else {"wrong": row.wrong + 1}
        self.connection.execute(update(guesses).where(guesses.c.who == who).values(**values))


def _invitation(row: Row[Any]) -> Invitation:
    return Invitation(row.hash, row.club, frozenset(row.roles), row.room, row.name, row.by_person, row.expires)
