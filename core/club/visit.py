"""One transaction with the states that it sees: fishrooms and the club brought up to date, and small questions about people.

States are kept at hand between visits and brought up to date from the journal's newer entries; the first time, a fishroom's snapshot
is. What a visit wrote becomes the state at hand only once its transaction is committed. One query, the club's pulse, tells whether
anything of the club moved meanwhile.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from itertools import takewhile
from threading import RLock
from typing import Any, TypeVar

from core.club.at_hand import AtHand
from core.club.overview import Overview
from core.club.permissions import Standing
from core.events import Entry, PersonId, Voided
from core.fishroom.club import bring_up_club
from core.fishroom.names import find_batch
from core.fishroom.replay import added, reaches_behind, replay, resumed
from core.fishroom.state import Club, Fishroom, Strain
from core.store import Store
from core.store.clubs import Club as ClubRow
from core.store.leaving import FORMER_NAME
from core.store.people import Person
from core.store.roster import Pulse, Roster
from core.store.trouble import Busy, Unreadable

LOG = logging.getLogger(__name__)
TRIES = 12
T = TypeVar("T")


class MovedOnError(Exception):
    """Somebody else wrote to a stream between looking at it and locking it; the visit is made again."""


class Visits:
    """Opens visits on a store, and keeps the states at hand."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.at_hand = AtHand(store)
        self._clubs: dict[str, Club] = {}
        self._overviews: dict[str, Overview] = {}
        self._rosters: dict[str, Roster] = {}
        self._unreadable: set[str] = set()
        self._refreshing = RLock()
        """Overviews are changed in place, by one thread at a time."""
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
                    visit.give_back()
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
            self.at_hand.remember(room, visit.built_on.get(room.id))
        self._clubs.update(visit.clubs)
        self._rosters.update(visit.rosters)
        with self._refreshing:
            for overview in self._overviews.values():
                for room in visit.rooms.values():
                    if room.id in overview.rooms and overview.rooms[room.id].number < room.number:
                        overview.take(room)
                overview.gather()

    def club_at_hand(self, club: str) -> Club | None:
        """The club as it was at the end of an earlier visit."""
        return self._clubs.get(club)

    def roster_at_hand(self, club: str) -> Roster | None:
        """The club's people as they were at the end of an earlier visit."""
        return self._rosters.get(club)

    def overview(self, club: str, visit: Visit) -> Overview:
        """The club's fishrooms together, as the visit sees them committed (what it wrote itself is not in it yet)."""
        with self._refreshing:
            overview = self._overviews.setdefault(club, Overview())
            if not overview.is_up_to(visit.pulse(club)):
                heads = visit.tx.rosters.heads(club)
                overview.keep_only(heads)
                for room, head in heads.items():
                    known = overview.rooms.get(room)
                    if room in visit.written:
                        overview.take(known or self.at_hand.get(room) or Fishroom(room))
                    elif known is None or known.number != head:
                        self._take(overview, visit, room)
                overview.gather()
            return overview

    def _take(self, overview: Overview, visit: Visit, room: str) -> None:
        """A fishroom whose book cannot be read is left as it last was, or out: the club's others go on."""
        try:
            overview.take(visit.room(room))
        except Unreadable as trouble:
            if room not in self._unreadable:
                self._unreadable.add(room)
                LOG.error("%s", trouble)


class Visit:
    """What one transaction sees. States given out are not to be changed: fork them."""

    def __init__(self, tx: Any, visits: Visits) -> None:
        self.tx = tx
        self._visits = visits
        self.rooms: dict[str, Fishroom] = {}
        self.clubs: dict[str, Club] = {}
        self.rosters: dict[str, Roster] = {}
        self.written: set[str] = set()
        """Fishrooms that this visit appended to."""
        self.built_on: dict[str, int] = {}
        """Of fishrooms that had to be replayed, the number of the earliest state that this began with (0: all was)."""
        self.numbered: set[tuple[str, int]] = set()
        """Numbers of the club that stand in what this visit appended, by counter."""
        self._taken: dict[tuple[str, str], list[int]] = {}
        self._pulses: dict[str, Pulse] = {}
        self._overviews: dict[str, Overview] = {}
        self._people: dict[tuple[PersonId, int], Person | None] = {}
        """These hold what was asked about somebody, with how often this visit had changed people or clubs by then."""
        self._clubs_of: dict[tuple[PersonId, int], tuple[ClubRow, ...]] = {}
        self._kept_by: dict[tuple[PersonId, int], tuple[str, ...]] = {}
        self.links: Mapping[str, str] = visits.links
        self.place_link = visits.place_link

    # states -----------------------------------------------------------------------------------------------------

    def room(self, room_id: str) -> Fishroom:
        """The fishroom, up to date with the journal as this transaction sees it."""
        if room_id not in self.rooms:
            self.rooms[room_id] = self._current(room_id) or self._brought_up(room_id)
        return self.rooms[room_id]

    def _current(self, room_id: str) -> Fishroom | None:
        """The fishroom, where this visit has already seen that nobody wrote to it."""
        return next((one.rooms[room_id] for one in self._overviews.values() if room_id in one.rooms), None)

    def _brought_up(self, room_id: str) -> Fishroom:
        states = self._visits.at_hand
        known = states.get(room_id) or states.snapshot(room_id, self.tx)
        if known is None:
            return replay(room_id, self.tx.journal.entries(f"fishroom:{room_id}"))
        newer = self.tx.journal.entries(f"fishroom:{room_id}", after=known.number)
        return self.taking_in(known, newer) if newer else known

    def taking_in(self, room: Fishroom, new: Sequence[Entry], supposed: Sequence[Entry] = ()) -> Fishroom:
        """The fishroom's state with entries taken in that stand in its journal now, or are `supposed` to stand at its end."""
        return added(room, [*new, *supposed]) or self._replayed(room, new, supposed)

    def _replayed(self, room: Fishroom, new: Sequence[Entry], supposed: Sequence[Entry]) -> Fishroom:
        """Replayed from an earlier day on where that does, else from the beginning."""
        stream = f"fishroom:{room.id}"
        for earlier in self._visits.at_hand.earlier(room, self.tx):
            if not reaches_behind(earlier, [*new, *supposed]):
                state = resumed(earlier, [*self.tx.journal.entries(stream, after=earlier.number), *supposed])
                if state is not None:
                    self._build_on(earlier, supposed)
                    return state
        self._build_on(Fishroom(room.id), supposed)
        return replay(room.id, [*self.tx.journal.entries(stream), *supposed])

    def _build_on(self, earlier: Fishroom, supposed: Sequence[Entry]) -> None:
        if not supposed:
            self.built_on[earlier.id] = min(earlier.number, self.built_on.get(earlier.id, earlier.number))

    def club(self, club_id: str) -> Club:
        """The club's own state, up to date."""
        if club_id not in self.clubs:
            stream = f"club:{club_id}"
            at_hand = self._visits.club_at_hand(club_id) or Club(club_id)
            moved = at_hand.number != self.pulse(club_id).club
            newer = self.tx.journal.entries(stream, after=at_hand.number) if moved else []
            self.clubs[club_id] = bring_up_club(at_hand, newer, lambda: self.tx.journal.entries(stream)) if newer else at_hand
        return self.clubs[club_id]

    def head(self, stream: str) -> int:
        """The number of the last entry of a fishroom's or a club's stream."""
        kind, _, name = stream.partition(":")
        return self.room(name).number if kind == "fishroom" else self.club(name).number

    def room_without(self, room_id: str, numbers: Collection[int]) -> Fishroom:
        """The fishroom as if these entries had not been said (of a void: as if what it took back stood)."""
        room = self.room(room_id)
        day, told = date.min, datetime.min.replace(tzinfo=UTC)
        following = enumerate(sorted(numbers), start=room.number + 1)
        voids = [Entry(f"fishroom:{room_id}", number, Voided(target), day, told, "", order=number) for number, target in following]
        without = self.taking_in(room, (), voids)
        without.number = room.number
        return without

    def meant(self, entry: Entry) -> Entry:
        """The entry itself or, where it only takes back (or puts back), the one that this is about in the end."""
        if not isinstance(entry.event, Voided):
            return entry
        return self.meant(self.tx.journal.entry(entry.stream, entry.event.target))

    def rooms_of_club(self, club_id: str) -> list[Fishroom]:
        """Every fishroom shown in the club, by id."""
        known = self.overview(club_id).rooms
        return [self.rooms.get(room) or known[room] for room in sorted(known)]

    def pulse(self, club_id: str) -> Pulse:
        """What stands in the journal of the club, as it was when this visit first looked."""
        if club_id not in self._pulses:
            self._pulses[club_id] = self.tx.rosters.pulse(club_id)
        return self._pulses[club_id]

    def overview(self, club_id: str) -> Overview:
        """The club's fishrooms together, as they were when this visit first looked."""
        if club_id not in self._overviews:
            self._overviews[club_id] = self._visits.overview(club_id, self)
        return self._overviews[club_id]

    # people -----------------------------------------------------------------------------------------------------

    def person(self, person: PersonId) -> Person:
        """The person; a KeyError for one who never was."""
        asked = (person, self.tx.edition.risen)
        if asked not in self._people:
            self._people[asked] = self.tx.people.get(person)
        found = self._people[asked]
        if found is None:
            raise KeyError(person)
        return found

    def clubs_of(self, person: PersonId) -> tuple[ClubRow, ...]:
        """The clubs that the person belongs to, by id."""
        asked = (person, self.tx.edition.risen)
        if asked not in self._clubs_of:
            self._clubs_of[asked] = tuple(club for club, _ in self.tx.clubs.of(person))
        return self._clubs_of[asked]

    def roster(self, club_id: str) -> Roster:
        """The club's people and who keeps which fishroom, with what this visit changed about them."""
        edition = self.pulse(club_id).edition + self.tx.edition.risen
        known = self.rosters.get(club_id) or self._visits.roster_at_hand(club_id)
        if known is None or known.edition != edition:
            known = self.tx.rosters.load(club_id, edition)
        self.rosters[club_id] = known
        return known

    def names(self, club_id: str) -> Mapping[PersonId, str]:
        """The names of the club's members and guests, by id."""
        return self.roster(club_id).names

    def member_named(self, club_id: str, name: object) -> PersonId | None:
        """The member or guest of that name."""
        return self.roster(club_id).by_name.get(str(name).lower())

    def is_keeper(self, person: PersonId, room_id: str) -> bool:
        """Whether the person keeps the fishroom."""
        return person in self.keepers(room_id)

    def keepers(self, room_id: str) -> tuple[PersonId, ...]:
        """Who keeps the fishroom, by id."""
        for club in list(self.rosters):
            if room_id in (kept := self.roster(club).keepers):
                return kept[room_id]
        return tuple(self.tx.clubs.keepers(room_id))

    def is_guest(self, person: PersonId, club_id: str) -> bool:
        """Whether the person is a guest: known to the club, but not able to write to the bot."""
        return person in self.roster(club_id).guests

    def several_rooms(self, person: PersonId) -> bool:
        """Whether the person keeps more than one fishroom, so that replies have to say which one they are about."""
        return len(self.rooms_kept_by(person)) > 1

    def rooms_kept_by(self, person: PersonId) -> tuple[str, ...]:
        """The fishrooms that the person keeps, in whatever clubs, by id."""
        asked = (person, self.tx.edition.risen)
        if asked not in self._kept_by:
            self._kept_by[asked] = tuple(room.id for room in self.tx.clubs.rooms_of(person))
        return self._kept_by[asked]

    def keeper_name(self, room_id: str) -> str:
        """The name of the fishroom's (first) keeper."""
        keepers = self.keepers(room_id)
        return self.person(keepers[0]).name if keepers else FORMER_NAME

    def room_of(self, person: PersonId | None, club_id: str) -> str | None:
        """The person's (first) fishroom that is shown in the club."""
        if person is None:
            return None
        shown = self.roster(club_id).rooms
        return next((room for room in self.rooms_kept_by(person) if room in shown), None)

    def standings(self, person: PersonId, club_id: str, room_id: str | None, day: date) -> set[Standing]:
        """What the person is towards the club and, where one is meant, the fishroom on that day."""
        roles = self.roster(club_id).roles.get(person, frozenset())
        found = {Standing(role) if role in ("organiser", "guest") else Standing.MEMBER for role in roles}
        if room_id is not None:
            if self.is_keeper(person, room_id):
                found.add(Standing.KEEPER)
            if self.sits(person, room_id, day):
                found.add(Standing.SITTER)
        return found or {Standing.STRANGER}

    def sits(self, person: PersonId, room_id: str, day: date) -> bool:
        """Whether the person looks after the fishroom on that day for its keeper."""
        return any(one.sitter == person and one.from_day <= day <= one.to_day for one in self.room(room_id).absences)

    # looking things up ------------------------------------------------------------------------------------------

    def counter(self, club_id: str, name: str) -> int:
        """The next number of the club."""
        number: int = self.tx.journal.counter(club_id, name)
        self._taken.setdefault((club_id, name), []).append(number)
        return number

    def give_back(self) -> None:
        """Numbers that were taken last and came to nothing (what they were for was refused, or asked about) are the next again."""
        for (club_id, name), numbers in self._taken.items():
            idle = list(takewhile(lambda number: (name, number) not in self.numbered, reversed(numbers)))  # noqa: B023 - used at once
            if idle:
                self.tx.journal.give_back(club_id, name, idle[-1])

    def room_of_reservation(self, club_id: str, number: int) -> str | None:
        """The fishroom a reservation of the club stands in."""
        for room in (self.rooms[key] for key in self.written):
            if number in room.reservations:
                return room.id
        return self.overview(club_id).room_of_reservation(number)

    def rooms_offering(self, club_id: str, label: str) -> list[str]:
        """The fishrooms that have a batch of these letters for sale."""
        return [room.id for room in self.rooms_of_club(club_id) if (batch := find_batch(room, label)) is not None and batch.offer]

    def strains_of_club(self, club_id: str) -> Mapping[str, Strain]:
        """Every strain kept in the club, by key."""
        return self.overview(club_id).strains

    def strain_of_club(self, club_id: str, key: str) -> Strain | None:
        """A strain kept somewhere in the club."""
        return self.strains_of_club(club_id).get(key)
