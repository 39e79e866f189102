"""What a buyer asks about the own reservations: which they are, when they are ready, when they can be fetched."""

from __future__ import annotations

import re

from bot.conversation.handing_over import contact
from bot.conversation.message import Reply
from bot.conversation.scene import Scene, now_of
from bot.replies import fetching, own_orders
from core.fishroom.state import Fishroom, Reservation
from core.planning.paying import cost_of
from core.planning.readiness import readiness

_MINE = r"(?:mine|the rest|the others|my (?:[\w-]+ )?(?:fish|orders?|reservations?|bookings?|babies|fry|ones))"
WHEN_READY = re.compile(
    rf"^\s*(?:when|what day|how soon)\s+(?:(?:is|are|will)\s+)?{_MINE}\s+(?:be\s+)?(?:ready|big enough|due)\b[^,;]*$"
    rf"|^\s*(?:is|are)\s+{_MINE}\s+(?:ready|big enough)(?:\s+yet)?\s*\??\s*$"
    r"|^\s*when\s+(?:can|could|may|shall|do)\s+i\s+(?:come(?: for| and get)?|get|have|pick|fetch|collect)(?:\s+up)?"
    rf"(?:\s+(?:them|it|{_MINE}))?(?:\s+up)?\s*\??\s*$"
    r"|^\s*(?:what|how much)\s+(?:do|must|should|will)\s+i\s+(?:have\s+to\s+|need\s+to\s+)?(?:owe|pay|bring)\b[^,;]*$"
    r"|^\s*where\s+(?:do|must|can|should)\s+i\s+(?:go|pick|fetch|collect|get)\b[^,;]*$",
    re.IGNORECASE,
)
""" "When is mine ready?", "when can I pick mine up?", "what do I owe?", "what should I bring?", "where do I pick up?"."""


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
    bring = [fetching.what_to_bring(scene.style)] if any(one.pickup for _, one in mine) else []
    reach = [contact(scene.visit, room, one, scene.person.id) for room, one in mine]
    listing = own_orders.listing([own(scene, *pair) for pair in mine], scene.style)
    return [Reply("\n".join([listing, *dict.fromkeys(line for line in reach if line), *bring]))]
