"""A short yes or no to something that waits for the member's word: a pickup the other side proposed, a reservation, fish for a wish."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from bot.conversation.by_strain import answer_wish
from bot.conversation.fetching_day import day_answer
from bot.conversation.heard import Heard
from bot.conversation.message import Button, Reply
from bot.conversation.ordering import part_of_wish
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import yes_or_no as words
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
_CONFIRM, _DECLINE = re.compile(r"(?:i )?confirm(?:ed)?|approved?"), re.compile(r"(?:i )?decline[d]?|reject(?:ed)?|turn(?:ed)? down")


_ALL = re.compile(r"(?:please )?(?:confirm|accept|approve|yes to|ok to|yes)(?: them)? (?:all|both|everything|everybody|everyone)(?: of them)?")
LATE_YES = timedelta(days=14)
"""So long a yes that comes too late is still tried."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A bare yes or no, with the reservation's number or the member that it names; `plain`: said by what it does ("decline")."""

    yes: bool
    number: int | None = None
    member: str | None = None
    plain: bool = False


@dataclass(frozen=True, slots=True)
class Waiting:
    """A reservation that waits for the writer's word: on a pickup, or on whether it can be."""

    room: Fishroom
    one: Reservation
    about: Literal["pickup", "reservation"]

    def item(self, *, yes: bool) -> Item:
        """What a yes or a no to it records."""
        kinds = ("pickup_agreed", "pickup_refused") if self.about == "pickup" else ("confirmed", "declined")
        return Item(kinds[not yes], {"reservation": str(self.one.number)})


def short_answer(scene: Scene, heard: Heard) -> list[Reply] | None:
    """What a bare yes or no answers; where several things are open, which is meant; else a bare day. None: none of these."""
    if _ALL.fullmatch(heard.text.strip(" .!").lower()) and (waiting := [one for one in waiting_for(scene) if one.about == "reservation"]):
        return record_items(scene, [one.item(yes=True) for one in waiting], heard)
    said = bare_answer(heard.text, scene.members)
    if said is None:
        return day_answer(scene, heard)
    asked = [one for one in waiting_for(scene) if said.number in (None, one.one.number) and said.member in (None, one.one.member)]
    if said.plain:
        asked = [one for one in asked if one.about == "reservation"]
    named = said.number is not None or said.member is not None or said.plain
    wishes = [] if named else _wishes(scene) or (_late_wishes(scene) if said.yes and not asked else [])
    match asked, wishes:
        case [], []:
            return [Reply(words.nothing_waits(said.number))] if named and _knows(scene, said) else None
        case [one], []:
            return _answer(scene, one, said, heard)
        case [], [wish]:
            return _answer_wish(scene, wish, heard, taken=said.yes)
    return [_which(scene, asked, wishes, yes=said.yes)]


def bare_answer(text: str, members: Mapping[str, str] | None = None) -> Answer | None:
    """The text as nothing but a yes or a no, to a number or a member where one is named; else None."""
    said = text.lower().replace("’", "'")
    named = _NUMBER.search(said.rstrip(" .!"))
    said = _POLITE.sub("", _NUMBER.sub("", said.rstrip(" .!")))
    said = " ".join(re.sub(r"[,.!]", " ", said).split())
    number = int(named[1]) if named and len(named[1]) < 10 else None
    member, said = _member(said, members or {})
    for yes, forms in ((True, (_YES, _CONFIRM)), (False, (_NO, _DECLINE))):
        if any(form.fullmatch(said) for form in forms):
            return Answer(yes, number, member, plain=forms[1].fullmatch(said) is not None)
    return None


def _member(said: str, members: Mapping[str, str]) -> tuple[str | None, str]:
    """The member named at the end, and the text without the name."""
    for person, name in members.items():
        if said.endswith(f" {name.lower()}"):
            return person, re.sub(r" (?:to|for|from|with)$", "", said.removesuffix(f" {name.lower()}"))
    return None, said


def waiting_for(scene: Scene) -> list[Waiting]:
    """What waits for the writer's word, by number: pickups proposed to them, reservations in their fishrooms to be confirmed."""
    found: dict[int, Waiting] = {}
    for room in scene.visit.rooms_of_club(scene.club.id):
        keeps = scene.visit.is_keeper(scene.person.id, room.id)
        for one in room.reservations.values() if keeps else ():
            if one.status == "unconfirmed" and one.open_at(scene.now):
                found[one.number] = Waiting(room, one, "reservation")
        for proposal in proposals(room, scene.now):
            mine = proposal.reservation.member == scene.person.id
            if proposal.by != scene.person.id and (mine or (keeps and proposal.by_buyer)):
                found[proposal.reservation.number] = Waiting(room, proposal.reservation, "pickup")
    return [found[number] for number in sorted(found)]


def _answer(scene: Scene, asked: Waiting, said: Answer, heard: Heard) -> list[Reply]:
    """A stray "no" declines nobody's reservation: that is said by its number, or with a button."""
    scene.room_id = asked.room.id
    stray = not said.yes and asked.about == "reservation" and said.number is None and said.member is None and not said.plain
    return [_which(scene, [asked], [], yes=False)] if stray else record_items(scene, [asked.item(yes=said.yes)], heard)


def _which(scene: Scene, asked: Sequence[Waiting], wishes: Sequence[Wish], *, yes: bool) -> Reply:
    """Several things are open: which is meant? Each as a button."""
    lines = [words.waits(one.one, one.about, scene.members.get(one.one.member, ""), scene.style) for one in asked]
    rows = [(_button(scene, one, yes=yes),) for one in asked]
    for wish in wishes:
        if wish.offer is not None:
            room, batch, count, _ = wish.offer
            lines.append(words.wish_waits(wish.number, count))
            part = part_of_wish(wish, room, batch, count)
            action = {"do": "wish", "answer": "take" if yes else "pass", "wish": wish.number, "part": part}
            rows.append((scene.button(words.to_wish(wish.number, yes=yes), action),))
    return Reply(words.which(lines, yes=yes), tuple(rows))


def _button(scene: Scene, asked: Waiting, *, yes: bool) -> Button:
    item = asked.item(yes=yes)
    action = {"do": "record", "items": [{"kind": item.kind, "slots": dict(item.slots)}], "room": asked.room.id}
    return scene.button(words.to_reservation(asked.one.number, yes=yes), action)


def _wishes(scene: Scene) -> list[Wish]:
    """Wishes of the writer's for which fish are kept just now."""
    wishes = scene.visit.club(scene.club.id).wishes.values()
    return [wish for wish in wishes if wish.member == scene.person.id and asked_now(wish, scene.now)]


def _late_wishes(scene: Scene) -> list[Wish]:
    """Wishes of the writer's that were asked about of late and got no answer in time: the fish may still be there."""
    wishes = scene.visit.club(scene.club.id).wishes.values()
    return [
        wish
        for wish in wishes
        if wish.member == scene.person.id and wish.status == "offered" and wish.offer and scene.now < wish.offer[3] + LATE_YES
    ]


def _knows(scene: Scene, said: Answer) -> bool:
    """Whether the number is of a reservation of theirs; a member's name always is one."""
    return said.number is None or str(said.number) in scene.names().reservations


def _answer_wish(scene: Scene, wish: Wish, heard: Heard, *, taken: bool) -> list[Reply]:
    if wish.offer is None:
        return []
    room, batch, count, _ = wish.offer
    action = {"wish": wish.number, "answer": "take" if taken else "pass", "part": part_of_wish(wish, room, batch, count)}
    return answer_wish(scene, action, heard)
