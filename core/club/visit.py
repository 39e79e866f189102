"""One transaction with the states that it sees: fishrooms and the club brought up to date, and small questions about people.

States are kept at hand between visits and brought up to date from the journal's newer entries; what a visit wrote becomes the state
at hand only once its transaction is committed.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from threading import RLock
from typing import Any, TypeVar

from core.club.permissions import Standing
from core.events import PersonId
from core.fishroom.club import bring_up_club
from core.fishroom.names import find_batch
from core.fishroom.replay import bring_up, replay
from core.fishroom.state import Club, Fishroom, Strain
from core.store import Store
from core.store.people import Person
from core.store.trouble import Busy

ROOMS_AT_HAND = 2_000
"""Fishrooms kept in memory; the longest unused are let go."""
TRIES = 12
T = TypeVar("T")


class MovedOnError(Exception):
    """Somebody else wrote to a stream between looking at it and locking it; the visit is made again."""


class Visits:
    """Opens visits on a store, and keeps the states at hand."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._rooms: OrderedDict[str, Fishroom] = OrderedDict()
        self._clubs: dict[str, Club] = {}
        self._turn = RLock()
        """Front doors in one process have threads of their own; they write one after the other."""
        self.links: dict[str, str] = {}
        """By front door ("on Telegram"), the link that an invitation's code is put behind."""
        self.place_link = "http://localhost:8642/at/{room}/{place}"
        """The link that a place's label carries: {room}, {number} of the place in the fishroom's book, {place} its name."""

    def write(self, deed: Callable[[Visit], T]) -> T:
        """Do the deed in one transaction; again from the start where somebody else was quicker."""
        for attempt in range(TRIES):
            try:
                with self._turn, self.store.write() as tx:
                    visit = Visit(tx, self)
                    done = deed(visit)
                self._keep(visit)
                return done
            except (MovedOnError, Busy):
                if attempt == TRIES - 1:
                    raise
        raise AssertionError("unreachable")

    @contextmanager
    def read(self) -> Iterator[Visit]:
        """Look without writing."""
        with self.store.read() as tx:
            visit = Visit(tx, self)
            yield visit
        self._keep(visit)

    def _keep(self, visit: Visit) -> None:
        with self._turn:
            self._remember(visit)

    def _remember(self, visit: Visit) -> None:
        for room in visit.rooms.values():
            known = self._rooms.get(room.id)
            if known is None or known.number <= room.number:
                self._rooms[room.id] = room
                self._rooms.move_to_end(room.id)
        self._clubs.update(visit.clubs)
        while len(self._rooms) > ROOMS_AT_HAND:
            self._rooms.popitem(last=False)

    def room_at_hand(self, room: str) -> Fishroom | None:
        """The fishroom as it was at the end of an earlier visit."""
        return self._rooms.get(room)

    def club_at_hand(self, club: str) -> Club | None:
        """The club as it was at the end of an earlier visit."""
        return self._clubs.get(club)


class Visit:
    """What one transaction sees. States given out are not to be changed: fork them."""

    def __init__(self, tx: Any, visits: Visits) -> None:
        self.tx = tx
        self._visits = visits
        self.rooms: dict[str, Fishroom] = {}
        self.clubs: dict[str, Club] = {}
        self.links: Mapping[str, str] = visits.links
        self.place_link = visits.place_link

    # states -----------------------------------------------------------------------------------------------------

    def room(self, room_id: str) -> Fishroom:
        """The fishroom, up to date with the journal as this transaction sees it."""
        if room_id not in self.rooms:
            stream = f"fishroom:{room_id}"
            at_hand = self._visits.room_at_hand(room_id) or Fishroom(room_id)
            newer = self.tx.journal.entries(stream, after=at_hand.number)
            self.rooms[room_id] = bring_up(at_hand, newer, lambda: self.tx.journal.entries(stream)) if newer else at_hand
        return self.rooms[room_id]

    def club(self, club_id: str) -> Club:
        """The club's own state, up to date."""
        if club_id not in self.clubs:
            stream = f"club:{club_id}"
            at_hand = self._visits.club_at_hand(club_id) or Club(club_id)
            newer = self.tx.journal.entries(stream, after=at_hand.number)
            self.clubs[club_id] = bring_up_club(at_hand, newer, lambda: self.tx.journal.entries(stream)) if newer else at_hand
        return self.clubs[club_id]

    def room_without(self, room_id: str, numbers: set[int]) -> Fishroom:
        """The fishroom as if these entries had not been said."""
        entries = self.tx.journal.entries(f"fishroom:{room_id}")
        room = replay(room_id, [entry for entry in entries if entry.number not in numbers])
        room.number = max((entry.number for entry in entries), default=0)
        return room

    def rooms_of_club(self, club_id: str) -> list[Fishroom]:
        """Every fishroom shown in the club."""
        return [self.room(room.id) for room in self.tx.clubs.rooms(club_id)]

    # people -----------------------------------------------------------------------------------------------------

    def person(self, person: PersonId) -> Person:
        """The person; a KeyError for one who never was."""
        found = self.tx.people.get(person)
        if found is None:
            raise KeyError(person)
        return found  # type: ignore[no-any-return]

    def names(self, club_id: str) -> dict[PersonId, str]:
        """The names of the club's members and guests, by id."""
        return {member.person.id: member.person.name for member in self.tx.clubs.members(club_id)}

    def member_named(self, club_id: str, name: object) -> PersonId | None:
        """The member or guest of that name."""
        wanted = str(name).lower()
        return next((person for person, known in self.names(club_id).items() if known.lower() == wanted), None)

    def is_keeper(self, person: PersonId, room_id: str) -> bool:
        """Whether the person keeps the fishroom."""
        return person in self.tx.clubs.keepers(room_id)

    def is_guest(self, person: PersonId, club_id: str) -> bool:
        """Whether the person is a guest: known to the club, but not able to write to the bot."""
        return bool(self.tx.clubs.roles(club_id, person) == frozenset({"guest"}))

    def several_rooms(self, person: PersonId) -> bool:
        """Whether the person keeps more than one fishroom, so that replies have to say which one they are about."""
        return len(self.tx.clubs.rooms_of(person)) > 1

    def keeper_name(self, room_id: str) -> str:
        """The name of the fishroom's (first) keeper."""
        keepers = self.tx.clubs.keepers(room_id)
        return self.person(keepers[0]).name if keepers else room_id

    def room_of(self, person: PersonId | None, club_id: str) -> str | None:
        """The person's (first) fishroom that is shown in the club."""
        if person is None:
            return None
        shown = {room.id for room in self.tx.clubs.rooms(club_id)}
        return next((room.id for room in self.tx.clubs.rooms_of(person) if room.id in shown), None)

    def standings(self, person: PersonId, club_id: str, room_id: str | None, day: date) -> set[Standing]:
        """What the person is towards the club and, where one is meant, the fishroom on that day."""
        roles = self.tx.clubs.roles(club_id, person)
        found = {Standing(role) if role in ("organiser", "guest") else Standing.MEMBER for role in roles}
        if room_id is not None:
            if self.is_keeper(person, room_id):
                found.add(Standing.KEEPER)
            absences = self.room(room_id).absences
            if any(one.sitter == person and one.from_day <= day <= one.to_day for one in absences):
                found.add(Standing.SITTER)
        return found or {Standing.STRANGER}

    # looking things up ------------------------------------------------------------------------------------------

    def counter(self, club_id: str, name: str) -> int:
        """The next number of the club."""
        return self.tx.journal.counter(club_id, name)  # type: ignore[no-any-return]

    def room_of_reservation(self, club_id: str, number: int) -> str | None:
        """The fishroom a reservation of the club stands in."""
        return next((room.id for room in self.rooms_of_club(club_id) if number in room.reservations), None)

    def rooms_offering(self, club_id: str, label: str) -> list[str]:
        """The fishrooms that have a batch of these letters for sale."""
        return [room.id for room in self.rooms_of_club(club_id) if (batch := find_batch(room, label)) is not None and batch.offer]

    def strains_of_club(self, club_id: str) -> Mapping[str, Strain]:
        """Every strain kept in the club, by key."""
        return {key: strain for room in self.rooms_of_club(club_id) for key, strain in room.strains.items()}

    def strain_of_club(self, club_id: str, key: str) -> Strain | None:
        """A strain kept somewhere in the club."""
        return self.strains_of_club(club_id).get(key)
