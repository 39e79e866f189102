"""What was proposed is committed, told in a line each with a way to take it back, and followed up; or it is said why not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from bot.conversation import asking, following, telling
from bot.conversation.heard import Heard
from bot.conversation.here import Here, Unclear, here_of
from bot.conversation.message import Reply
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import naming, recorded, refused, talk
from core import events as e
from core.club import Recorded, Refused
from core.club.decisions import ABOUT_PROMISES
from core.club.recording import record
from core.codec import kind_of
from core.events import Entry, Voided
from core.fishroom.state import Fishroom
from core.planning.promises import on_offer

FREEING = (
    e.Offered, e.Wanted, e.WishAnswered, e.Cancelled, e.Declined, e.NoShow, e.ReservationChanged, e.Counted, e.Sexed, e.Measured
)  # fmt: skip
"""After these there may be fish for somebody who waits."""


def here_for(scene: Scene, heard: Heard) -> Here:
    """The scene that proposals are made on; an edit's goes on without what it replaces, and gives its ids again."""
    here = here_of(scene, heard.local)
    if heard.replaces:
        here.go_on_without(heard.replaces)
    return here


def commit(scene: Scene, here: Here, heard: Heard) -> Recorded | Refused:
    """Record what was proposed."""
    if not here.proposals and not heard.replaces:
        return Recorded(())
    done = record(
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
    if isinstance(done, Recorded) and heard.replaces:
        telling.tell_of_replaced(scene, heard.replaces, done)
        scene.stirred |= {entry.stream.partition(":")[2] for entry in heard.replaces if isinstance(entry.event, ABOUT_PROMISES)}
    return done


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


def lines_for(scene: Scene, entries: Iterable[Entry], texts: Mapping[str, str], *, undone: bool = False) -> list[str]:
    """A line for each entry; many of a kind in one message are told together where they can be."""
    lines: list[str] = []
    for entry in entries:
        if isinstance(entry.event, Voided):
            continue
        room = room_of(scene, entry)
        whose = telling.whose(scene, room, scene.person.id)
        lines.append(recorded.line(entry, recorded.Scene(room, scene.style, scene.members, texts, undone=undone, whose=whose)))
    fish = [entry for entry in entries if isinstance(entry.event, e.Joined)]
    if len(fish) > 2:
        rest = [line for line, entry in zip(lines, entries, strict=False) if not isinstance(entry.event, e.Joined)]
        together = recorded.joined_together(fish, recorded.Scene(room_of(scene, fish[0]), scene.style, scene.members, texts))
        lines = [together, *rest]
    home = entries_room(entries)
    if home and (scene.visit.several_rooms(scene.person.id) or scene.sits_in(home)):
        lines.insert(0, talk.in_room(scene.visit.tx.clubs.room(home).name))
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
