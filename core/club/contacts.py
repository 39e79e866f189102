"""Whose contact somebody gets to see: that of the other side of a confirmed reservation, and nobody's else."""

from __future__ import annotations

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
