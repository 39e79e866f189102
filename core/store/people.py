"""Who people are: their names and choices, by which door they come, and where they last spoke to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, time
from typing import Any

from sqlalchemy import Connection, Row, select, update

from core.events import PersonId
from core.store.roster import Edition
from core.store.subject import Subject
from core.store.tables import addressed, identities, persons
from core.units import DateOrder, Units


@dataclass(frozen=True, slots=True)
class Person:
    """A person. `contact` is private: for that person, the keeper of a reservation and the organiser.

    Zone, units and date order left None are the club's; times are local. `prefs` holds what has no column of its own.
    """

    id: PersonId
    name: str
    joined: datetime
    contact: str | None = None
    zone: str | None = None
    units: Units | None = None
    date_order: DateOrder | None = None
    digest_time: time | None = None
    quiet_from: time | None = None
    quiet_to: time | None = None
    prefs: Mapping[str, Any] = field(default_factory=dict)
    forgotten: datetime | None = None


@dataclass(frozen=True, slots=True)
class Identity:
    """How a person is known at a front door; `blocked` since they stopped the bot or left the platform."""

    door: str
    external: str
    person: PersonId
    chat: str
    blocked: datetime | None = None


@dataclass(frozen=True, slots=True)
class Addressed:
    """The club and the fishroom a person last wrote to."""

    club: str | None = None
    room: str | None = None


class People(Subject):
    """Persons within a transaction."""

    def __init__(self, connection: Connection, edition: Edition) -> None:
        super().__init__(connection)
        self._edition = edition

    def add(self, name: str, now: datetime, *, id: str | None = None, contact: str | None = None) -> Person:  # noqa: A002
        """A new person; without an id given, "p1", "p2" …"""
        person = Person(id or f"p{self._count('', 'person')}", name, now, contact)
        self._add_all(persons, [_row(person)])
        self._edition.rise()
        return person

    def get(self, person: PersonId) -> Person | None:
        """The person, or None."""
        row = self._where(persons, id=person).one_or_none()
        return _person(row) if row else None

    def all(self) -> list[Person]:
        """Everybody who is not forgotten, by id."""
        rows = self.connection.execute(select(persons).where(persons.c.forgotten.is_(None)).order_by(persons.c.id))
        return [_person(row) for row in rows]

    def save(self, person: Person) -> None:
        """Keeps the person's name and choices as they are given: `save(replace(person, zone="Europe/Oslo"))`."""
        self.connection.execute(update(persons).where(persons.c.id == person.id).values(**_row(person)))
        self._edition.rise()

    def identify(self, door: str, external: str, person: PersonId, chat: str) -> None:
        """From now on, who comes by `door` as `external` is `person`, and is written to in `chat`."""
        row = {"door": door, "external": external, "person": person, "chat": chat, "blocked": None}
        self._keep(identities, row)

    def by_identity(self, door: str, external: str) -> Person | None:
        """Who comes by this door under this name, or None."""
        query = select(persons).join(identities, identities.c.person == persons.c.id)
        row = self.connection.execute(query.where(identities.c.door == door, identities.c.external == external)).one_or_none()
        return _person(row) if row else None

    def identities(self, person: PersonId) -> list[Identity]:
        """By which doors the person can be reached."""
        rows = self._where(identities, ("door", "external"), person=person)
        return [Identity(row.door, row.external, row.person, row.chat, row.blocked) for row in rows]

    def blocked(self, door: str, chat: str, since: datetime | None) -> None:
        """The chat cannot be written to since then (None: it can again)."""
        here = (identities.c.door == door) & (identities.c.chat == chat)
        self.connection.execute(update(identities).where(here).values(blocked=since))

    def addressed(self, person: PersonId) -> Addressed:
        """The club and fishroom the person last wrote to."""
        row = self._where(addressed, person=person).one_or_none()
        return Addressed(row.club, row.room) if row else Addressed()

    def address(self, person: PersonId, club: str | None, room: str | None) -> None:
        """Remembers the club and fishroom the person writes to now."""
        self._keep(addressed, {"person": person, "club": club, "room": room})


def _row(person: Person) -> dict[str, Any]:
    return {name: getattr(person, name) for name in Person.__dataclass_fields__} | {"prefs": dict(person.prefs)}


def _person(row: Row[Any]) -> Person:
    return Person(**row._mapping)
