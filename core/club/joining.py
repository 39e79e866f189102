"""Who comes into a club: who may invite and bring guests, the name somebody gets, and the fishroom that a new keeper starts with."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from core.club.permissions import Area, may
from core.club.recording import Refused
from core.club.visit import Visit
from core.events import PersonId
from core.store.clubs import Role
from core.store.people import Person

INVITED_FOR = timedelta(days=14)
LONGEST_NAME = 40


def invite(
    visit: Visit, person: PersonId, club_id: str, room_id: str | None, roles: Iterable[Role], name: str, *, now: datetime, today: date
) -> str | Refused:
    """A one-time code into the club. Organisers and keepers invite; only an organiser makes organisers."""
    asked = frozenset(roles)
    standings = visit.standings(person, club_id, room_id, today)
    for area in (Area.INVITING, *((Area.CLUB,) if "organiser" in asked else ())):
        if not may(standings, area):
            return Refused("not_allowed", area=area)
    return invite_by_house(visit, person, club_id, now, asked, name)


def invite_by_house(
    visit: Visit, by: PersonId, club_id: str, now: datetime, roles: Iterable[Role], name: str | None = None
) -> str:
    """A one-time code into the club, asked for by whoever runs the machine; good for `INVITED_FOR`."""
    return str(visit.tx.invitations.make(club_id, sorted(roles), by, now, now + INVITED_FOR, name=name))


def add_guest(
    visit: Visit, person: PersonId, club_id: str, room_id: str | None, name: str, *, now: datetime, today: date
) -> Person | Refused:
    """Somebody outside the club for whom a keeper keeps reservations. Refused "name_taken" where the club knows the name."""
    if not may(visit.standings(person, club_id, room_id, today), Area.RESERVING_FOR_ANOTHER):
        return Refused("not_allowed", area=Area.RESERVING_FOR_ANOTHER)
    if visit.member_named(club_id, name):
        return Refused("name_taken")
    guest: Person = visit.tx.people.add(name, now)
    visit.tx.clubs.join(club_id, guest.id, ["guest"], now)
    return guest


def add_room(visit: Visit, club_id: str, person: PersonId, keeper: str) -> str:
    """A fishroom for a keeper, shown in the club; its id."""
    room = visit.tx.clubs.add_room(f"{keeper}'s fishroom", in_clubs=[club_id], kept_by=[person])
    return str(room.id)


def free_name(visit: Visit, club_id: str, wanted: str) -> str:
    """A name that nobody in the club bears: the one wanted, with a number behind it if need be."""
    name = " ".join(wanted.split())[:LONGEST_NAME] or "Member"
    taken = {known.lower() for known in visit.names(club_id).values()}
    numbered = (f"{name} {n}" for n in range(2, 10_000))
    return name if name.lower() not in taken else next(one for one in numbered if one.lower() not in taken)
