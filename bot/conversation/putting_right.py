"""A message that only puts the one before right: "oops 30 fry", "I meant female 5", "no, box 2", "make that 28".

The one before is read again with the correction behind it, as if it had been said in one breath, and what it had recorded is replaced.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.scene import Scene
from bot.reading import Events, Item, Reading, begins_as_correction, put_right, read
from core.events import Event, Reserved

FRESH = timedelta(minutes=30)
"""How long after a message its correction is taken to be of it."""
LONGEST = 400
"""Characters of a message that is remembered for that."""
Act = Callable[[Scene, Reading, Heard], list[Reply]]


def remember_said(scene: Scene, items: Sequence[Item], heard: Heard) -> None:
    """Keep what was said for a while, so that the next message may put it right; a note's words are no place for a correction."""
    if any(item.kind in ("noted", "undone") for item in items) or len(heard.text) > LONGEST:
        scene.remember(said=None)
        return
    source = scene.source
    said = {"words": heard.text, "local": heard.local.isoformat(), "door": source.door, "message": source.message}
    scene.remember(said=said, said_at=scene.now.isoformat())


def is_newer(scene: Scene, heard: Heard) -> bool:
    """Whether what was recorded last was said after the newest open question: then "oops f5" is of that, and no answer."""
    said = scene.memory.get("said")
    if said is None or not begins_as_correction(heard.text):
        return False
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now)
    return draft is not None and datetime.fromisoformat(said["local"]) > draft.written


def _keeps_a_mix(event: Event) -> bool:
    return isinstance(event, Reserved) and bool(event.males) and bool(event.females)


_SEX = re.compile(r"\bf?e?males?\b|\d\s?[mf]\b|\b(?!\w*\d)\w*day\b|\bpairs?\b|\bof\b", re.IGNORECASE)
"""What may correct a reservation of so many males and so many females: "make it 5" does not say of which."""


def answered(scene: Scene, heard: Heard, act: Act, whole: bool = False) -> list[Reply] | None:
    """What the message before becomes with this one behind it; None where this one corrects nothing. `whole`: it could stand alone."""
    if heard.replaces or not begins_as_correction(heard.text):
        return None
    said, at = scene.memory.get("said"), scene.memory.get("said_at")
    if not said or not at or scene.now - datetime.fromisoformat(at) > FRESH:
        return None
    entries = tuple(scene.visit.tx.journal.live_of_message(said["door"], said["message"]))
    local = datetime.fromisoformat(said["local"])
    if any(_keeps_a_mix(entry.event) for entry in entries) and not _SEX.search(heard.text):
        return None
    words = put_right(said["words"], heard.text, scene.names(), whole)
    if not entries or words is None:
        return None
    reading = read(words, now=local, by=scene.person.name, names=scene.names(), context=scene.context())
    return act(scene, reading, Heard(words, local, entries)) if isinstance(reading, Events) else None
