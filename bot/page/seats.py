"""Who sits at the page: a one-time link becomes a session, and a session says who somebody is and how they read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock
from bot.conversation.message import Reply
from bot.page import words
from bot.page.talk import Talker
from bot.replies.words import Style
from core.events import PersonId
from core.store import Store, Transaction
from core.store.people import Person
from core.store.secret import token
from core.units import DateOrder, Units

DOOR = "page"
KEPT_IN = timedelta(days=90)
"""How long a device stays signed in."""


@dataclass(frozen=True, slots=True)
class Seat:
    """Somebody signed in: the person, how the conversation knows them, their club, and the fishrooms they keep (id, name)."""

    person: PersonId
    name: str
    external: str
    club: str
    club_name: str
    roles: frozenset[str]
    rooms: tuple[tuple[str, str], ...]
    zone: ZoneInfo
    dates: DateOrder
    units: Units

    def style(self, clock: Clock) -> Style:
        """How they read days and lengths, today."""
        return Style(clock.now().astimezone(self.zone).date(), self.dates, self.units)


@dataclass(frozen=True, slots=True)
class Entered:
    """Signed in: the secret for the cookie, and what the conversation says to the newcomer."""

    person: PersonId
    secret: str
    replies: tuple[Reply, ...] = ()


@dataclass(frozen=True, slots=True)
class NotEntered:
    """The link or code opens nothing; the sentence says why."""

    why: str


@dataclass(frozen=True, slots=True)
class Seats:
    """Signing in and out, over the store's sessions and the conversation's invitations."""

    store: Store
    talker: Talker
    clock: Clock

    def enter(self, code: str, name: str, seat: Seat | None = None) -> Entered | NotEntered:
        """Follow a sign-in link, else use an invitation (for who sits here already, where somebody does)."""
        now = self.clock.now()
        with self.store.write() as tx:
            followed = tx.sessions.follow(code, now, now + KEPT_IN)
        if followed:
            self.known_here(followed[0])
            return Entered(*followed)
        external = seat.external if seat else f"page-{token()}"
        replies = tuple(self.talker.arrive(DOOR, external, external, name, code, False))
        person = self.talker.person_of(DOOR, external)
        if person is None:
            return NotEntered("\n".join(reply.text for reply in replies) or words.LINK_USED)
        return Entered(person, self.open(person), replies)

    def known_here(self, person: PersonId) -> None:
        """Somebody who came by another door can be reached at this one from now on."""
        with self.store.write() as tx:
            external = _external(tx, person)
            if tx.people.by_identity(DOOR, external) is None:
                tx.people.identify(DOOR, external, person, external)

    def open(self, person: PersonId) -> str:
        """A new session's secret; the store keeps its hash."""
        now = self.clock.now()
        with self.store.write() as tx:
            followed = tx.sessions.follow(tx.sessions.link(person, now + timedelta(minutes=1)), now, now + KEPT_IN)
        return followed[1] if followed else ""

    def seat(self, secret: str | None) -> Seat | None:
        """Whose session it is; None where it is none, or is over."""
        if not secret:
            return None
        with self.store.read() as tx:
            person = tx.sessions.person(secret, self.clock.now())
            found = tx.people.get(person) if person else None
            return _seat(tx, found) if found and not found.forgotten else None

    def address(self, seat: Seat, room: str) -> None:
        """From now on the member speaks of this fishroom."""
        with self.store.write() as tx:
            tx.people.address(seat.person, seat.club, room)

    def leave(self, secret: str, *, everywhere: bool) -> PersonId | None:
        """Sign out here, or on every device; returns whose session it was."""
        with self.store.write() as tx:
            person = tx.sessions.person(secret, self.clock.now())
            if person and everywhere:
                tx.sessions.end_all(person)
            tx.sessions.end(secret)
        return person


def _seat(tx: Transaction, person: Person) -> Seat | None:
    clubs = tx.clubs.of(person.id)
    if not clubs:
        return None
    spoken = tx.people.addressed(person.id).club
    club, roles = next(((club, roles) for club, roles in clubs if club.id == spoken), clubs[0])
    return Seat(
        person=person.id,
        name=person.name,
        external=_external(tx, person.id),
        club=club.id,
        club_name=club.name,
        roles=frozenset(roles),
        rooms=tuple((room.id, room.name) for room in tx.clubs.rooms_of(person.id)),
        zone=ZoneInfo(person.zone or club.zone),
        dates=person.date_order or club.date_order,
        units=person.units or club.units,
    )


def _external(tx: Transaction, person: PersonId) -> str:
    """How the conversation knows them at this door: always the same, however many devices they use."""
    known = [identity.external for identity in tx.people.identities(person) if identity.door == DOOR]
    return known[0] if known else f"page-{person}"
