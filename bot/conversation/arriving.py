"""Somebody opens the conversation: with an invitation, at a place whose label was scanned, or just so; and how a club begins."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.conversation.currencies import usual_currency
from bot.conversation.message import Reply
from bot.mornings import MORNING, next_morning
from bot.replies import arrivals, talk
from core.club import Visit
from core.club.joining import add_room, free_name
from core.store.clubs import Club
from core.store.invitations import (
    ExpiredInvitation,
    Invitation,
    TooManyGuesses,
    UsedInvitation,
)
from core.store.people import Person
from core.units import DateOrder, Units


@dataclass(frozen=True, slots=True)
class Beginner:
    """Somebody a club begins with: name, roles, and whose fishroom they keep if not their own."""

    name: str
    roles: tuple[str, ...]
    keeps: str | None = None


def start_club(
    visit: Visit,
    now: datetime,
    name: str,
    *,
    zone: str = "UTC",
    units: Units = "metric",
    date_order: DateOrder = "DMY",
    people: Iterable[Beginner] = (),
) -> tuple[Club, dict[str, Person]]:
    """A new club with its first people; each keeper has a fishroom of their own unless they keep another's."""
    money = {"currency": usual_currency(zone, units)}
    club = visit.tx.clubs.add(name, zone=zone, units=units, date_order=date_order, prefs=money)
    known: dict[str, Person] = {}
    rooms: dict[str, str] = {}
    for one in people:
        person = known[one.name] = visit.tx.people.add(one.name, now)
        visit.tx.clubs.join(club.id, person.id, [role for role in one.roles if role], now)
        if "keeper" in one.roles and one.keeps is None:
            rooms[one.name] = add_room(visit, club.id, person.id, one.name)
        elif one.keeps in rooms:
            visit.tx.clubs.add_keeper(rooms[one.keeps], person.id)
        plan_morning(visit, person, club, now)
    return club, known


def plan_morning(visit: Visit, person: Person, club: Club, now: datetime) -> None:
    """When the person's next digest is due."""
    zone = ZoneInfo(person.zone or club.zone)
    visit.tx.mornings.set(person.id, next_morning(zone, person.digest_time or MORNING, now))


def arrive(
    visit: Visit, now: datetime, door: str, external: str, chat: str, shown_name: str, payload: str, group: bool
) -> list[Reply]:
    """The replies to somebody who opens the conversation."""
    person = visit.tx.people.by_identity(door, external)
    if group:
        _meet(visit, person, door, chat)
        return [Reply(arrivals.GROUP)]
    if payload.startswith("at_"):
        return _at_place(visit, now, person, door, chat, payload)
    if payload:
        return _invited(visit, now, person, door, external, chat, shown_name, payload)
    if person is None:
        return [Reply(talk.NOT_A_MEMBER)]
    visit.tx.people.identify(door, external, person.id, chat)
    return [Reply(arrivals.again(person.name))]


def _meet(visit: Visit, person: Person | None, door: str, chat: str) -> None:
    """The chat becomes the group of the club that whoever called the bot in organises."""
    organised = [club.id for club, roles in visit.tx.clubs.of(person.id) if "organiser" in roles] if person else []
    if organised and visit.tx.clubs.of_group(door, chat) is None:
        visit.tx.clubs.set_group(door, chat, organised[0])


def _invited(
    visit: Visit, now: datetime, person: Person | None, door: str, external: str, chat: str, shown: str, payload: str
) -> list[Reply]:
    match visit.tx.invitations.open(payload, f"{door}:{external}", now):
        case Invitation() as invitation:
            return [_welcome(visit, now, invitation, person, door, external, chat, shown)]
        case UsedInvitation(_, by) if person is not None and by == person.id:
            return [Reply(arrivals.again(person.name))]
        case UsedInvitation():
            return [Reply(arrivals.USED)]
        case ExpiredInvitation():
            return [Reply(arrivals.EXPIRED)]
        case TooManyGuesses():
            return [Reply(arrivals.TOO_MANY)]
        case _:
            return [Reply(arrivals.UNKNOWN)]


def _welcome(
    visit: Visit, now: datetime, invitation: Invitation, person: Person | None, door: str, external: str, chat: str, shown: str
) -> Reply:
    club = visit.tx.clubs.get(invitation.club)
    name = free_name(visit, club.id, invitation.name or shown or "Member")
    if person is None:
        known = visit.member_named(club.id, invitation.name) if invitation.name else None
        waiting = known is not None and not visit.tx.people.identities(known)
        person = visit.person(known) if known is not None and waiting else visit.tx.people.add(name, now)
    visit.tx.invitations.use(invitation, person.id, now)
    visit.tx.people.identify(door, external, person.id, chat)
    visit.tx.clubs.join(club.id, person.id, invitation.roles, now)
    if "keeper" in invitation.roles:
        if invitation.room is not None:
            visit.tx.clubs.add_keeper(invitation.room, person.id)
        elif visit.room_of(person.id, club.id) is None:
            add_room(visit, club.id, person.id, person.name)
    plan_morning(visit, person, club, now)
    return Reply(arrivals.welcome(person.name, club.name, invitation.roles, us=club.units == "us"))


def _at_place(visit: Visit, now: datetime, person: Person | None, door: str, chat: str, payload: str) -> list[Reply]:
    """A label was scanned: the keeper's next short messages are about that place."""
    if person is None:
        return [Reply(talk.NOT_A_MEMBER)]
    found = place_of(visit, person.id, payload)
    if found is None:
        return [Reply(arrivals.NO_SUCH_PLACE)]
    room, place = found
    visit.tx.memory.change(person.id, door, chat, here=place, here_at=now.isoformat())
    visit.tx.people.address(person.id, visit.tx.clubs.clubs_of_room(room)[0], room)
    return [Reply(arrivals.at_place(place))]


def place_of(visit: Visit, person: str, payload: str) -> tuple[str, str] | None:
    """The fishroom and place of a label, for somebody who keeps that fishroom."""
    _, _, rest = payload.partition("at_")
    room, _, number = rest.rpartition("_")
    if not number.isdigit() or visit.tx.clubs.room(room) is None or not visit.is_keeper(person, room):
        return None
    places = list(visit.room(room).places)
    return (room, places[int(number)]) if int(number) < len(places) else None
