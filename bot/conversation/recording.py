"""What was read is recorded, whole or not at all: proposed, asked about where something is open or was told today, committed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from bot.conversation import asking, choices
from bot.conversation.by_strain import propose_by_strain
from bot.conversation.committing import commit, here_for, refuse, reply_to
from bot.conversation.currencies import other_money
from bot.conversation.heard import Heard
from bot.conversation.here import Here, Unclear
from bot.conversation.message import Reply
from bot.conversation.proposing import propose
from bot.conversation.scene import Scene
from bot.conversation.taking_back import undo
from bot.reading import Item
from bot.replies import naming, talk
from core import events as e
from core.club import Recorded, Refused
from core.events import Entry, Event, Voided

LOOKED_BACK = 200
"""So many entries of the fishroom are looked through for the same thing told before."""
FREELY = (
    e.Counted, e.Fed, e.StillHolding, e.WaterTested, e.Noted, e.TaskDone, e.TaskLater, e.TaskDropped, e.Photographed,
    e.PickupSet, e.PickupAgreed, e.PickupRefused, e.Confirmed, e.Declined, e.Cancelled, e.ReservationChanged,
)  # fmt: skip
"""What may be told twice in a day without a question."""
GIVEN: Mapping[type[Event], frozenset[str]] = {
    e.Stripped: frozenset({"batch"}),
    e.Released: frozenset({"batch"}),
    e.BatchJoined: frozenset({"batch"}),
    e.Split: frozenset({"new"}),
    e.Joined: frozenset({"fish", "label"}),
    e.Spawned: frozenset({"brood"}),
    e.Holding: frozenset({"brood"}),
    e.Reserved: frozenset({"reservation", "hold_until"}),
    e.Wanted: frozenset({"wish"}),
}
"""Fields that hold an id given by us, so that two tellings of one thing differ in them."""


def record_items(
    scene: Scene, items: Sequence[Item], heard: Heard, taken: Sequence[str] = (), *, again: bool = False
) -> list[Reply]:
    """Record the items of one message, whole or not at all."""
    if any(item.kind == "undone" for item in items):
        return undo(scene, heard)
    here = here_for(scene, heard)
    chosen = [item for item in items if item.kind in choices.CHOICES]
    unclear = propose(here, [item for item in items if item.kind not in choices.CHOICES])
    if unclear is not None:
        return ask_back(scene, unclear, items, heard)
    if not again and not heard.replaces and (told := told_already(scene, here)):
        return asking.ask_again(scene, told, items, heard)
    lines: list[str] = []
    for item in chosen:
        lines.append(choices.propose_choice(scene, item.slots, here))
    done = commit(scene, here, heard)
    if isinstance(done, Refused):
        return refuse(scene, here, done, items, heard)
    for item in chosen:
        lines.append(choices.keep_choice(scene, item.slots))
    scene.speak_of(spoken_in(scene, items, done))
    scene.remember(asked=None)
    asking.told_anew(scene, items)
    scene.visit.tx.people.address(scene.person.id, scene.club.id, scene.room_id)
    if not done.entries and not any(lines):
        return [Reply(talk.NOTHING_CHANGED)]
    return [reply_to(scene, done, [*here.remarks, *lines, other_money(scene, items, heard)], taken, here.texts, replaced=bool(heard.replaces))]


def spoken_in(scene: Scene, items: Sequence[Item], done: Recorded) -> dict[str, str]:
    """What a message spoke of, where it named one of a kind: also the batch or the fish that it brought into the book."""
    found: dict[str, set[str]] = {}
    for item in items:
        for name in asking.SUBJECTS:
            if item.slots.get(name):
                found.setdefault(name, set()).add(str(item.slots[name]))
    for entry in done.entries:
        match entry.event:
            case e.Stripped(batch=batch) | e.Released(batch=batch) | e.BatchJoined(batch=batch) | e.Split(new=batch) if batch:
                found.setdefault("batch", set()).add(naming.label(batch))
            case e.Joined(sex=sex, label=label):
                found.setdefault(sex, set()).add(label)
            case e.Reserved(reservation=number):
                found.setdefault("reservation", set()).add(str(number))
            case e.Wanted():
                found.setdefault("reservation", set()).add("")
    return {name: values.pop() if len(values) == 1 else "" for name, values in found.items()}


def ask_back(scene: Scene, unclear: Unclear, items: Sequence[Item], heard: Heard) -> list[Reply]:
    """What is left open is asked; a reservation by strain is met from the batches that fit."""
    if unclear.why == "by_strain":
        return propose_by_strain(scene, items, heard)
    return asking.ask_unclear(scene, unclear, items, heard)


def told_already(scene: Scene, here: Here) -> Entry | None:
    """An entry of today that says the same as one of the proposals, where saying it twice would count twice."""
    for stream in {proposal.stream for proposal in here.proposals}:
        mine = {signature(proposal.event, proposal.on) for proposal in here.proposals if proposal.stream == stream}
        mine = {one for one in mine if one is not None}
        if not mine:
            continue
        earlier = max(0, scene.visit.head(stream) - LOOKED_BACK)
        for entry in reversed(scene.visit.tx.journal.told_since(stream, scene.midnight, earlier)):
            if signature(entry.event, entry.on) in mine and scene.visit.tx.journal.is_live(entry) and not over(scene, entry):
                return entry  # type: ignore[no-any-return]
    return None


def over(scene: Scene, entry: Entry) -> bool:
    """Whether the entry made a reservation that no longer stands: the same again is no slip."""
    if not isinstance(entry.event, e.Reserved):
        return False
    found = scene.visit.room(entry.stream.partition(":")[2]).reservations.get(entry.event.reservation)
    return found is None or not found.open_at(scene.now)


def signature(event: Event, on: object) -> tuple[Any, ...] | None:
    """What an event says without the ids that were given to it; None for what may be told twice."""
    if isinstance(event, (*FREELY, Voided)):
        return None
    given = GIVEN.get(type(event), frozenset())
    said = tuple((one.name, getattr(event, one.name)) for one in fields(event) if one.name not in given)
    return (type(event).__name__, on, said)
