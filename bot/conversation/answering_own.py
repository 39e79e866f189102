"""What a buyer asks about the own reservations: which they are, when they are ready, when they can be fetched."""

from __future__ import annotations

import re

from bot.conversation.message import Reply
from bot.conversation.scene import Scene, now_of
from bot.replies import own_orders
from core.fishroom.state import Fishroom, Reservation
from core.planning.paying import cost_of
from core.planning.readiness import readiness

_MINE = r"(?:mine|the rest|the others|my (?:[\w-]+ )?(?:fish|orders?|reservations?|bookings?|babies|fry|ones))"
WHEN_READY = re.compile(
    rf"^\s*(?:when|what day|how soon)\s+(?:(?:is|are|will)\s+)?{_MINE}\s+(?:be\s+)?(?:ready|big enough|due)\b[^,;]*$"
    rf"|^\s*(?:is|are)\s+{_MINE}\s+(?:ready|big enough)(?:\s+yet)?\s*\??\s*$"
    r"|^\s*when\s+(?:can|could|may|shall|do)\s+i\s+(?:come(?: for| and get)?|get|have|pick|fetch|collect)(?:\s+up)?"
    rf"(?:\s+(?:them|it|{_MINE}))?(?:\s+up)?\s*\??\s*$",
    re.IGNORECASE,
)
""" "When is mine ready?", "when can I pick mine up?"."""


def open_ones(scene: Scene) -> list[tuple[Fishroom, Reservation]]:
    """Every open reservation in the fishrooms of the club, by its number."""
    found = [
        (room, one)
        for room in scene.visit.rooms_of_club(scene.club.id)
        for one in room.reservations.values()
        if one.open_at(scene.now) and one.left
    ]
    return sorted(found, key=lambda pair: pair[1].number)


def own(scene: Scene, room: Fishroom, one: Reservation) -> own_orders.Own:
    """A reservation of the writer's with all that there is to know of it."""
    return own_orders.Own(room, one, scene.visit.keeper_name(room.id), cost_of(room, one), readiness(room, one, now_of(scene)))


def when_ready(scene: Scene, found: object = None) -> list[Reply] | None:
    """The writer's own reservations, with their days; a keeper who has none means something else."""
    mine = [pair for pair in open_ones(scene) if pair[1].member == scene.person.id]
    if scene.is_keeper and not mine:
        return None
    return [Reply(own_orders.listing([own(scene, *pair) for pair in mine], scene.style))]
