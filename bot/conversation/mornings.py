"""Each member's morning digest, the list of what is due, and open questions that are let go aloud.

Everything here only puts rows into the deliveries, under keys that say what and for which day; asking twice changes nothing.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

from bot.conversation.message import Button, Reply
from bot.conversation.scene import Scene, style_of
from bot.conversation.sending import door_of, send
from bot.conversation.setting_aside import way_to
from bot.conversation.short_promises import open_shortfalls
from bot.mornings import MORNING, latest_morning, next_morning
from bot.replies import digest as words
from bot.replies import mornings as lines
from bot.replies import talk
from bot.replies.words import Style
from core.club import Visit
from core.fishroom.state import Fishroom
from core.planning.care import CareTask, due_tasks, tasks_between
from core.planning.tasks import told_in_full
from core.store.clubs import Club
from core.store.drafts import Draft
from core.store.people import Person
from core.store.trouble import StoreTrouble, Unreadable

log = logging.getLogger(__name__)
LATE = timedelta(hours=20)
"""A digest later than this is not sent any more: the next morning is near."""
AHEAD = timedelta(days=3)
"""No morning is further away than this (a zone may leave out a day): what says so was reckoned while the clock was wrong."""
BATCH = 200
"""Members looked after in one transaction."""


def some_mornings(visit: Visit, now: datetime) -> int:
    """Put the digests of some of those whose morning has come into the deliveries; how many they were."""
    visit.tx.mornings.bring_back(now + AHEAD, now)
    due: list[tuple[str, datetime]] = visit.tx.mornings.due(now, BATCH)
    for person_id, _ in due:
        person = visit.person(person_id)
        clubs = visit.clubs_of(person_id)
        if not clubs:
            visit.tx.mornings.clear(person_id)
            continue
        club = clubs[0]
        zone, at = ZoneInfo(person.zone or club.zone), person.digest_time or MORNING
        owed = latest_morning(zone, at, now)
        visit.tx.mornings.set(person_id, next_morning(zone, at, now))
        if now - owed <= LATE:
            where = door_of(visit, person_id)
            reply = _unless_it_fails(visit, person_id, now, where.door if where else "", where.chat if where else "")
            if reply is not None:
                day = owed.astimezone(zone).date()
                send(visit, club, person_id, f"digest:{person_id}:{day}", "digest", reply, now)
    return len(due)


def _unless_it_fails(visit: Visit, person_id: str, now: datetime, door: str, chat: str) -> Reply | None:
    """The digest; none where something of it fails: the others' mornings must not wait for that."""
    try:
        return digest_now(visit, person_id, now, door, chat, unasked=True)
    except StoreTrouble as trouble:
        if not isinstance(trouble, Unreadable):
            raise
        log.error("There is no digest for %s: %s", person_id, trouble)
    except Exception as error:
        log.error("There is no digest for %s: %s", person_id, way_to(error))
    return None


def digest_now(
    visit: Visit, person_id: str, now: datetime, door: str = "", chat: str = "", *, unasked: bool = False
) -> Reply | None:
    """The digest as it stands now: what the person's fishrooms (or those they look after) need; None when there is nothing.

    `unasked`, also None on a morning that would only name again what is still open: the same words every day are not read.
    """
    person = visit.person(person_id)
    clubs = visit.clubs_of(person_id)
    if not clubs:
        return None
    today = now.astimezone(ZoneInfo(person.zone or clubs[0].zone)).date()
    style = style_of(visit, clubs[0], today, person)
    if not door and (where := door_of(visit, person_id)):
        door, chat = where.door, where.chat
    parts: list[str] = []
    tasks: list[CareTask] = []
    ways: list[tuple[Button, ...]] = []
    told = 0
    buttons: list[tuple[Button, ...]] = []
    for club, room in rooms_of(visit, person_id):
        text, found = _room_digest(visit, club.id, room, person, today, style, len(tasks))
        short, choices = open_shortfalls(visit, club, room, person_id, now, unasked=unasked)
        said = [*([text] if text else []), *short]
        if said and visit.several_rooms(person_id) and visit.is_keeper(person_id, room.id):
            said[0] = f"{talk.in_room(visit.tx.clubs.room(room.id).name)}\n{said[0]}"
        parts += said
        told += bool(text)
        buttons += _task_buttons(visit, club, person_id, found, len(tasks), now) if door else ()
        tasks += found
        ways += choices
    parts += _open_questions(visit, person_id, now + RECALLED if unasked else now)
    parts += _uncertain(visit, person_id, now)
    if not parts or (unasked and len(parts) == told and not any(told_in_full(task, today) for task in tasks)):
        return None
    if door:
        visit.tx.memory.change(
            person_id,
            door,
            chat,
            tasks=[task.key for task in tasks],
            **_spoken_of(visit, tasks, now),
        )
    return Reply("\n\n".join(parts), (*buttons[:MOST_BUTTONS], *ways) if door else ())


def _spoken_of(visit: Visit, tasks: Iterable[CareTask], now: datetime) -> dict[str, object]:
    """A digest that speaks of one female only makes her the one that "her" means."""
    named = {(task.room, task.fish) for task in tasks if task.fish is not None}
    if len(named) != 1:
        return {}
    room, fish = named.pop()
    found = visit.room(room).fish.get(fish or "")
    return {"spoken": {found.sex: found.label}, "spoken_at": now.isoformat()} if found is not None else {}


def rooms_of(visit: Visit, person: str) -> list[tuple[Club, Fishroom]]:
    """The fishrooms that the person keeps, and those they look after now or soon, each once, with a club that shows it."""
    found: dict[str, Club] = {}
    mine = visit.rooms_kept_by(person)
    for club in visit.clubs_of(person):
        shown = visit.roster(club.id).rooms
        sat = [room.id for room in visit.overview(club.id).sat_by(person)]
        for room in (*(one for one in mine if one in shown), *sat):
            found.setdefault(room, club)
    own = [room for room in found if room in mine]
    return [(found[room], visit.room(room)) for room in (*own, *(one for one in found if one not in mine))]


def _room_digest(
    visit: Visit, club: str, room: Fishroom, person: Person, today: date, style: Style, already: int
) -> tuple[str | None, list[CareTask]]:
    keeps = visit.is_keeper(person.id, room.id)
    absence = next((one for one in room.absences if one.from_day <= today <= one.to_day), None)
    if keeps and not (absence and absence.sitter and visit.person(absence.sitter).forgotten is None):
        tasks = due_tasks(room, today)
        return words.digest(room, tasks, style, first=already + 1, names=visit.names(club)), list(tasks)
    if absence and absence.sitter == person.id:
        tasks = due_tasks(room, today, for_sitter=True)
        back = absence.to_day + timedelta(days=1)
        return words.sitter_digest(room, tasks, style, visit.keeper_name(room.id), first=already + 1, back=back), list(tasks)
    return None, []


def _open_questions(visit: Visit, person: str, open_after: datetime) -> list[str]:
    """The messages that still wait for an answer, and will after that moment."""
    waiting = (draft for draft in visit.tx.drafts.open_of(person) if something_waits(draft) and draft.expires > open_after)
    texts = dict.fromkeys(draft.text for draft in waiting)
    return [lines.open_questions(list(texts))] if texts else []


RECALLED = timedelta(hours=24)
"""A question that is let go sooner than this is not recalled any more: a digest says it once, and then it is let go aloud."""


def something_waits(draft: Draft) -> bool:
    """Whether an open question holds up a record; what was only asked of the book is no loss."""
    return bool(draft.draft.get("items") or draft.draft.get("reader", {}).get("events"))


def _uncertain(visit: Visit, person: str, now: datetime) -> list[str]:
    found = visit.tx.deliveries.uncertain_of(person)
    for one in found:
        visit.tx.deliveries.settle(one.id, now)
    return [lines.uncertain(len(found))] if found else []


MOST_BUTTONS = 6
"""Tasks that have buttons; all can be said in words by their numbers."""


def _task_buttons(
    visit: Visit, club: Club, person: str, tasks: Iterable[CareTask], before: int, now: datetime
) -> tuple[tuple[Button, ...], ...]:
    """ "done" and "later" for the first few tasks of a list in which so many stand `before` them."""
    rows = []
    for number, task in enumerate(islice(tasks, max(0, MOST_BUTTONS - before)), start=before + 1):
        expires = now + timedelta(days=2)
        row = []
        for label, kind in ((f"{number} done", "task_done"), (f"{number} later", "task_later")):
            action = {"do": "task", "kind": kind, "task": task.key, "room": task.room}
            row.append(Button(label, visit.tx.buttons.make(person, club.id, action, expires)))
        rows.append(tuple(row))
    return tuple(rows)


def let_go(visit: Visit, now: datetime) -> None:
    """Open questions whose time is over are let go aloud, those of one member in one message."""
    over: dict[str, list[Draft]] = {}
    for draft in visit.tx.drafts.expired(now):
        visit.tx.drafts.close(draft.id, "expired")
        if something_waits(draft):
            over.setdefault(draft.person, []).append(draft)
    for person, drafts in over.items():
        clubs = visit.clubs_of(person)
        if clubs:
            text = lines.let_go(list(dict.fromkeys(draft.text for draft in drafts)))
            send(visit, clubs[0], person, f"draft:{drafts[0].id}", "notice", Reply(text), now)


def due_list(scene: Scene, span: str) -> list[Reply]:
    """The answer to "what's due": today's digest, or what is to be done tomorrow or in the week, day by day."""
    if span == "today" or scene.room is None:
        reply = digest_now(scene.visit, scene.person.id, scene.now, scene.origin.door, scene.origin.chat)
        empty = scene.is_keeper and scene.room is not None and not scene.room.fish and not scene.room.batches
        return [reply or Reply(lines.empty_book(scene.style.units == "us") if empty else lines.NOTHING_DUE)]
    first = scene.today + timedelta(days=1) if span == "tomorrow" else scene.today
    last = first if span == "tomorrow" else scene.today + timedelta(days=6)
    tasks = words.by_day(tasks_between(scene.room, scene.today, first, last), scene.today)
    text = words.agenda(scene.room, tasks, scene.style, names=scene.members)
    scene.remember(tasks=[task.key for task in tasks])
    return [Reply(text or lines.NOTHING_DUE)]
