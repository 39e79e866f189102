"""A message comes in, replies go out. Each incoming thing is one transaction; what it caused is committed before anybody answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from bot.clock import Clock
from bot.conversation.arriving import arrive, start_club
from bot.conversation.falling_due import fall_due, next_due
from bot.conversation.hearing import hear_text
from bot.conversation.message import Incoming, Origin, Other, Picture, Press, Reply, Text, drawn
from bot.conversation.mornings import digest_now
from bot.conversation.ordering import offer_to_waiting
from bot.conversation.picturing import hear_picture
from bot.conversation.pressing import hear_press
from bot.conversation.scene import Scene
from bot.replies import talk
from core.club import Visit, Visits
from core.store import Store

LITTLE = 20
"""Entries of a fishroom that are worth a new snapshot when the house closes."""
MANY = 10_000
"""More fishrooms than one process has at hand."""


class Conversation:
    """The bot, for every front door. Synchronous: run it on one thread."""

    def __init__(self, store: Store, clock: Clock, settings: Mapping[str, Any] | None = None) -> None:
        self.store = store
        self.clock = clock
        self.settings = dict(settings or {})
        self.visits = Visits(store)

    def hear(self, incoming: Incoming) -> list[Reply]:
        """What to answer, once the effect is committed. Hearing the same message again has no second effect and answers again."""
        replies, stirred = self.visits.write(lambda visit: self._hear(visit, incoming))
        if stirred:
            self.visits.write(lambda visit: offer_to_waiting(visit, self.clock.now(), stirred))
        return drawn(replies)

    def _hear(self, visit: Visit, incoming: Incoming) -> tuple[list[Reply], set[str]]:
        """The replies, and the fishrooms where what was recorded may have freed fish for somebody who waits."""
        scene = scene_of(visit, incoming.origin, self)
        if scene is None:
            return [Reply(talk.NOT_A_MEMBER)], set()
        scene.revision = incoming.revision if isinstance(incoming, Text | Picture) else 0
        return self._replies(scene, incoming), scene.stirred

    def _replies(self, scene: Scene, incoming: Incoming) -> list[Reply]:
        match incoming:
            case Text(text=text, revision=revision):
                return hear_text(scene, text, revision)
            case Press():
                return hear_press(scene, incoming.token)
            case Picture():
                return hear_picture(scene, incoming)
            case Other():
                return [Reply(talk.cannot_read(incoming.what))]

    def arrive(
        self, door: str, external_id: str, chat: str, shown_name: str, payload: str = "", group: bool = False
    ) -> list[Reply]:
        """Somebody opens the conversation, with an invitation, a place's label, or nothing."""
        now = self.clock.now()
        return self.visits.write(lambda visit: arrive(visit, now, door, external_id, chat, shown_name, payload, group))

    def person_of(self, door: str, external_id: str) -> str | None:
        """Who comes by this door under this name."""
        with self.store.read() as tx:
            found = tx.people.by_identity(door, external_id)
        return found.id if found else None

    def digest(self, person: str, door: str = "", chat: str = "") -> Reply | None:
        """The person's digest as it stands now; None when there is nothing to do."""
        return self.visits.write(lambda visit: digest_now(visit, person, self.clock.now(), door, chat))

    def due(self, *, digests: bool = True) -> None:
        """Put everything that fell due by now into the deliveries: digests (unless left out), reminders, drafts that expire."""
        try:
            fall_due(self.visits, self.clock.now(), digests=digests)
        finally:
            self.visits.at_hand.keep_snapshots()

    def end(self) -> None:
        """Once no door is open any more: keep what makes the next start fast. Without it (a power cut) that start takes longer."""
        self.visits.at_hand.keep_snapshots(LITTLE, MANY)

    def next_due(self) -> datetime:
        """The next moment at which something falls due or may be sent; a day ahead at the latest."""
        return next_due(self.visits, self.clock.now())

    def do(self, deed: Callable[[Visit], Any]) -> Any:
        """Something the house does by itself (setting up a club, inviting), in one transaction."""
        return self.visits.write(deed)


def scene_of(visit: Visit, origin: Origin, conversation: Conversation) -> Scene | None:
    """The club and the fishroom that a message is written in; None for somebody who belongs to no club."""
    found = visit.tx.clubs.of(origin.person)
    if not found:
        return None
    clubs = {club.id: club for club, _ in found}
    spoken = visit.tx.people.addressed(origin.person)
    group = visit.tx.clubs.of_group(origin.door, origin.chat) if origin.group else None
    club = clubs.get(group or spoken.club or "") or found[0][0]
    shown = visit.roster(club.id).rooms
    mine = [room for room in visit.rooms_kept_by(origin.person) if room in shown]
    room = spoken.room if spoken.room in mine else next(iter(mine), None)
    scene = Scene(visit, origin, conversation.clock.now(), club, room)
    if room is None:  # somebody without a fishroom of their own may look after one today
        scene.room_id = next(iter(scene.other_rooms()), None)
    return scene


__all__ = ["Conversation", "start_club"]
