"""Somebody asks to be forgotten: whose promises that touches is said first; then they end, and everybody concerned is told."""

from __future__ import annotations

from collections.abc import Iterable

from bot.conversation.handing_over import in_calendar
from bot.conversation.message import Attachment, Reply
from bot.conversation.scene import Scene, style_of
from bot.conversation.sending import send
from bot.replies import notices
from bot.replies import people as words
from bot.replies.words import Style
from core.club.parting import Parting, parting
from core.club.recording import append_by_house
from core.fishroom.state import Fishroom, Reservation
from core.store.clubs import Club


def ask_whether(scene: Scene) -> list[Reply]:
    """Are they sure? With what would end."""
    found = parting(scene.visit, scene.person.id, scene.now, scene.today)
    button = scene.button("Yes, forget me", {"do": "own", "deed": "forget"})
    ended, given_up = ([one.number for _, one in some] for some in (found.ended, found.given_up))
    return [Reply(words.forget_sure(ended, given_up), ((button,),))]


def forget(scene: Scene) -> list[Reply]:
    """End what the person promised and was promised, forget them, and tell the others (without their name)."""
    found = parting(scene.visit, scene.person.id, scene.now, scene.today)
    others = {room.id: [one for one in scene.visit.keepers(room.id) if one != scene.person.id] for room in _rooms(found)}
    append_by_house(scene.visit, scene.person.id, found.proposals, scene.now)
    scene.visit.tx.leaving.forget(scene.person.id, scene.now)
    for room, one in found.ended:
        _tell(scene, one.member, f"{room.id}:{one.number}", notices.keeper_left(one, room, _style(scene, one.member)), (room, one))
    for room, one in found.given_up:
        for keeper in others[room.id]:
            _tell(scene, keeper, f"{room.id}:{one.number}", notices.buyer_left(one, room), (room, one))
    for room in found.handed_on:
        for keeper in others[room.id]:
            _tell(scene, keeper, room.id, notices.co_keeper_left(scene.visit.tx.clubs.room(room.id).name))
    for club, wish in found.unasked:
        _tell(scene, wish.member, f"wish:{club}:{wish.number}", notices.asked_no_more(wish.number))
    for room, absence in found.unsat:
        for keeper in others[room.id]:
            text = notices.sitter_left(absence.from_day, absence.to_day, _style(scene, keeper))
            _tell(scene, keeper, f"{room.id}:{absence.from_day}", text)
    scene.stirred |= {room.id for room, _ in found.given_up}
    return [Reply(words.FORGOTTEN)]


def _rooms(found: Parting) -> Iterable[Fishroom]:
    yield from (room for room, _ in (*found.ended, *found.given_up))
    yield from found.handed_on
    yield from (room for room, _ in found.unsat)


def _tell(scene: Scene, person: str, what: str, text: str, about: tuple[Fishroom, Reservation] | None = None) -> None:
    """A notice in the name of the club; a pickup that was agreed is called off in the person's calendar too."""
    club = _club_of(scene, person)
    files: tuple[Attachment, ...] = ()
    if about is not None and about[1].pickup is not None and about[1].status == "confirmed":
        room = scene.visit.room(about[0].id)
        files = in_calendar(
            scene.visit, club, room, room.reservations[about[1].number], person, scene.now, _style(scene, person)
        )
    send(scene.visit, club, person, f"left:{scene.person.id}:{what}:{person}", "notice", Reply(text, (), files), scene.now)


def _club_of(scene: Scene, person: str) -> Club:
    """A club of the person's, that of the conversation first."""
    clubs = scene.visit.clubs_of(person)
    return next((club for club in clubs if club.id == scene.club.id), clubs[0] if clubs else scene.club)


def _style(scene: Scene, person: str) -> Style:
    return style_of(scene.visit, _club_of(scene, person), scene.today, scene.visit.person(person))
