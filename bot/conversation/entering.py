"""Which fishroom a message goes into: the one it names by its keeper, or the only other one of the writer's in which it can be read."""

from __future__ import annotations

import re

from bot.conversation.heard import Heard
from bot.conversation.scene import Scene
from bot.reading import Events, Reading, read

_AT = re.compile(r"^\s*(?:at|in|for)\s+(?P<name>[^:,]{2,40}?)(?:['’]s)?\s*[:,]\s*(?P<rest>.+)$", re.IGNORECASE | re.DOTALL)

_THEIR = re.compile(r"\b(?P<name>\w[\w .-]{0,30}?)['’]s\s+(?=(?:batch\s+)?[A-Za-z]{1,2}\b)")

NEW_THINGS = frozenset({"place_added", "strain_added", "joined", "batch_joined", "setting", "habit", "away", "free_days"})
"""What needs nothing that is there already, and so tells nothing about which fishroom is meant."""


def enter_room(scene: Scene, text: str) -> str:
    """ "At Marit's: fed tub" goes into that fishroom, "reserve 6 of Marit's B" too; gives the text without the name."""
    if found := _AT.match(text):
        room = room_named(scene, found["name"])
        if room:
            scene.room_id = room
            return found["rest"]
    if found := _THEIR.search(text):
        room = room_named(scene, found["name"].split()[-1])
        if room:
            scene.room_id = room
            return text[: found.start() + len(found["name"]) - len(found["name"].split()[-1])] + text[found.end() :]
    return text


def room_named(scene: Scene, name: str) -> str | None:
    """The fishroom of the club that goes by its own name or its keeper's."""
    wanted = name.strip().lower()
    for room in scene.visit.tx.clubs.rooms(scene.club.id):
        if room.name.lower() == wanted or scene.visit.keeper_name(room.id).lower() == wanted:
            return str(room.id)
    return None


def in_another_room(scene: Scene, heard: Heard) -> tuple[str, Reading] | None:
    """The one other fishroom that the writer keeps or looks after today in which the message can be read; None for none or several."""
    here, found = scene.room_id, []
    for room in scene.other_rooms():
        scene.room_id = room
        reading = read(heard.text, now=heard.local, by=scene.person.name, names=scene.names(), context=scene.context())
        if isinstance(reading, Events) and all(item.kind not in NEW_THINGS for item in reading.items):
            found.append((room, reading))
    scene.room_id = here
    return found[0] if len(found) == 1 else None
