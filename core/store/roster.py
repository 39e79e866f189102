"""A club's people and fishrooms in one piece, to be kept at hand, and how to tell in one look whether it is still so.

Whatever changes people, clubs, members, fishrooms or keepers raises the store's edition; what was read at an edition holds for as
long as that is the present one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from sqlalchemy import BindParameter, Connection, bindparam, func, select

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import club_rooms, counters, keepers, memberships, persons, rooms, streams

_EDITION = "edition"
_STREAM = "fishroom:"


class Edition(Subject):
    """The number of the present state of people and clubs, as this transaction sees it with its own changes."""

    def __init__(self, connection: Connection) -> None:
        super().__init__(connection)
        self.risen = 0
        """By how much this transaction raised it."""

    def rise(self) -> None:
        """Something about people or clubs changes."""
        self._count("", _EDITION)
        self.risen += 1


@dataclass(frozen=True, slots=True)
class Pulse:
    """What moves when anything moves in a club: the edition, the head of its stream, and its fishrooms with the sum of their heads.

    Heads only grow, so an unchanged sum over as many fishrooms means that nothing was written.
    """

    edition: int
    club: int
    rooms: int
    heads: int


@dataclass(frozen=True, eq=False)
class Roster:
    """A club's members and fishrooms at one edition: names and roles by person in the order they joined, fishrooms by id."""

    club: str
    edition: int
    names: Mapping[PersonId, str]
    roles: Mapping[PersonId, frozenset[str]]
    rooms: Mapping[str, str]
    """Names of the fishrooms shown in the club, by id."""
    keepers: Mapping[str, tuple[PersonId, ...]]
    """Who keeps each of them, by id."""

    @cached_property
    def by_name(self) -> Mapping[str, PersonId]:
        """Persons by their name in lower case; of two with one name, who joined first."""
        return {name.lower(): person for person, name in reversed(list(self.names.items()))}

    @cached_property
    def guests(self) -> frozenset[PersonId]:
        """Those who are known to the club but do not write to the bot."""
        return frozenset(person for person, roles in self.roles.items() if roles == {"guest"})


class Rosters(Subject):
    """Rosters within a transaction."""

    def pulse(self, club: str) -> Pulse:
        """The club's pulse, in one query."""
        row = self.connection.execute(_PULSE, {"club": club, "club_stream": f"club:{club}"}).one()
        return Pulse(row.edition or 0, row.head or 0, row.rooms, int(row.heads or 0))

    def load(self, club: str, edition: int) -> Roster:
        """The club's roster, which holds for the edition that was seen before it was read."""
        people = self.connection.execute(_PEOPLE, {"club": club}).all()
        shown = self.connection.execute(_ROOMS, {"club": club}).all()
        kept: dict[str, list[PersonId]] = {row.id: [] for row in shown}
        for row in self.connection.execute(_KEEPERS, {"club": club}):
            kept[row.room].append(row.person)
        return Roster(
            club,
            edition,
            {row.id: row.name for row in people},
            {row.id: frozenset(row.roles) for row in people},
            {row.id: row.name for row in shown},
            {room: tuple(persons) for room, persons in kept.items()},
        )

    def heads(self, club: str) -> dict[str, int]:
        """The head of each fishroom's stream in the club; 0 for one without entries."""
        return {row.room: row.head or 0 for row in self.connection.execute(_HEADS, {"club": club})}


_CLUB: BindParameter[str] = bindparam("club")
_OF_ROOM = streams.c.stream == _STREAM + club_rooms.c.room
_PULSE = (
    select(
        select(counters.c.value)
        .where(counters.c.club == "", counters.c.name == _EDITION)
        .scalar_subquery()
        .label("edition"),
        select(streams.c.head).where(streams.c.stream == bindparam("club_stream")).scalar_subquery().label("head"),
        func.count().label("rooms"),
        func.sum(streams.c.head).label("heads"),
    )
    .select_from(club_rooms.outerjoin(streams, _OF_ROOM))
    .where(club_rooms.c.club == _CLUB)
)
_HEADS = select(club_rooms.c.room, streams.c.head).select_from(club_rooms.outerjoin(streams, _OF_ROOM)).where(
    club_rooms.c.club == _CLUB
)
_PEOPLE = (
    select(persons.c.id, persons.c.name, memberships.c.roles)
    .join(memberships, memberships.c.person == persons.c.id)
    .where(memberships.c.club == _CLUB)
    .order_by(memberships.c.joined, persons.c.id)
)
_ROOMS = (
    select(rooms.c.id, rooms.c.name)
    .join(club_rooms, club_rooms.c.room == rooms.c.id)
    .where(club_rooms.c.club == _CLUB)
    .order_by(rooms.c.id)
)
_KEEPERS = (
    select(keepers.c.room, keepers.c.person)
    .join(club_rooms, club_rooms.c.room == keepers.c.room)
    .where(club_rooms.c.club == _CLUB)
    .order_by(keepers.c.room, keepers.c.person)
)
