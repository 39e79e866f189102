"""The order book by itself: the waiting list is asked in turn, pickups are recalled the evening before, lapsed holds are told."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot.conversation.handing_over import contact, keepers_papers
from bot.conversation.message import Button, Reply, drawn
from bot.conversation.plain import to_plain
from bot.conversation.scene import style_of
from bot.conversation.sending import send
from bot.mornings import day_of_hour
from bot.replies import orders, reminders, selling
from bot.replies.words import Style
from core.club import Proposal, Visit
from core.club.recording import append_by_house
from core.events import WishOffered
from core.fishroom.choices import level_of
from core.fishroom.state import Fishroom, Reservation, Wish
from core.planning.promises import Now
from core.planning.shelf import shelf_rows
from core.planning.waiting import NextOffer, next_offers, waiting
from core.store.clubs import Club

EVENING = time(18)
LATE = timedelta(hours=5)
"""What is said at an hour of the club's day is said so much later at most."""
TOLD_LAPSED = timedelta(days=2)
"""A hold that lapsed longer ago is no news."""


def evening_reminders(visit: Visit, now: datetime) -> None:
    """Tell buyers (and keepers) the evening before what is fetched, where, and what to bring."""
    for club in visit.tx.clubs.all():
        today = day_of_hour(ZoneInfo(club.zone), EVENING, now, LATE)
        if today is None:
            continue
        for room in visit.overview(club.id).promising():
            tomorrow = [
                one
                for one in room.reservations.values()
                if one.open_at(now) and one.left and one.pickup == today + timedelta(days=1)
            ]
            tomorrow.sort(key=lambda one: (one.at or time.max, one.number))
            for one in tomorrow:
                _remind_buyer(visit, club, room, one, today, now)
            for keeper in visit.keepers(room.id) if tomorrow else ():
                _remind_keeper(visit, club, room, keeper, tomorrow, today, now)


def _pickup_key(room: Fishroom, one: Reservation) -> str:
    return f"pickup:{room.id}:{one.number}:{one.pickup}:{one.at or ''}"


def _remind_buyer(visit: Visit, club: Club, room: Fishroom, one: Reservation, today: date, now: datetime) -> None:
    """What to fetch where, and what to bring."""
    style = style_of(visit, club, today, visit.person(one.member))
    text = reminders.pickup_tomorrow(one, room, visit.keeper_name(room.id), contact(visit, room, one, one.member), style)
    send(visit, club, one.member, _pickup_key(room, one), "notice", Reply(text), now)


def _remind_keeper(
    visit: Visit, club: Club, room: Fishroom, keeper: str, tomorrow: Sequence[Reservation], today: date, now: datetime
) -> None:
    """Who fetches what, in one message with all the papers; of a pickup that is agreed later the same evening in one of its own."""
    kept = f"handing over:{room.id}:{keeper}"
    told = visit.tx.kept.get(kept) or []
    untold = [one for one in tomorrow if one.member != keeper and _pickup_key(room, one) not in told]
    if not untold:
        return
    visit.tx.kept.set(kept, [_pickup_key(room, one) for one in tomorrow])
    style = style_of(visit, club, today, visit.person(keeper))
    found = [(one, visit.person(one.member).name, contact(visit, room, one, keeper)) for one in untold]
    sheets = tuple(sheet for one in untold for sheet in keepers_papers(visit, club, room, one, today, style))
    reply = drawn([Reply(reminders.handing_over_tomorrow(found, room, style), drawings=sheets)])[0]
    send(visit, club, keeper, f"{_pickup_key(room, untold[0])}:{keeper}", "notice", reply, now)


POST_DAY, POST_AT = 6, time(10)
"""The weekly shelf goes to the club's group on Sunday at ten."""


def weekly_posts(visit: Visit, now: datetime) -> None:
    """Post what the club has to its groups, once a week."""
    for club in visit.tx.clubs.all():
        today = day_of_hour(ZoneInfo(club.zone), POST_AT, now, LATE)
        if today is None or today.weekday() != POST_DAY:
            continue
        for door, chat in visit.tx.clubs.groups(club.id):
            visit.tx.deliveries.put(
                f"shelf:{club.id}:{door}:{chat}:{today}",
                door=door,
                chat=chat,
                kind="post",
                payload=to_plain(Reply(shelf_post(visit, club, now, today))),
                due_at=now,
                now=now,
            )


def shelf_post(visit: Visit, club: Club, now: datetime, today: date) -> str:
    """The shelf in words: what is there, what comes, who looks for what."""
    state = visit.club(club.id)
    rooms = visit.rooms_of_club(club.id)
    rows = [row for room in rooms for row in shelf_rows(room, Now(today, now, level_of(state)))]
    strains = {key: strain.name for key, strain in visit.strains_of_club(club.id).items()}
    keepers = {room.id: visit.keeper_name(room.id) for room in rooms}
    style = style_of(visit, club, today)
    wanted = [orders.wish(one, style, strains.get(one.strain, one.strain)) for one in waiting(state, today)]
    return selling.weekly_post(rows, style, strains, keepers, wanted)


def offer_to_waiting(visit: Visit, now: datetime, only: Collection[str] | None = None) -> None:
    """Ask whoever is next on each waiting list; each is asked in their turn, and has the club's time to answer.

    `only`: the fishrooms to look at, where nothing has changed in the others.
    """
    for club in visit.tx.clubs.all():
        today = now.astimezone(ZoneInfo(club.zone)).date()
        state = visit.club(club.id)
        if not waiting(state, today):
            continue
        rooms = {room.id: room for room in visit.rooms_of_club(club.id) if only is None or room.id in only}
        keepers = {key: visit.keepers(key) for key in rooms}
        for offer in next_offers(state, rooms, Now(today, now, level_of(state)), keepers):
            _ask(visit, club, rooms[offer.room], offer, now, today)


def _ask(visit: Visit, club: Club, room: Fishroom, offer: NextOffer, now: datetime, today: date) -> None:
    wish = offer.wish
    event = WishOffered(wish.number, offer.room, offer.batch, offer.count, offer.until)
    (entry,) = append_by_house(visit, wish.member, [Proposal(f"club:{club.id}", event, today)], now)
    person = visit.person(wish.member)
    style = style_of(visit, club, today, person)
    local = offer.until.astimezone(ZoneInfo(person.zone or club.zone))
    text = orders.offer_to_wish(
        offer, style, room, visit.keeper_name(room.id), f"{style.day(local.date())} {style.clock(local.time())}"
    )
    part = part_of_wish(wish, room.id, offer.batch, offer.count)
    made = visit.tx.buttons.make
    expires = offer.until
    row = (
        Button(
            "Yes, please",
            made(wish.member, club.id, {"do": "wish", "answer": "take", "wish": wish.number, "part": part}, expires),
        ),
        Button("Not these", made(wish.member, club.id, {"do": "wish", "answer": "pass", "wish": wish.number}, expires)),
        Button("Off the list", made(wish.member, club.id, {"do": "wish", "answer": "drop", "wish": wish.number}, expires)),
    )
    send(
        visit,
        club,
        wish.member,
        f"wish:{club.id}:{wish.number}:{entry.number}",
        "notice",
        Reply(text, (row,)),
        now,
    )


def part_of_wish(wish: Wish, room: str, batch: str, count: int) -> dict[str, Any]:
    """What is reserved when a wish is met, as a button keeps it."""
    slots = {"count": count, "sex": wish.sex, "min_mm": wish.min_mm, "wish": wish.number}
    return {"room": room, "batch": batch, "slots": {key: value for key, value in slots.items() if value is not None}}


def style_for(visit: Visit, club: Club, person: str, now: datetime) -> Style:
    """How the person reads, today in the club."""
    return style_of(visit, club, now.astimezone(ZoneInfo(club.zone)).date(), visit.person(person))


def lapsed_holds(visit: Visit, now: datetime) -> None:
    """Tell both sides of a reservation that was not confirmed in time that its fish are free again."""
    for club in visit.tx.clubs.all():
        for room in visit.rooms_of_club(club.id):
            for one in room.reservations.values():
                until = one.hold_until
                if one.status == "unconfirmed" and until is not None and now - TOLD_LAPSED < until <= now:
                    text = reminders.lapsed(one, room, visit.keeper_name(room.id), style_for(visit, club, one.member, now))
                    send(visit, club, one.member, f"lapsed:{room.id}:{one.number}", "notice", Reply(text), now)
                    for keeper in visit.keepers(room.id):
                        told = reminders.lapsed_for_keeper(one, room, visit.person(one.member).name, style_for(visit, club, keeper, now))
                        send(visit, club, keeper, f"lapsed:{room.id}:{one.number}:{keeper}", "notice", Reply(told), now)
