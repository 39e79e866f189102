"""Deeds that are the bot's own and no event of a fishroom: inviting, being forgotten, one's data, entering another fishroom."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import timedelta
from typing import Any, cast

from bot.conversation.arriving import add_room, invite
from bot.conversation.message import Attachment, Reply
from bot.conversation.scene import Scene
from bot.replies import people as words
from bot.replies import refused, talk
from core.club import Refused
from core.club.permissions import Area, may

Match = re.Match[str]
Action = Mapping[str, Any]
_INVITE = re.compile(
    r"^\s*invite\s+(?P<name>[\w .'-]{1,40}?)\s+as\s+(?:an?\s+)?(?P<roles>[a-z+, and]+?)\s*\.?\s*$", re.IGNORECASE
)
_FORGET = re.compile(r"^\s*forget me\s*[.!]?\s*$", re.IGNORECASE)
_DATA = re.compile(r"^\s*(?:give|send|export)(?: me)?(?: all)? my (?:data|records?)\s*[.!?]?\s*$", re.IGNORECASE)
_USE = re.compile(r"^\s*(?:use|switch to|write to)\s+(?P<name>.{2,60}?)\s*\.?\s*$", re.IGNORECASE)
_PAGE = re.compile(r"^\s*(?:open |show )?(?:me )?(?:the |my )?(?:web ?)?page(?: link)?\s*[.!?]?\s*$", re.IGNORECASE)
PAGE_LINK_FOR = timedelta(hours=1)
ROLES = ("organiser", "keeper", "buyer")


def own_words(scene: Scene, text: str) -> list[Reply] | None:
    """The replies if the text is one of these deeds; else None."""
    for form, deed in DEEDS:
        if found := form.match(text):
            return deed(scene, found)
    return None


def _invite(scene: Scene, found: Match) -> list[Reply] | None:
    roles = [role for role in ROLES if role in found["roles"].lower().replace("organizer", "organiser")]
    if not roles:
        return [Reply(words.WHICH_ROLE)]
    standings = scene.visit.standings(scene.person.id, scene.club.id, scene.room_id, scene.today)
    if not may(standings, Area.INVITING) or ("organiser" in roles and not may(standings, Area.CLUB)):
        return [Reply(refused.sentence(Refused("not_allowed", area=Area.INVITING), scene.style, scene.room))]
    name = " ".join(found["name"].split())
    code = invite(scene.visit, scene.person.id, scene.club.id, scene.now, cast(Any, roles), name)
    return [Reply(words.invitation(name, roles, code, scene.visit.links))]


def _forget(scene: Scene, found: Match) -> list[Reply]:
    button = scene.button("Yes, forget me", {"do": "own", "deed": "forget"})
    return [Reply(words.FORGET_SURE, ((button,),))]


def _data(scene: Scene, found: Match) -> list[Reply]:
    from core.club.export import everything_of

    file = everything_of(scene.visit, scene.person.id)
    return [Reply(words.YOUR_DATA, (), (Attachment("my-frywire-data.zip", "application/zip", file),))]


def _use(scene: Scene, found: Match) -> list[Reply] | None:
    from bot.conversation.hearing import room_named

    wanted = found["name"].strip().lower()
    for club, _ in scene.visit.tx.clubs.of(scene.person.id):
        if club.name.lower() == wanted:
            scene.visit.tx.people.address(scene.person.id, club.id, None)
            return [Reply(words.entered(club.name))]
    room = room_named(scene, wanted)
    if room is None:
        return None
    if not scene.visit.is_keeper(scene.person.id, room):
        return [Reply(talk.KEEPERS_ONLY)]
    scene.visit.tx.people.address(scene.person.id, scene.club.id, room)
    return [Reply(words.entered(scene.visit.tx.clubs.room(room).name))]


def _page(scene: Scene, found: Match) -> list[Reply]:
    """A link that signs the writer in on the page; never where others read along."""
    address = scene.visit.links.get(words.ON_THE_PAGE)
    if address is None:
        return [Reply(words.NO_PAGE)]
    if scene.origin.group:
        return [Reply(words.PAGE_IN_PRIVATE)]
    code = scene.visit.tx.sessions.link(scene.person.id, scene.now + PAGE_LINK_FOR)
    return [Reply(words.page_link(address + code))]


DEEDS: tuple[tuple[re.Pattern[str], Callable[[Scene, Match], list[Reply] | None]], ...] = (
    (_INVITE, _invite),
    (_FORGET, _forget),
    (_DATA, _data),
    (_PAGE, _page),
    (_USE, _use),
)


def confirmed(scene: Scene, action: Action) -> list[Reply]:
    """A deed that was asked to be confirmed by a button."""
    match action["deed"]:
        case "forget":
            scene.visit.tx.leaving.forget(scene.person.id, scene.now)
            return [Reply(words.FORGOTTEN)]
        case "add_room":
            add_room(scene.visit, scene.club.id, scene.person.id, scene.person.name)
    return []
