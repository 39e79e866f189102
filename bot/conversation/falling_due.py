"""What falls due by itself, and when the next of it does: mornings, open questions, pickups of tomorrow, waiting lists, posts.

Everything here only puts rows into the deliveries, under keys that say what and for which day; asking twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import ParamSpec
from zoneinfo import ZoneInfo

from bot.conversation.mornings import BATCH, let_go, some_mornings
from bot.conversation.ordering import EVENING, POST_AT, POST_DAY, evening_reminders, lapsed_holds, offer_to_waiting, weekly_posts
from bot.conversation.short_promises import evening_of, tell_buyers
from bot.mornings import moment_of
from core.club import Visit, Visits
from core.planning.waiting import asked_now
from core.store.clubs import Club
from core.store.trouble import StoreTrouble

AT_LATEST = timedelta(days=1)
Parameters = ParamSpec("Parameters")
Deed = Callable[[Visit, datetime], object]


def fall_due(visits: Visits, now: datetime, *, digests: bool = True) -> None:
    """Put everything that is due by now into the deliveries. Where one kind of it fails, the others go on; then that is raised."""
    failed = _tried(_mornings, visits, now) if digests else []
    if _tried(_together, visits, now, *_BY_ITSELF):
        for deed in _BY_ITSELF:
            failed += _tried(_together, visits, now, deed)
    if failed:
        raise failed[0]


_BY_ITSELF: tuple[Deed, ...] = (let_go, evening_reminders, lapsed_holds, offer_to_waiting, tell_buyers, weekly_posts)


def _mornings(visits: Visits, now: datetime) -> None:
    while visits.write(lambda visit: some_mornings(visit, now)) == BATCH:
        pass


def _together(visits: Visits, now: datetime, *deeds: Deed) -> None:
    """The deeds in one transaction: a quiet minute costs one, and one that fails takes all of them back."""
    visits.write(lambda visit: [deed(visit, now) for deed in deeds])


def _tried(step: Callable[Parameters, None], *given: Parameters.args, **named: Parameters.kwargs) -> list[Exception]:
    """Take the step; what it raises is given back, unless it is the database's own trouble."""
    try:
        step(*given, **named)
    except StoreTrouble:
        raise
    except Exception as error:
        return [error]
    return []


def next_due(visits: Visits, now: datetime) -> datetime:
    """The next moment at which something falls due or may be sent, a day from now at the latest."""
    found: list[datetime | None]
    with visits.read() as visit:
        found = [visit.tx.mornings.first(), visit.tx.deliveries.next_due(now), visit.tx.drafts.next_expiry(now)]
        for club in visit.tx.clubs.all():
            found += _of_club(visit, club, now)
    return min([moment for moment in found if moment is not None and moment > now] + [now + AT_LATEST])


def _of_club(visit: Visit, club: Club, now: datetime) -> Iterator[datetime]:
    """Moments of the club: holds and questions that lapse, the evening before a pickup, the weekly post."""
    for wish in visit.club(club.id).wishes.values():
        if asked_now(wish, now) and wish.offer is not None:
            yield wish.offer[3]
    zone = ZoneInfo(club.zone)
    for room in visit.overview(club.id).promising():
        for one in room.reservations.values():
            if one.open_at(now) and one.hold_until is not None:
                yield one.hold_until
            if one.open_at(now) and one.pickup is not None:
                evening = moment_of(zone, one.pickup - timedelta(days=1), EVENING)
                yield from [evening] if evening else []
    yield from evening_of(visit, club, now)
    today = now.astimezone(zone).date()
    if visit.tx.clubs.groups(club.id):
        post = moment_of(zone, today + timedelta(days=(POST_DAY - today.weekday()) % 7), POST_AT)
        yield from [post] if post else []
