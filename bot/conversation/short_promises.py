"""Promises that fish no longer cover: keepers hear at once and with their digest until it is settled, buyers the same evening.

Whoever writes what leaves somebody short is shown the ways out in the reply; other keepers are told, those who sleep with their next
digest. A slip that is taken back by the evening alarms no buyer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from bot.conversation.handing_over import contact
from bot.conversation.message import Button, Reply
from bot.conversation.ordering import EVENING, LATE
from bot.conversation.scene import style_of
from bot.conversation.sending import quiet_until, send
from bot.mornings import MORNING, day_of_hour, moment_of, next_morning
from bot.replies import orders
from core.club import Visit
from core.fishroom.choices import level_of
from core.fishroom.state import Fishroom
from core.planning.promises import Now, Shortfall, shortfalls
from core.planning.standing import in_proportion
from core.store.clubs import Club

Rows = list[tuple[Button, ...]]
NEAR = timedelta(days=7)
"""A promise that is short is said again every morning when its pickup is no further away, else as often as that."""
WITH_THE_DIGEST = timedelta(hours=3)
"""A digest that comes no later than this after the quiet hours says it early enough."""


# --- keepers ---------------------------------------------------------------------------------------------------------


def new_shortfalls(before: Mapping[str, Fishroom], after: Iterable[Fishroom], now: Now) -> list[tuple[Fishroom, Shortfall]]:
    """Promises that what was recorded left short, or shorter than they were, in the order of the promises."""
    found: list[tuple[Fishroom, Shortfall]] = []
    for room in after:
        if not any(one.open_at(now.moment) for one in room.reservations.values()):
            continue
        earlier = (
            {short.reservation.number: short.missing for short in shortfalls(before[room.id], now)} if room.id in before else {}
        )
        found += [(room, short) for short in shortfalls(room, now) if short.missing > earlier.get(short.reservation.number, 0)]
    return found


def tell_shortfalls(
    visit: Visit, club: Club, found: Iterable[tuple[Fishroom, Shortfall]], writer: str, now: Now, entry: str
) -> tuple[list[str], Rows]:
    """Tell keepers who is short; gives the lines and buttons for a writer who is a keeper of the fishroom."""
    lines: list[str] = []
    rows: Rows = []
    for room, pairs in groupby(found, key=lambda pair: pair[0]):
        shorts = [short for _, short in pairs]
        for keeper in visit.tx.clubs.keepers(room.id):
            said, buttons = for_keeper(visit, club, room, shorts, keeper, now.moment)
            if keeper == writer:
                lines += said
                rows += buttons
            elif not waits_for_digest(visit, club, keeper, now.moment):
                text = "\n".join(said)
                send(visit, club, keeper, f"short:{room.id}:{entry}:{keeper}", "alert", Reply(text, tuple(buttons)), now.moment)
    return lines, rows


def waits_for_digest(visit: Visit, club: Club, keeper: str, now: datetime) -> bool:
    """Whether the keeper sleeps and hears of it with the next digest anyway."""
    person = visit.person(keeper)
    until = quiet_until(person, club, now)
    if until is None:
        return False
    return next_morning(ZoneInfo(person.zone or club.zone), person.digest_time or MORNING, now) <= until + WITH_THE_DIGEST


def open_shortfalls(
    visit: Visit, club: Club, room: Fishroom, person: str, now: datetime, *, unasked: bool
) -> tuple[list[str], Rows]:
    """Promises that are still short, recalled to a keeper until they are settled; `unasked`: only those that are news."""
    if not visit.is_keeper(person, room.id) or not any(one.open_at(now) for one in room.reservations.values()):
        return [], []
    today = now.astimezone(ZoneInfo(club.zone)).date()
    found: Sequence[Shortfall] = shortfalls(room, Now(today, now, level_of(visit.club(club.id))))
    return for_keeper(visit, club, room, news_of(visit, room, person, found, today) if unasked else found, person, now)


def news_of(visit: Visit, room: Fishroom, keeper: str, shorts: Sequence[Shortfall], today: date) -> list[Shortfall]:
    """Those to be said again this morning: what has changed, what comes near, and the others once a week."""
    kept = f"short:{room.id}:{keeper}"
    told: dict[str, list[Any]] = visit.tx.kept.get(kept) or {}
    said = [short for short in shorts if _is_news(short, told.get(str(short.reservation.number)), today)]
    now = {str(short.reservation.number): [short.can, today.isoformat()] for short in said}
    still = {str(short.reservation.number) for short in shorts}
    visit.tx.kept.set(kept, {number: one for number, one in {**told, **now}.items() if number in still} or None)
    return said


def _is_news(short: Shortfall, told: list[Any] | None, today: date) -> bool:
    near = short.reservation.pickup is not None and short.reservation.pickup <= today + NEAR
    return told is None or near or told[0] != short.can or date.fromisoformat(told[1]) + NEAR <= today


def for_keeper(
    visit: Visit, club: Club, room: Fishroom, shorts: Sequence[Shortfall], keeper: str, now: datetime
) -> tuple[list[str], Rows]:
    """Who is short in the fishroom, a paragraph for each batch, with the ways out as buttons."""
    style = style_of(visit, club, now.astimezone(ZoneInfo(club.zone)).date(), visit.person(keeper))
    names = visit.names(club.id)
    by_batch = [list(some) for _, some in groupby(shorts, key=lambda short: short.reservation.batch)]
    rows = [row for short in shorts for row in choices(visit, club, room, short, keeper, now)]
    return [orders.shortfalls_for_keeper(some, style, room, names) for some in by_batch], rows


def choices(visit: Visit, club: Club, room: Fishroom, short: Shortfall, person: str, now: datetime) -> Rows:
    """Buttons for either side: fewer, a later day, another batch, or call it off."""
    number = str(short.reservation.number)

    def button(label: str, kind: str, **slots: Any) -> Button:
        action = {"do": "record", "items": [{"kind": kind, "slots": {"reservation": number, **slots}}], "room": room.id}
        return Button(label, visit.tx.buttons.make(person, club.id, action, now + timedelta(days=14)))

    rows: list[Button] = []
    if short.can:
        males, females, _ = in_proportion(short.reservation, short.can)
        mix = {"males": males, "females": females} if short.reservation.males or short.reservation.females else {}
        verb = "take" if person == short.reservation.member else "give"
        rows.append(button(f"#{number}: {verb} {orders.fewer(short)}", "reservation_changed", count=short.can, **mix))
    if short.later is not None and short.later != short.day:
        rows.append(button(f"#{number}: later", "pickup_set", pickup=short.later.isoformat()))
    for other in short.others[:2]:
        if other.count >= short.reservation.left and other.batch in room.batches:
            label = room.batches[other.batch].label
            rows.append(button(f"#{number}: from {label}", "reservation_changed", batch=label))
    rows.append(button(f"#{number}: cancel", "cancelled"))
    return [tuple(rows[at : at + 2]) for at in range(0, len(rows), 2)]


# --- buyers ----------------------------------------------------------------------------------------------------------


def evening_of(visit: Visit, club: Club, now: datetime) -> Iterator[datetime]:
    """When the buyers of the club are told, if fish are promised at all."""
    zone = ZoneInfo(club.zone)
    if any(True for _ in visit.overview(club.id).promising()):
        evening = moment_of(zone, now.astimezone(zone).date(), EVENING)
        yield from [evening] if evening else []


def tell_buyers(visit: Visit, now: datetime) -> None:
    """Once each evening: every promise that is short, to whom it was made; each only once, unless it gets worse or better."""
    for club in visit.tx.clubs.all():
        today = day_of_hour(ZoneInfo(club.zone), EVENING, now, LATE)
        told = f"short:{club.id}"
        if today is None or visit.tx.kept.get(told) == today.isoformat():
            continue
        visit.tx.kept.set(told, today.isoformat())
        for room in visit.overview(club.id).promising():
            for short in shortfalls(room, Now(today, now, level_of(visit.club(club.id)))):
                one = short.reservation
                text = orders.shortfall_for_buyer(short, style_of(visit, club, today, visit.person(one.member)), room)
                reach = contact(visit, room, one, one.member)
                reply = Reply("\n".join(part for part in (text, reach) if part), tuple(choices(visit, club, room, short, one.member, now)))
                send(visit, club, one.member, f"short:{room.id}:{one.number}:{short.can}:{one.count}", "notice", reply, now)
