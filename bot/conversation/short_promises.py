"""Whoever was promised fish that will hardly be there hears of it the same evening, if the keeper has not settled it by then.

The keeper is told at once, with the choices; a slip that is taken back in the meantime alarms nobody.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.conversation.message import Reply
from bot.conversation.ordering import EVENING, LATE
from bot.conversation.scene import style_of
from bot.conversation.sending import send
from bot.mornings import day_of_hour, moment_of
from bot.replies import orders
from core.club import Visit
from core.planning.promises import Now, level_of, shortfalls
from core.store.clubs import Club


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
                send(visit, club, one.member, f"short:{room.id}:{one.number}:{short.can}:{one.count}", "notice", Reply(text), now)
