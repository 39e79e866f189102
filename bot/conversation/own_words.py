"""Deeds that are the bot's own and no event of a fishroom: inviting, being forgotten, one's data, entering another fishroom."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any, cast

from bot.conversation.answering import helping_hand
from bot.conversation.answering_club import MY_WISHES, TO_CATCH, WHO_COMES, my_wishes, shelf, to_catch, who_comes
from bot.conversation.answering_own import WHEN_READY, when_ready
from bot.conversation.by_strain import answer_wish
from bot.conversation.entering import room_named
from bot.conversation.handing_over import calendar_of_all, papers
from bot.conversation.heard import Heard
from bot.conversation.message import Attachment, Reply
from bot.conversation.parting import ask_whether, forget
from bot.conversation.reaching import REACHING, reaching
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.conversation.taking_back import put_back_named
from bot.reading import Item
from bot.replies import papers as papers_words
from bot.replies import people as words
from bot.replies import refused, talk
from core.club import Refused
from core.club.export import everything_of
from core.club.joining import add_room, invite
from core.planning.waiting import waiting

Match = re.Match[str]
Action = Mapping[str, Any]
_INVITE = re.compile(
    r"^\s*invite\s+(?P<name>(?:(?!\sas\s)[\w .'-]){1,40}?)\s+as\s+(?:an?\s+)?(?P<roles>[a-z]+(?:\s*(?:,|\+|and)\s*[a-z]+)*?)\s*\.?\s*$", re.IGNORECASE
)
_FORGET = re.compile(r"^\s*forget me\s*[.!]?\s*$", re.IGNORECASE)
_DATA = re.compile(r"^\s*(?:(?:give|send|export)(?: me)?(?: all)? )?my (?:data|records?)\s*[.!?]?\s*$", re.IGNORECASE)
_USE = re.compile(r"^\s*(?:use|switch to|write to)\s+(?P<name>.{2,60}?)\s*\.?\s*$", re.IGNORECASE)
_PAGE = re.compile(r"^\s*(?:open |show )?(?:me )?(?:the |my )?(?:web ?)?page(?: link)?\s*[.!?]?\s*$", re.IGNORECASE)
_SHELF_FOR = re.compile(r"^\s*(?:make |set )?(?:the )?shelf (?:page )?(?:is )?(?P<whom>public|private)\s*[.!]?\s*$", re.IGNORECASE)
PAGE_LINK_FOR = timedelta(hours=1)
ROLES = ("organiser", "keeper", "buyer")


_PAPERS = re.compile(
    r"^\s*(?:(?:print|send|show|give|get)\s+)?(?:me\s+)?(?:the\s+|an?\s+)?(?:papers?|packing list|bag labels?|labels|calendar(?: file| entry)?|ics)"
    r"\s+(?:for|of)\s+(?:the\s+)?(?:pickup\s+(?:for|of)\s+)?(?:res(?:ervation)?\.?\s*)?#?\s*(?P<number>\d{1,9})\s*[.!?]?\s*$",
    re.IGNORECASE,
)
_SHELF = re.compile(
    r"^\s*(?:(?:show|send|give|get)\s+)?(?:me\s+)?(?:the\s+|our\s+|club'?s?\s+)*(?:shelf|stock list)"
    r"(?:\s+(?:(?:as|in)\s+)?(?:an?\s+)?(?:csv|table|spreadsheet|picture|chart))?\s*[.!?]?\s*$",
    re.IGNORECASE,
)
_CALENDAR = re.compile(
    r"^\s*(?:(?:show|send|give|get)\s+)?(?:me\s+)?(?:the\s+|my\s+|an?\s+)?(?:pickups?\s+)?(?:calendar(?: file)?|ics(?: file)?)\s*[.!?]?\s*$",
    re.IGNORECASE,
)
_HELP = re.compile(
    r"^\s*(?:/?help(?:\s+me)?(?:\s+(?:with|on|about))?(?:\s+(?:the|my))?\s+(?:me|please|more|pages?|labels?|orders?|reservations?|photos?|pictures?|charts?|"
    r"calendar|settings?|water|feeding|commands?|words|selling|shelf|start(?:ing)?|set(?:ting)? ?up|undo)"
    r"|(?:how|where) (?:do|can|should) (?:i|we) (?:start|begin)|getting started|first steps)\s*[.!?]*\s*$",
    re.IGNORECASE,
)
"""Only words that report nothing: "help, plum died" is a death."""
_REDO = re.compile(r"^\s*(?:redo|(?:put|bring) (?:it|that|them) back|restore (?:it|that))\s*[.!]?\s*$", re.IGNORECASE)
_NO_WISH = re.compile(
    r"^\s*(?:cancel|drop|remove|delete|withdraw|forget)\s+(?:my\s+|the\s+)?(?:wish|wanted(?: entry)?)(?:\s+(?:no\.?\s*|#)?(?P<number>\d{1,9}))?"
    r"\s*[.!]?\s*$|^\s*(?:(?:take|remove|drop) me )?(?:off|from) the (?:wanted |waiting |wish ?)?list\s*[.!]?\s*$",
    re.IGNORECASE,
)
_CONTACT = re.compile(r"^\s*my (?:contact|phone(?: number)?|number|address|e-?mail)(?:\s+is|\s*:|\s*=)\s*(?P<said>\S.{1,119}?)\s*$", re.IGNORECASE)


def own_words(scene: Scene, text: str) -> list[Reply] | None:
    """The replies if the text is one of these deeds; else None."""
    for form, deed in DEEDS:
        if found := form.match(text):
            return deed(scene, found)
    return None


def _invite(scene: Scene, found: Match) -> list[Reply] | None:
    return invited(scene, " ".join(found["name"].split()), found["roles"])


def invited(scene: Scene, name: str, said: str) -> list[Reply]:
    """An invitation for a name, in the roles that are said."""
    roles = [role for role in ROLES if role in said.lower().replace("organizer", "organiser")]
    if not roles:
        return [Reply(words.WHICH_ROLE)]
    code = invite(
        scene.visit, scene.person.id, scene.club.id, scene.room_id, cast(Any, roles), name, now=scene.now, today=scene.today
    )
    if isinstance(code, Refused):
        return [Reply(refused.sentence(code, scene.style, scene.room))]
    return [Reply(words.invitation(name, roles, code, scene.visit.links))]


def _forget(scene: Scene, found: object = None) -> list[Reply]:
    return ask_whether(scene)


def _data(scene: Scene, found: object = None) -> list[Reply]:
    file = everything_of(scene.visit, scene.person.id)
    return [Reply(words.YOUR_DATA, (), (Attachment("my-frywire-data.zip", "application/zip", file),))]


def _shelf_for(scene: Scene, found: Match) -> list[Reply]:
    """The organiser says whether strangers may see the shelf page."""
    setting = Item("setting", {"name": "shelf_public", "value": "yes" if found["whom"].lower() == "public" else "no"})
    return record_items(scene, [setting], Heard("", scene.local), again=True)


def _use(scene: Scene, found: Match) -> list[Reply] | None:
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


def _redo(scene: Scene, found: Match) -> list[Reply]:
    """What was taken back last in this chat counts again."""
    entries = scene.memory.get("taken_back")
    if not entries:
        return [Reply(talk.NOTHING_TO_PUT_BACK)]
    scene.remember(taken_back=None)
    return put_back_named(scene, entries)


def _no_wish(scene: Scene, found: Match) -> list[Reply] | None:
    """A wish of the writer's goes off the list: the only one, or the one of that number."""
    mine = [one for one in waiting(scene.visit.club(scene.club.id), scene.today) if one.member == scene.person.id]
    named = [one for one in mine if found["number"] in (None, str(one.number))]
    if len(named) != 1:
        return [Reply(talk.which_wish([one.number for one in mine]))]
    return answer_wish(scene, {"wish": named[0].number, "answer": "drop"}, Heard("", scene.local))


def _contact(scene: Scene, found: Match) -> list[Reply]:
    """How the other side of a reservation reaches the writer; "none" deletes it."""
    said = " ".join(found["said"].split())
    gone = said.lower() in ("none", "nothing", "deleted", "gone", "off")
    scene.person = replace(scene.person, contact=None if gone else said)
    scene.visit.tx.people.save(scene.person)
    return [Reply(papers_words.CONTACT_GONE if gone else papers_words.contact_kept(said))]


DEEDS: tuple[tuple[re.Pattern[str], Callable[[Scene, Match], list[Reply] | None]], ...] = (
    (_INVITE, _invite),
    (_FORGET, _forget),
    (_DATA, _data),
    (_PAGE, _page),
    (_SHELF_FOR, _shelf_for),
    (_USE, _use),
    (_PAPERS, papers),
    (_CALENDAR, calendar_of_all),
    (_HELP, lambda scene, found: helping_hand(scene, {})),
    (_REDO, _redo),
    (_NO_WISH, _no_wish),
    (_SHELF, shelf),
    (_CONTACT, _contact),
    (REACHING, reaching),
    (WHEN_READY, when_ready),
    (WHO_COMES, who_comes),
    (TO_CATCH, to_catch),
    (MY_WISHES, my_wishes),
)


READ: Mapping[str, Callable[[Scene, Mapping[str, Any]], list[Reply]]] = {
    "invited": lambda scene, slots: invited(scene, str(slots["member"]), str(slots["role"])),
    "forget_me": lambda scene, slots: _forget(scene),
    "my_data": lambda scene, slots: _data(scene),
}
"""The same deeds where the reader understood them from other words."""


def confirmed(scene: Scene, action: Action) -> list[Reply]:
    """A deed that was asked to be confirmed by a button."""
    match action["deed"]:
        case "forget":
            return forget(scene)
        case "add_room":
            add_room(scene.visit, scene.club.id, scene.person.id, scene.person.name)
    return []
