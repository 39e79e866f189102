"""Taking back, and putting back what was taken back: whole messages, said in the same lines, and told to whom they concern."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from bot.conversation import following, telling
from bot.conversation.committing import entries_room, keys, lines_for, room_of, text_keys
from bot.conversation.heard import Heard
from bot.conversation.message import Button, Reply
from bot.conversation.scene import Scene
from bot.replies import refused, talk
from bot.replies.recorded_scene import in_it_now
from core import events as e
from core.club import Recorded, Refused
from core.club.recording import take_back
from core.events import Entry, Voided
from core.fishroom.state import Batch

COUNTED = (e.Died, e.Culled, e.Counted, e.Split, e.Merged, e.Sold)
"""After these a batch has another number of fish."""


def undo(scene: Scene, heard: Heard) -> list[Reply]:
    """Take back the writer's own last message, whole; a message that is edited into "undo" takes back itself, and nothing else."""
    if heard.replaces:
        return [take_back_entries(scene, heard.replaces)]
    if scene.revision and scene.visit.tx.journal.of_message(scene.source.door, scene.source.message):
        return [Reply(talk.ALREADY_TAKEN_BACK)]
    told = scene.visit.tx.journal.last_of(scene.person.id)
    if told is None:
        return [Reply(talk.NOTHING_TO_TAKE_BACK)]
    if sorted(keys(told.entries)) == sorted(scene.memory.get("called_off", ())):  # by an "undo": another one promises nothing again, the button does
        again = scene.button(talk.PUT_BACK, {"do": "take_back", "entries": keys(told.entries)})
        return [Reply(talk.ALREADY_TAKEN_BACK, ((again,),))]
    return [take_back_entries(scene, told.entries)]


def take_back_entries(scene: Scene, entries: Sequence[Entry]) -> Reply:
    """Take these entries back, say so, and offer to put them back."""
    if room := entries_room(entries):
        scene.go_to(room)
    lines = lines_for(scene, entries, scene.visit.tx.texts.get_all(text_keys(entries)), undone=True)
    done = take_back(scene.visit, scene.person.id, scene.club.id, entries, source=scene.source, told=scene.now, today=scene.today)
    if isinstance(done, Refused):
        return Reply(refused.sentence(done, scene.style, scene.room))
    voids = [entry for entry in done.entries if isinstance(entry.event, Voided)]
    called_off = [entry for entry in done.entries if isinstance(entry.event, e.Cancelled)]
    scene.remember(taken_back=keys(voids) or None, called_off=keys(called_off) or None)
    button = [scene.button(talk.PUT_BACK, {"do": "put_back", "entries": keys(voids)})] if voids else []
    return turned(scene, done, talk.taken_back(lines), entries, button)


def put_back_entries(scene: Scene, voids: Sequence[Entry]) -> Reply:
    """Take back a taking back: what was taken back counts again; say so, and offer to take it back once more."""
    done = take_back(scene.visit, scene.person.id, scene.club.id, voids, source=scene.source, told=scene.now, today=scene.today)
    if isinstance(done, Refused):
        return Reply(refused.sentence(done, scene.style, scene.room))
    restored = [scene.visit.meant(entry) for entry in voids]
    lines = lines_for(scene, restored, scene.visit.tx.texts.get_all(text_keys(restored)))
    button = [scene.button(talk.TAKE_BACK, {"do": "take_back", "entries": keys(restored)})]
    return turned(scene, done, talk.put_back(lines), restored, button)


def turned(scene: Scene, done: Recorded, said: str, entries: Sequence[Entry], button: list[Button]) -> Reply:
    """What was taken or put back, what is in the batches now, and what follows from it. Tells whom it concerns."""
    telling.tell_others(scene, done)
    scene.stirred |= {entry.stream.partition(":")[2] for entry in done.entries if entry.stream.startswith("fishroom:")}
    more, rows, _ = following.follow_up(scene, done)
    now = [line for batch in counted_in(scene, entries) if (line := in_it_now(batch)) not in said]
    return Reply("\n".join([said, *now, *more]), tuple(tuple(row) for row in [*rows, button] if row))


def counted_in(scene: Scene, entries: Iterable[Entry]) -> list[Batch]:
    """The batches of which the entries changed the number, as they are now."""
    found: dict[str, Batch] = {}
    for entry in entries:
        batch = getattr(entry.event, "into", None) or getattr(entry.event, "batch", None)
        now = room_of(scene, entry).batches.get(batch) if batch and isinstance(entry.event, COUNTED) else None
        if now is not None:
            found[now.id] = now
    return list(found.values())


def take_back_named(scene: Scene, named: Iterable[Sequence[Any]]) -> list[Reply]:
    """Take back those of the entries, named by stream and number, that still stand."""
    live = still_standing(scene, named)
    return [take_back_entries(scene, live) if live else Reply(talk.ALREADY_TAKEN_BACK)]


def put_back_named(scene: Scene, named: Iterable[Sequence[Any]]) -> list[Reply]:
    """Put back what these takings back took, as far as they still stand."""
    voids = still_standing(scene, named)
    return [put_back_entries(scene, voids) if voids else Reply(talk.USED_BUTTON)]


def still_standing(scene: Scene, named: Iterable[Sequence[Any]]) -> list[Entry]:
    """The entries of these streams and numbers that are not taken back."""
    journal = scene.visit.tx.journal
    found = [journal.entry(stream, number) for stream, number in named]
    return [entry for entry in found if journal.is_live(entry)]
