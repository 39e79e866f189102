"""What becomes of promises when somebody leaves for good: nothing stays promised by or to a person who is no longer there.

A fishroom with another keeper goes on with its promises. One that is left without a keeper cancels them and has nothing for sale any
more. What the person had reserved elsewhere is free again, their wishes go off the list, and whoever is just being asked about fish
of an abandoned fishroom waits on for others.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from core.club.recording import Proposal
from core.club.visit import Visit
from core.events import Cancelled, PersonId, WishAnswered, Withdrawn
from core.fishroom.state import Absence, Fishroom, Reservation, Wish
from core.planning.waiting import asked_now


@dataclass(frozen=True, slots=True)
class Parting:
    """What ends and what goes on when a person leaves; `proposals` record it."""

    ended: tuple[tuple[Fishroom, Reservation], ...]
    """Of others, in fishrooms that nobody keeps any more."""
    given_up: tuple[tuple[Fishroom, Reservation], ...]
    """The person's own, in fishrooms of others."""
    handed_on: tuple[Fishroom, ...]
    """Fishrooms that another keeper goes on with."""
    unasked: tuple[tuple[str, Wish], ...]
    """By club: wishes of others that were being asked about fish of an abandoned fishroom."""
    unsat: tuple[tuple[Fishroom, Absence], ...]
    """Absences for which the person had been named to look after the fish."""
    proposals: tuple[Proposal, ...]


def parting(visit: Visit, person: PersonId, now: datetime, today: date) -> Parting:
    """What follows if the person leaves now."""
    kept = [visit.room(room) for room in visit.rooms_kept_by(person)]
    abandoned = [room for room in kept if set(visit.keepers(room.id)) <= {person}]
    clubs = [club.id for club in visit.clubs_of(person)]
    ended = [(room, one) for room in abandoned for one in open_in(room, now)]
    given_up = [
        (room, one)
        for room in {room.id: room for club in clubs for room in visit.rooms_of_club(club)}.values()
        if room not in abandoned
        for one in open_in(room, now)
        if one.member == person
    ]
    wishes = [(club, wish) for club in clubs for wish in visit.club(club).wishes.values()]
    unasked = [
        (club, wish)
        for club, wish in wishes
        if wish.member != person and asked_now(wish, now) and wish.offer and wish.offer[0] in {room.id for room in abandoned}
    ]
    mine = [(club, wish) for club, wish in wishes if wish.member == person and wish.status in ("waiting", "offered")]
    proposals = [
        *(Proposal(f"fishroom:{room.id}", Cancelled(one.number, "keeper"), today) for room, one in ended),
        *(Proposal(f"fishroom:{room.id}", Withdrawn(batch), today) for room in abandoned for batch in _offered(room)),
        *(Proposal(f"fishroom:{room.id}", Cancelled(one.number, "buyer"), today) for room, one in given_up),
        *(Proposal(f"club:{club}", WishAnswered(wish.number, "dropped"), today) for club, wish in mine),
        *(Proposal(f"club:{club}", WishAnswered(wish.number, "passed"), today) for club, wish in unasked),
    ]
    sat = {room.id: room for club in clubs for room in visit.overview(club).sat_by(person) if room not in kept}
    unsat = [
        (room, absence) for room in sat.values() for absence in room.absences if absence.sitter == person and absence.to_day >= today
    ]
    return Parting(
        tuple((room, one) for room, one in ended if one.member != person),
        tuple(given_up),
        tuple(room for room in kept if room not in abandoned),
        tuple(unasked),
        tuple(unsat),
        tuple(proposals),
    )


def open_in(room: Fishroom, moment: datetime) -> list[Reservation]:
    """The reservations of the fishroom that still bind fish, by number."""
    return [one for _, one in sorted(room.reservations.items()) if one.open_at(moment) and one.left]


def _offered(room: Fishroom) -> Iterable[str]:
    return (batch.id for batch in room.live_batches() if batch.offer is not None)
