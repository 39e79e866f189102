"""A short yes or no to something the member was asked unasked: a pickup the other side proposed, fish for a wish."""

from __future__ import annotations

import re

from bot.conversation.by_strain import answer_wish
from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.ordering import part_of_wish
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Item
from core.fishroom.state import Fishroom, Reservation, Wish
from core.planning.pickups import proposals
from core.planning.waiting import asked_now

_NUMBER = re.compile(r"\b(?:for|to|with)?\s*#?(\d+)\s*$")
_POLITE = re.compile(r"\b(?:please|pls|thanks|thank you|thx|sorry)\b")
_SUITS = (
    r"(?:(?:that|this|it)(?: time| day)?(?:'?s| is| will)? ?)?"
    r"(?:suits?|works?|fine|ok(?:ay)?|good|great|perfect|agreed)(?: (?:for |by |with )?(?:me|us))?"
)
_YES = re.compile(
    rf"(?:yes|yep|yeah|sure|deal|accept(?:ed)?|i agree|agree|see you then|i(?:'ll| will) (?:take|have) (?:them|it|those)|{_SUITS})"
    rf"(?: {_SUITS})?(?: i(?:'ll| will) (?:take|have) (?:them|it|those))?"
)
_NO = re.compile(
    r"(?:no|nope|refused?|not then|not that day|not (?:these|those)|(?:no )?i (?:can't|cannot|cant)(?: then| that day| make it| make that)?"
    r"|(?:no )?(?:can't|cannot|cant)(?: then| that day| make it| make that)?"
    r"|(?:no )?(?:that|this|it)(?: day| time)? (?:does not|doesn't|doesnt|won't|will not) (?:suit|work)(?: me| for me)?)"
)


def short_answer(scene: Scene, heard: Heard) -> list[Reply] | None:
    """What a bare yes or no answers, where exactly one thing is open; else None."""
    yes, number = bare_answer(heard.text)
    if yes is None:
        return None
    asked = [one for one in _asked(scene) if number in (None, one[1].number)]
    if len(asked) == 1:
        room, one = asked[0]
        return _answer_pickup(scene, room, one, heard, agreed=yes)
    wishes = _wishes(scene) if number is None else []
    if not asked and len(wishes) == 1:
        return _answer_wish(scene, wishes[0], heard, taken=yes)
    return None


def bare_answer(text: str) -> tuple[bool | None, int | None]:
    """Whether the text is nothing but a yes or a no (None: neither), and the number that it names."""
    said = text.lower().replace("’", "'")
    named = _NUMBER.search(said.rstrip(" .!"))
    said = _POLITE.sub("", _NUMBER.sub("", said.rstrip(" .!")))
    said = " ".join(re.sub(r"[,.!]", " ", said).split())
    number = int(named[1]) if named and len(named[1]) < 10 else None
    if _YES.fullmatch(said):
        return True, number
    return (False if _NO.fullmatch(said) else None), number


def _asked(scene: Scene) -> list[tuple[Fishroom, Reservation]]:
    """Pickups that wait for the writer's answer."""
    found = []
    for room in scene.visit.rooms_of_club(scene.club.id):
        keeps = scene.visit.is_keeper(scene.person.id, room.id)
        for one in proposals(room, scene.now):
            mine = one.reservation.member == scene.person.id
            if one.by != scene.person.id and (mine or (keeps and one.by_buyer)):
                found.append((room, one.reservation))
    return found


def _answer_pickup(scene: Scene, room: Fishroom, one: Reservation, heard: Heard, *, agreed: bool) -> list[Reply]:
    scene.room_id = room.id
    kind = "pickup_agreed" if agreed else "pickup_refused"
    return record_items(scene, [Item(kind, {"reservation": str(one.number)})], heard)


def _wishes(scene: Scene) -> list[Wish]:
    """Wishes of the writer's for which fish are kept just now."""
    wishes = scene.visit.club(scene.club.id).wishes.values()
    return [wish for wish in wishes if wish.member == scene.person.id and asked_now(wish, scene.now)]


def _answer_wish(scene: Scene, wish: Wish, heard: Heard, *, taken: bool) -> list[Reply]:
    if wish.offer is None:
        return []
    room, batch, count, _ = wish.offer
    action = {"wish": wish.number, "answer": "take" if taken else "pass", "part": part_of_wish(wish, room, batch, count)}
    return answer_wish(scene, action, heard)
