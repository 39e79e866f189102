"""What was read is recorded: proposed, checked, appended, told in a line each with a way to take it back, and followed up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import TYPE_CHECKING, Any

from bot.conversation import asking, choices, following, telling
from bot.conversation.here import Here, Unclear
from bot.conversation.message import Button, Reply
from bot.conversation.proposing import propose
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import naming, recorded, refused, talk
from bot.replies.recorded_scene import in_it_now
from core import events as e
from core.club import Recorded, Refused
from core.club.recording import record, take_back
from core.codec import kind_of
from core.events import Entry, Event, Voided
from core.fishroom.state import Batch, Fishroom
from core.planning.promises import on_offer

if TYPE_CHECKING:
    from bot.conversation.hearing import Heard

LOOKED_BACK = 200
"""So many entries of the fishroom are looked through for the same thing told before."""
FREELY = (
    e.Counted, e.Fed, e.StillHolding, e.WaterTested, e.Noted, e.TaskDone, e.TaskLater, e.TaskDropped, e.Photographed,
    e.PickupSet, e.PickupAgreed, e.PickupRefused, e.Confirmed, e.Declined, e.Cancelled,
)  # fmt: skip
"""What may be told twice in a day without a question."""
FREEING = (
    e.Offered, e.Wanted, e.WishAnswered, e.Cancelled, e.Declined, e.NoShow, e.ReservationChanged, e.Counted, e.Sexed, e.Measured
)  # fmt: skip
"""After these there may be fish for somebody who waits."""
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
        return asking.ask_unclear(scene, unclear, items, heard)
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
    asking.told_anew(scene, items)
    scene.visit.tx.people.address(scene.person.id, scene.club.id, scene.room_id)
    if not done.entries and not any(lines):
        return [Reply(talk.NOTHING_CHANGED)]
    return [reply_to(scene, done, [*here.remarks, *lines], taken, here.texts, replaced=bool(heard.replaces))]


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
    return {name: values.pop() if len(values) == 1 else "" for name, values in found.items()}


def here_for(scene: Scene, heard: Heard) -> Here:
    """The scene that proposals are made on; an edit's goes on without what it replaces, and gives its ids again."""
    here = Here(
        scene.visit,
        scene.person.id,
        scene.club.id,
        scene.room_id,
        heard.local,
        scene.now,
        scene.names(),
        key=f"{scene.source.door}:{scene.source.message}:{scene.revision}",
        tasks=tuple(scene.tasks_shown),
    )
    if heard.replaces:
        here.go_on_without(heard.replaces)
    return here


def told_already(scene: Scene, here: Here) -> Entry | None:
    """An entry of today that says the same as one of the proposals, where saying it twice would count twice."""
    for stream in {proposal.stream for proposal in here.proposals}:
        mine = {signature(proposal.event, proposal.on) for proposal in here.proposals if proposal.stream == stream}
        mine = {one for one in mine if one is not None}
        if not mine:
            continue
        earlier = max(0, scene.visit.head(stream) - LOOKED_BACK)
        for entry in reversed(scene.visit.tx.journal.told_since(stream, scene.midnight, earlier)):
            if signature(entry.event, entry.on) in mine and scene.visit.tx.journal.is_live(entry):
                return entry  # type: ignore[no-any-return]
    return None


def signature(event: Event, on: object) -> tuple[Any, ...] | None:
    """What an event says without the ids that were given to it; None for what may be told twice."""
    if isinstance(event, (*FREELY, Voided)):
        return None
    given = GIVEN.get(type(event), frozenset())
    said = tuple((one.name, getattr(event, one.name)) for one in fields(event) if one.name not in given)
    return (type(event).__name__, on, said)


def commit(scene: Scene, here: Here, heard: Heard) -> Recorded | Refused:
    """Record what was proposed."""
    if not here.proposals and not heard.replaces:
        return Recorded(())
    return record(
        scene.visit,
        scene.person.id,
        scene.club.id,
        here.proposals,
        source=scene.source,
        told=scene.now,
        today=scene.today,
        texts=here.texts,
        replaces=heard.replaces,
    )


def refuse(scene: Scene, here: Here, done: Refused, items: Sequence[Item], heard: Heard) -> list[Reply]:
    """Why not, with what can be done instead."""
    if done.objection is not None and done.objection.why == "different_strains":
        strains = ",".join(naming.strain(here.scratch or Fishroom(""), key) for key in done.objection.facts)
        return asking.ask_unclear(scene, Unclear("hybrid", "different_strains", strains, ("yes", "no")), items, heard)
    room = here.scratch or scene.room
    text = refused.sentence(done, scene.style, room)
    return [Reply(text, following.alternatives(scene, done, items, here))]


def reply_to(
    scene: Scene,
    done: Recorded,
    remarks: Iterable[str],
    taken: Sequence[str],
    texts: Mapping[str, str],
    *,
    replaced: bool = False,
) -> Reply:
    """The lines for what was recorded, what follows from it, and the button that takes it back. Tells whom it concerns."""
    lines = [talk.CORRECTED] if replaced and done.entries else []
    lines += lines_for(scene, done.entries, texts)
    lines += [talk.taken(one) for one in taken]
    lines += [remark for remark in remarks if remark]
    more, rows, attachments = following.follow_up(scene, done)
    telling.tell_others(scene, done)
    scene.stirred |= stirred_by(scene, done.entries)
    buttons = [[scene.button(talk.TAKE_BACK, {"do": "take_back", "entries": keys(done.entries)})]] if done.entries else []
    more += scene.cautions(kind_of(entry.event) for entry in done.entries)
    return Reply("\n".join([*lines, *more]), tuple(tuple(row) for row in [*rows, *buttons]), tuple(attachments))


def stirred_by(scene: Scene, entries: Iterable[Entry]) -> set[str]:
    """The fishrooms that may have fish for somebody who waits, after these entries; after a new wish those that sell its strain."""
    found: set[str] = set()
    for entry in entries:
        if isinstance(entry.event, e.Wanted | e.WishAnswered):
            wish = scene.visit.club(scene.club.id).wishes.get(entry.event.wish)
            sellers = scene.visit.overview(scene.club.id).offering() if wish else ()
            found |= {room.id for room in sellers if wish and on_offer(room, wish.strain)}
        elif isinstance(entry.event, FREEING):
            found.add(entry.stream.partition(":")[2])
    return found


def lines_for(scene: Scene, entries: Iterable[Entry], texts: Mapping[str, str], *, undone: bool = False) -> list[str]:
    """A line for each entry; many of a kind in one message are told together where they can be."""
    lines: list[str] = []
    for entry in entries:
        if isinstance(entry.event, Voided):
            continue
        lines.append(recorded.line(entry, recorded.Scene(room_of(scene, entry), scene.style, scene.members, texts, undone=undone)))
    fish = [entry for entry in entries if isinstance(entry.event, e.Joined)]
    if len(fish) > 2:
        rest = [line for line, entry in zip(lines, entries, strict=False) if not isinstance(entry.event, e.Joined)]
        together = recorded.joined_together(fish, recorded.Scene(room_of(scene, fish[0]), scene.style, scene.members, texts))
        lines = [together, *rest]
    room = entries_room(entries)
    if room and (scene.visit.several_rooms(scene.person.id) or scene.sits_in(room)):
        lines.insert(0, talk.in_room(scene.visit.tx.clubs.room(room).name))
    return lines


def entries_room(entries: Iterable[Entry]) -> str | None:
    """The fishroom that the entries stand in, if they stand in one."""
    rooms = {entry.stream.partition(":")[2] for entry in entries if entry.stream.startswith("fishroom:")}
    return next(iter(rooms)) if len(rooms) == 1 else None


def room_of(scene: Scene, entry: Entry) -> Fishroom:
    """The fishroom an entry stands in; an empty one for the club's own entries."""
    kind, _, name = entry.stream.partition(":")
    return scene.visit.room(name) if kind == "fishroom" else Fishroom("")


def keys(entries: Iterable[Entry]) -> list[list[Any]]:
    """Entries as (stream, number), as a button keeps them."""
    return [[entry.stream, entry.number] for entry in entries]


def undo(scene: Scene, heard: Heard) -> list[Reply]:
    """Take back the writer's own last message, whole; a message that is edited into "undo" takes back itself, and nothing else."""
    if heard.replaces:
        return [take_back_entries(scene, heard.replaces)]
    if scene.revision and scene.visit.tx.journal.of_message(scene.source.door, scene.source.message):
        return [Reply(talk.ALREADY_TAKEN_BACK)]
    told = scene.visit.tx.journal.last_of(scene.person.id)
    if told is None:
        return [Reply(talk.NOTHING_TO_TAKE_BACK)]
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
    scene.remember(taken_back=keys(voids) or None)
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
    now = [in_it_now(batch) for batch in counted_in(scene, entries)]
    return Reply("\n".join([said, *now, *more]), tuple(tuple(row) for row in [*rows, button] if row))


COUNTED = (e.Died, e.Culled, e.Counted, e.Split, e.Merged, e.Sold)
"""After these a batch has another number of fish."""


def counted_in(scene: Scene, entries: Iterable[Entry]) -> list[Batch]:
    """The batches of which the entries changed the number, as they are now."""
    found: dict[str, Batch] = {}
    for entry in entries:
        batch = getattr(entry.event, "into", None) or getattr(entry.event, "batch", None)
        now = room_of(scene, entry).batches.get(batch) if batch and isinstance(entry.event, COUNTED) else None
        if now is not None:
            found[now.id] = now
    return list(found.values())


def text_keys(entries: Iterable[Entry]) -> list[str]:
    """The keys of the free texts that entries name."""
    return [entry.event.text for entry in entries if isinstance(entry.event, e.Noted | e.Photographed) and entry.event.text]


def tell_again(scene: Scene, entries: Sequence[Entry]) -> list[Reply]:
    """The reply to a message that was recorded before: the same lines, without a second effect."""
    said = [entry for entry in entries if not isinstance(entry.event, Voided)]
    voids = [entry for entry in entries if isinstance(entry.event, Voided)]
    if not said and voids:
        return [Reply(talk.ALREADY_TAKEN_BACK)]
    lines = lines_for(scene, said, scene.visit.tx.texts.get_all(text_keys(said)))
    button = scene.button(talk.TAKE_BACK, {"do": "take_back", "entries": keys(said)})
    return [Reply("\n".join(lines), ((button,),))]
