"""What the fishrooms of a club hold together, kept at hand: strains, whose reservations stand where, who looks after what.

It is derived from the fishrooms' states and from nothing else. A fishroom that moved is taken in anew; the others are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterable

from core.events import PersonId
from core.fishroom.state import Fishroom, Reservation, Strain
from core.store.roster import Pulse

OPEN = ("confirmed", "unconfirmed")


class Strains(dict[str, Strain]):
    """Strains by key, never changed once made, and told apart by which object they are."""

    __hash__ = object.__hash__  # type: ignore[assignment]

    def __eq__(self, other: object) -> bool:
        return self is other

    def __ne__(self, other: object) -> bool:
        return self is not other


class Overview:
    """The fishrooms shown in one club, with what club-wide questions look up. Fishrooms given out are not to be changed."""

    def __init__(self) -> None:
        self.rooms: dict[str, Fishroom] = {}
        self.strains: Strains = Strains()
        """Every strain kept in the club, by key, as of the last `gather`; another object whenever one changes."""
        self._strains_moved = False
        self._heads = 0
        self._offering: set[str] = set()
        self._promising: set[str] = set()
        self._sat: dict[PersonId, set[str]] = {}
        self._room_of: dict[int, str] = {}
        self._of_member: dict[PersonId, set[int]] = {}

    def is_up_to(self, pulse: Pulse) -> bool:
        """Whether no fishroom of the club moved since."""
        return (len(self.rooms), self._heads) == (pulse.rooms, pulse.heads)

    def take(self, room: Fishroom) -> None:
        """The fishroom is as given now."""
        known = self.rooms.get(room.id) or Fishroom(room.id)
        self.rooms[room.id] = room
        self._heads += room.number - known.number
        if known.reservations != room.reservations:
            self._let_go(known)
            for one in room.reservations.values():
                self._room_of[one.number] = room.id
                self._of_member.setdefault(one.member, set()).add(one.number)
        _mark(self._offering, room.id, any(batch.offer for batch in room.batches.values()))
        _mark(self._promising, room.id, any(one.status in OPEN for one in room.reservations.values()))
        for absence in (*known.absences, *room.absences):
            if absence.sitter is not None:
                sits = any(one.sitter == absence.sitter for one in room.absences)
                _mark(self._sat.setdefault(absence.sitter, set()), room.id, sits)
        self._strains_moved |= known.strains != room.strains

    def keep_only(self, shown: Iterable[str]) -> None:
        """These are the club's fishrooms; others are no longer shown in it."""
        for gone in set(self.rooms) - set(shown):
            room = self.rooms.pop(gone)
            self._heads -= room.number
            for marked in (self._offering, self._promising, *self._sat.values()):
                marked.discard(gone)
            self._let_go(room)
            self._strains_moved = True

    def gather(self) -> None:
        """To be called once all that moved is taken in: what needs a look at every fishroom is not done for each of them."""
        if not self._strains_moved:
            return
        self._strains_moved = False
        gathered = {key: strain for _, room in sorted(self.rooms.items()) for key, strain in room.strains.items()}
        if gathered != dict(self.strains):
            self.strains = Strains(gathered)

    def room_of_reservation(self, number: int) -> str | None:
        """The fishroom that a reservation of the club stands in."""
        return self._room_of.get(number)

    def reservations_of(self, member: PersonId) -> list[Reservation]:
        """The member's reservations anywhere in the club, by number."""
        rooms = ((number, self.rooms.get(self._room_of.get(number, ""))) for number in sorted(self._of_member.get(member, ())))
        return [room.reservations[number] for number, room in rooms if room is not None and number in room.reservations]

    def offering(self) -> list[Fishroom]:
        """The fishrooms that have something for sale, by id."""
        return [self.rooms[room] for room in sorted(self._offering)]

    def promising(self) -> list[Fishroom]:
        """The fishrooms with reservations that are neither over nor called off, by id."""
        return [self.rooms[room] for room in sorted(self._promising)]

    def sat_by(self, person: PersonId) -> list[Fishroom]:
        """The fishrooms that the person looks after, or once did, while their keepers are away, by id."""
        return [self.rooms[room] for room in sorted(self._sat.get(person, ()))]

    def _let_go(self, room: Fishroom) -> None:
        """Forget where the fishroom's reservations stand, but for those that an edited message has put into another since."""
        for one in room.reservations.values():
            if self._room_of.get(one.number) == room.id:
                del self._room_of[one.number]
                self._of_member.get(one.member, set()).discard(one.number)


def _mark(marked: set[str], room: str, holds: bool) -> None:
    if holds:
        marked.add(room)
    else:
        marked.discard(room)
