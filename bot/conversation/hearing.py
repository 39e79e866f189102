"""A text is heard: an open question answered, something recorded, a query answered, or a question asked back.

1. What was already recorded from this very message is answered again, without a second effect.
2. An edit is read with the message's original time, and replaces what it had recorded.
3. What stands alone is handled alone; else it may answer the newest open question.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, cast

from bot.conversation import asking, committing, mixing, putting_right, recording, settling
from bot.conversation.accepting import short_answer
from bot.conversation.answering import ANSWERS as QUERIES
from bot.conversation.answering import answer_query
from bot.conversation.answering_club import available_now
from bot.conversation.by_strain import propose_by_strain
from bot.conversation.entering import enter_room, in_another_room
from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.noting import offer_note
from bot.conversation.own_words import READ, own_words
from bot.conversation.plainly_wanted import plainly_wanted
from bot.conversation.scene import Scene
from bot.reading import Ask, Events, Item, Names, Nothing, Query, Reading, read
from bot.replies import helping, refused, talk
from core.club import Refused
from core.club.permissions import Area
from core.events import Entry

LONGEST = 4_000
"""Characters of a message that are read; a longer one is asked to be told in parts."""


def hear_text(scene: Scene, text: str, revision: int = 0) -> list[Reply]:
    """The replies to a text."""
    if not text.strip():
        return [Reply(talk.EMPTY)]
    if len(text) > LONGEST:
        return [Reply(talk.TOO_LONG)]
    earlier: list[Entry] = scene.visit.tx.journal.of_message(scene.source.door, scene.source.message)
    newest = max((entry.source.revision for entry in earlier if entry.source), default=revision)  # an edit may overtake the original
    again = [entry for entry in earlier if entry.source and entry.source.revision == max(revision, newest)]
    if again:
        return committing.tell_again(scene, again)
    if not revision and (picked := settling.picked(scene, text, act)) is not None:
        return picked
    text = enter_room(scene, text)
    special = own_words(scene, text)
    if special is not None:
        return special
    heard = Heard(text, scene.written)
    if revision:
        settling.withdraw_asked(scene)
        live = list(scene.visit.tx.journal.live_of_message(scene.source.door, scene.source.message))
        told = live[0].told if live else scene.now
        heard = replace(heard, local=told.astimezone(scene.zone).replace(tzinfo=None), replaces=tuple(live))
    return understand(scene, heard)


def understand(scene: Scene, heard: Heard) -> list[Reply]:
    """Read the text, and act on the reading."""
    names = scene.names()
    member = scene.person.name
    reading = read(heard.text, now=heard.local, by=member, names=names, context=scene.context())
    if ends_no_brood(reading, names):
        others = replace(scene.context(), female=None)
        reading = read(heard.text, now=heard.local, by=member, names=names, context=others)
    if isinstance(reading, Ask) and reading.why in ("unknown", "missing") and (elsewhere := in_another_room(scene, heard)):
        scene.room_id, reading = elsewhere
        names = scene.names()
    if not isinstance(reading, Events | Query) and (order := plainly_wanted(scene, heard, names)) is not None:
        reading = order
    whole = isinstance(reading, Events)
    if putting_right.is_newer(scene, heard) and (better := putting_right.answered(scene, heard, act, whole)) is not None:
        return better
    if scene.revision and not isinstance(reading, Events) and (anew := settling.answer_edited(scene, heard, act)) is not None:
        return anew
    if not isinstance(reading, Events) and not heard.replaces and not (isinstance(reading, Query) and not _SAYS_WHICH.match(heard.text)):
        if (told := mixing.answered(scene, heard.text)) is not None:
            return recording.record_items(scene, [told], heard)
        answered = settling.answer(scene, heard.text, names, act, stands_alone=isinstance(reading, Query), reads=reading)
        if answered is not None:
            return answered
    if (better := putting_right.answered(scene, heard, act, whole)) is not None:
        return better
    return act(scene, reading, heard)


def ends_no_brood(reading: Reading, names: Names) -> bool:
    """Whether "she spat" leans on a female last spoken of that carries nothing, while others carry: then it is asked who did."""
    if not isinstance(reading, Events):
        return False
    carry = {label for label, one in names.females.items() if one.get("holding_since")}
    leaning = {taken.removeprefix("female ") for taken in reading.taken if taken.startswith("female ")}
    ended = {str(item.slots.get("female")) for item in reading.items if item.kind in asking.ENDING}
    return bool(carry) and bool(leaning & ended - carry)


_SAYS_WHICH = re.compile(
    r"^\s*(?:(?:in|into|to|from|at|on)\s+\S+(?:\s+\S+)?|(?:batch|female|male|tank|box|tub|pond)\s+\S+|\S+)\s*[.!?]?\s*$", re.IGNORECASE
)
"""What may answer "which?" or "where?" though it also asks how things are there ("B?", "in box 2"); other questions stand alone."""


def act(scene: Scene, reading: Reading, heard: Heard) -> list[Reply]:
    """Do what a reading asks for."""
    if isinstance(reading, Events | Query):
        scene.remember(agree_to=None)
    match reading:
        case Events(items=(Item("undone"),)) if not scene.revision and settling.drop_asked_last(scene):
            return [Reply(talk.DROPPED)]
        case Events(items=(Item(kind, slots),)) | Query(Item(kind, slots), more=()) if kind in READ:
            return READ[kind](scene, slots)
        case Events(items) if (deeds := [item for item in items if item.kind in READ]):
            rest = tuple(item for item in items if item not in deeds)
            replies = act(scene, replace(reading, items=rest), heard) if rest else []
            return replies + [reply for deed in deeds for reply in READ[deed.kind](scene, deed.slots)]
        case Events(items, query, taken, further):
            replies = recording.record_items(scene, items, heard, taken)
            putting_right.remember_said(scene, items, heard)
            replies += settling.now_known(scene, items, act)
            return replies + [reply for asked in (query, *further) if asked is not None for reply in answer_query(scene, asked, ())]
        case Query(item, taken, further):
            return [*answer_query(scene, item, taken), *(reply for asked in further for reply in answer_query(scene, asked, ()))]
        case Ask():
            if (no := not_theirs(scene, reading)) is not None:
                return [Reply(no)]
            if none := nothing_to_reserve(scene, reading):
                return none
            if (more := more_than_there_is(reading)) is not None:
                return propose_by_strain(scene, more, heard)
            return [asking.ask(scene, reading, heard)]
        case Nothing():
            answered = short_answer(scene, heard)
            if answered is not None:
                return answered
            if (note := offer_note(scene, heard)) is not None:
                return [note]
            return [] if scene.origin.group else [Reply(nothing_in(scene, heard))]


def nothing_in(scene: Scene, heard: Heard) -> str:
    """What is said to words that report and ask nothing; a keeper whose fishroom is empty hears how to begin it."""
    begin = helping.beginning(scene.room, scene.style) if scene.room and scene.is_keeper else ""
    said = talk.nothing(heard.text, heard.replaces != (), keeps=scene.room_id is not None, begin=begin)
    return talk.with_cautions(said, heard.text)


def nothing_to_reserve(scene: Scene, question: Ask) -> list[Reply]:
    """Somebody without a fishroom wants fish of no batch in particular, and none is for sale: that, instead of "which batch?"."""
    kinds = {item["kind"] for item in cast("dict[str, Any]", question.draft or {}).get("items", ())}
    asked = question.about == "batch" and question.why == "missing" and kinds == {"reserved"}
    return available_now(scene, {}) if asked and scene.room_id is None and not scene.names().batches else []


def more_than_there_is(question: Ask) -> list[Item] | None:
    """A reservation by strain of more fish than there are: what there is is proposed, and the waiting list."""
    waiting = cast("dict[str, Any]", question.draft or {}).get("items", ())
    if question.about != "count" or question.why != "too_many" or len(waiting) != 1 or not question.value.isdigit():
        return None
    slots = waiting[0]["slots"]
    if waiting[0]["kind"] != "reserved" or "batch" in slots or not slots.get("strain"):
        return None
    return [Item("reserved", {**slots, "count": int(question.value)})]


MEMBERS_TELL = frozenset({
    "reserved", "reservation_changed", "pickup_set", "cancelled", "wanted", "setting", "undone", "confirmed", "declined", "collected",
    "no_show", "deposit", "guest_added",
})  # fmt: skip
"""What somebody without a fishroom may mean; whether they may do it is decided elsewhere."""


def not_theirs(scene: Scene, question: Ask) -> str | None:
    """Why not to ask: somebody without a fishroom has nothing to record in one."""
    kinds = {item["kind"] for item in cast("dict[str, Any]", question.draft or {}).get("items", ())}
    areas = {QUERIES[kind].area if kind in QUERIES else Area.STOCK for kind in kinds - MEMBERS_TELL}
    if scene.room_id is not None or kinds & MEMBERS_TELL or not areas <= {Area.STOCK, Area.SEEING_THE_ROOM}:
        return None
    return refused.sentence(Refused("not_allowed", area=min(areas)), scene.style, None) if areas else None
