"""Whose contact somebody gets to see: that of the other side of a confirmed reservation, and for the club's organiser any member's."""

from __future__ import annotations

from datetime import date, datetime

from core.club.permissions import Area, may
from core.club.recording import Refused
from core.club.visit import Visit
from core.events import PersonId
from core.fishroom.state import Fishroom, Reservation
from core.store.people import Person


def other_side(visit: Visit, room: Fishroom, found: Reservation, person: PersonId) -> Person | None:
    """For the buyer the fishroom's (first) keeper, for a keeper the buyer; None for anybody else, and before it is confirmed."""
    keepers = visit.keepers(room.id)
    if found.status != "confirmed" or not (person == found.member or person in keepers):
        return None
    other = (keepers[0] if keepers else None) if person == found.member else found.member
    return visit.person(other) if other else None


def contact_of(visit: Visit, club_id: str, wanted: PersonId, asker: PersonId, now: datetime, today: date) -> Person | Refused:
    """The person with the contact, for those who may see it: themselves, the organiser, and the other side of what is reserved now."""
    if wanted == asker or may(visit.standings(asker, club_id, None, today), Area.SEEING_A_CONTACT):
        return visit.person(wanted)
    for room in visit.overview(club_id).promising():
        for one in room.reservations.values():
            other = other_side(visit, room, one, asker) if one.open_at(now) else None
            if other is not None and other.id == wanted:
                return other
    return Refused("not_allowed", area=Area.SEEING_A_CONTACT)
