"""Clubs, who is what in them, the fishrooms they show and who keeps those."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import BindParameter, Connection, Row, Select, bindparam, delete, select, update

from core.events import PersonId
from core.store.people import Person
from core.store.roster import Edition
from core.store.subject import Subject
from core.store.tables import club_rooms, clubs, groups, keepers, memberships, persons, rooms
from core.units import DateOrder, Units

Role = Literal["organiser", "keeper", "buyer", "guest"]


@dataclass(frozen=True, slots=True)
class Club:
    """A club; what its members did not choose for themselves is chosen here."""

    id: str
    name: str
    zone: str = "UTC"
    units: Units = "metric"
    date_order: DateOrder = "DMY"
    prefs: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Room:
    """A fishroom. Its stream in the journal is `fishroom:ID`."""

    id: str
    name: str
    prefs: Mapping[str, Any] = field(default_factory=dict)

    @property
    def stream(self) -> str:
        """The fishroom's stream in the journal."""
        return f"fishroom:{self.id}"


@dataclass(frozen=True, slots=True)
class Member:
    """A person with the roles they hold in one club."""

    person: Person
    roles: frozenset[Role]


class Clubs(Subject):
    """Clubs and fishrooms within a transaction."""

    def __init__(self, connection: Connection, edition: Edition) -> None:
        super().__init__(connection)
        self._edition = edition

    def add(
        self,
        name: str,
        *,
        zone: str = "UTC",
        units: Units = "metric",
        date_order: DateOrder = "DMY",
        prefs: Mapping[str, Any] | None = None,
        id: str | None = None,  # noqa: A002 - the field is called so
    ) -> Club:
        """A new club; without an id given, "c1", "c2" …"""
        club = Club(id or f"c{self._count('', 'club')}", name, zone, units, date_order, dict(prefs or {}))
        self._add_all(clubs, [_club_row(club)])
        return club

    def get(self, club: str) -> Club | None:
        """The club, or None."""
        row = self.connection.execute(select(clubs).where(clubs.c.id == club)).one_or_none()
        return Club(**row._mapping) if row else None

    def all(self) -> list[Club]:
        """Every club, by id."""
        return [Club(**row._mapping) for row in self.connection.execute(select(clubs).order_by(clubs.c.id))]

    def save(self, club: Club) -> None:
        """Keeps the club's name and choices as they are given."""
        self.connection.execute(update(clubs).where(clubs.c.id == club.id).values(**_club_row(club)))
        self._edition.rise()

    # --- members ---

    def join(self, club: str, person: PersonId, roles: Iterable[Role], now: datetime) -> frozenset[Role]:
        """The person gets these roles besides those they hold; all of them now."""
        held = self.roles(club, person) | frozenset(roles)
        self.set_roles(club, person, held, now)
        return held

    def set_roles(self, club: str, person: PersonId, roles: Iterable[Role], now: datetime) -> None:
        """The person holds exactly these roles; with none, they leave the club."""
        self._edition.rise()
        held = sorted(set(roles))
        if not held:
            here = (memberships.c.club == club) & (memberships.c.person == person)
            self.connection.execute(delete(memberships).where(here))
        elif not self._add_new(memberships, {"club": club, "person": person, "roles": held, "joined": now}):
            here = (memberships.c.club == club) & (memberships.c.person == person)
            self.connection.execute(update(memberships).where(here).values(roles=held))

    def roles(self, club: str, person: PersonId) -> frozenset[Role]:
        """The roles the person holds in the club; empty for who is no member."""
        query = select(memberships.c.roles).where(memberships.c.club == club, memberships.c.person == person)
        return frozenset(self.connection.execute(query).scalar_one_or_none() or ())

    def members(self, club: str) -> list[Member]:
        """The club's members, in the order they joined."""
        query = select(persons, memberships.c.roles).join(memberships, memberships.c.person == persons.c.id)
        rows = self.connection.execute(query.where(memberships.c.club == club).order_by(memberships.c.joined, persons.c.id))
        return [_member(row) for row in rows]

    def of(self, person: PersonId) -> list[tuple[Club, frozenset[Role]]]:
        """The clubs the person belongs to, with the roles held there."""
        rows = self.connection.execute(_OF, {"person": person})
        return [(Club(*row[:-1]), frozenset(row.roles)) for row in rows]

    # --- fishrooms ---

    def add_room(
        self,
        name: str,
        in_clubs: Iterable[str],
        kept_by: Iterable[PersonId] = (),
        id: str | None = None,  # noqa: A002 - the field is called so
    ) -> Room:
        """A new fishroom, shown in these clubs; without an id given, "r1", "r2" …"""
        room = Room(id or f"r{self._count('', 'room')}", name)
        self._add_all(rooms, [{"id": room.id, "name": room.name, "prefs": {}}])
        for club in in_clubs:
            self.show_in(room.id, club)
        for person in kept_by:
            self.add_keeper(room.id, person)
        return room

    def room(self, room: str) -> Room | None:
        """The fishroom, or None."""
        row = self.connection.execute(select(rooms).where(rooms.c.id == room)).one_or_none()
        return Room(**row._mapping) if row else None

    def show_in(self, room: str, club: str) -> None:
        """The fishroom's fish are shown in this club too."""
        self._add_new(club_rooms, {"club": club, "room": room})
        self._edition.rise()

    def hide_from(self, room: str, club: str) -> None:
        """The fishroom's fish are no longer shown in this club."""
        self.connection.execute(delete(club_rooms).where(club_rooms.c.room == room, club_rooms.c.club == club))
        self._edition.rise()

    def rooms(self, club: str) -> list[Room]:
        """The fishrooms shown in the club, by id."""
        query = select(rooms).join(club_rooms, club_rooms.c.room == rooms.c.id).where(club_rooms.c.club == club)
        return self._rooms(query)

    def all_rooms(self) -> list[Room]:
        """Every fishroom, by id."""
        return self._rooms(select(rooms))

    def clubs_of_room(self, room: str) -> list[str]:
        """The ids of the clubs that show the fishroom."""
        query = select(club_rooms.c.club).where(club_rooms.c.room == room).order_by(club_rooms.c.club)
        return list(self.connection.execute(query).scalars())

    def add_keeper(self, room: str, person: PersonId) -> None:
        """The person keeps the fishroom, with those who do already."""
        self._add_new(keepers, {"room": room, "person": person})
        self._edition.rise()

    def remove_keeper(self, room: str, person: PersonId) -> None:
        """The person no longer keeps the fishroom."""
        self.connection.execute(delete(keepers).where(keepers.c.room == room, keepers.c.person == person))
        self._edition.rise()

    def keepers(self, room: str) -> list[PersonId]:
        """Who keeps the fishroom, by id."""
        query = select(keepers.c.person).where(keepers.c.room == room).order_by(keepers.c.person)
        return list(self.connection.execute(query).scalars())

    def rooms_of(self, person: PersonId) -> list[Room]:
        """The fishrooms the person keeps, by id."""
        return [Room(**row._mapping) for row in self.connection.execute(_ROOMS_OF, {"person": person})]

    # --- the club's group chat ---

    def set_group(self, door: str, chat: str, club: str) -> None:
        """The chat is the club's group."""
        self._keep(groups, {"door": door, "chat": chat, "club": club})

    def remove_group(self, door: str, chat: str) -> None:
        """The chat is no club's group any more."""
        self.connection.execute(delete(groups).where(groups.c.door == door, groups.c.chat == chat))

    def of_group(self, door: str, chat: str) -> str | None:
        """The club whose group the chat is, or None."""
        query = select(groups.c.club).where(groups.c.door == door, groups.c.chat == chat)
        return self.connection.execute(query).scalar_one_or_none()

    def groups(self, club: str) -> list[tuple[str, str]]:
        """The club's groups as (door, chat)."""
        query = select(groups.c.door, groups.c.chat).where(groups.c.club == club).order_by(groups.c.door, groups.c.chat)
        return [(row.door, row.chat) for row in self.connection.execute(query)]

    def _rooms(self, query: Select[Any]) -> list[Room]:
        return [Room(**row._mapping) for row in self.connection.execute(query.order_by(rooms.c.id))]


_PERSON: BindParameter[str] = bindparam("person")
_OF = (
    select(clubs, memberships.c.roles)
    .join(memberships, memberships.c.club == clubs.c.id)
    .where(memberships.c.person == _PERSON)
    .order_by(clubs.c.id)
)
_ROOMS_OF = select(rooms).join(keepers, keepers.c.room == rooms.c.id).where(keepers.c.person == _PERSON).order_by(rooms.c.id)


def _club_row(club: Club) -> dict[str, Any]:
    return {name: getattr(club, name) for name in Club.__dataclass_fields__} | {"prefs": dict(club.prefs)}


def _member(row: Row[Any]) -> Member:
    values = dict(row._mapping)
    roles = values.pop("roles")
    return Member(Person(**values), frozenset(roles))
