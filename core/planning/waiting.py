"""Who waits for fish that nobody has yet, and whose turn it is: first come first served, with time to answer.

A wish is offered fish when all it asks for can be promised, or the largest part, if that is at least half of it. While it is
being asked, its fish are set aside in this plan, so that two members are never asked about the same fish; when the time to
answer has passed, the wish keeps its place, and the next in the row is asked.

Whoever said no to fish of a batch is asked about that batch again only when it is another question: more of what they wish for can
be had now, or the keeper has offered it anew. Silence is no no (a phone left at home): somebody who did not answer is asked once
more, two weeks later, if the fish are still there.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from core.events import BatchId, PersonId
from core.fishroom.choices import answer_hours
from core.fishroom.state import Club, Fishroom, Offer, Passed, Wish
from core.planning.availability import can_promise, promise_for
from core.planning.promises import Now, how_it_stands, left_for, on_offer
from core.planning.standing import Ask, Promise, Standing, promise_asked

ONCE_MORE = timedelta(days=14)
"""So long after an unanswered question it may be asked once more (common practice, no source)."""
NOBODY: Mapping[str, Collection[PersonId]] = {}


@dataclass(frozen=True, slots=True)
class NextOffer:
    """A wish that can be met now: what to offer its member, and until when it can be answered."""

    wish: Wish
    room: str
    batch: BatchId
    count: int
    until: datetime
    day: date
    """The day for which the number is kept: the wish's own, or the one a promise without a day must last to."""


def waiting(club: Club, today: date) -> list[Wish]:
    """Wishes that still wait (those being asked included), in the order they were made; a wish past its day no longer waits."""
    still = (w for w in club.wishes.values() if w.status in ("waiting", "offered") and (w.by_day is None or w.by_day >= today))
    return sorted(still, key=lambda wish: (wish.made, wish.number))


def asked_now(wish: Wish, moment: datetime) -> bool:
    """Whether the member is being asked and may still answer."""
    return wish.offer is not None and wish.status == "offered" and moment < wish.offer[3]


def lapsed(club: Club, moment: datetime) -> list[Wish]:
    """Wishes whose member let the time to answer pass."""
    return [w for w in club.wishes.values() if w.status == "offered" and w.offer is not None and moment >= w.offer[3]]


def next_offers(
    club: Club, rooms: Mapping[str, Fishroom], now: Now, keepers: Mapping[str, Collection[PersonId]] = NOBODY
) -> list[NextOffer]:
    """Whom to ask now, in the order of the row; fish that somebody is being asked about are taken to be promised to them.

    `keepers`: who keeps each fishroom; nobody is offered the own fish.
    """
    stands = _stands(club, rooms, now)
    until = now.moment + timedelta(hours=answer_hours(club))
    found = []
    for wish in waiting(club, now.today):
        limits = {key: left_for(room, wish.member, now.moment) for key, room in rooms.items()}
        if not asked_now(wish, now.moment) and (offer := _offer(wish, stands, keepers, limits, now, until)):
            found.append(offer)
            _set_aside(stands, (offer.room, offer.batch), wish, offer.count)
    return found


Stands = dict[tuple[str, BatchId], Standing]


def _stands(club: Club, rooms: Mapping[str, Fishroom], now: Now) -> Stands:
    strains = {wish.strain for wish in waiting(club, now.today)}
    stands = {
        (key, batch.id): how_it_stands(room, batch, now)
        for key, room in rooms.items()
        for strain in sorted(strains)
        for batch in on_offer(room, strain)
    }
    for wish in club.wishes.values():
        if asked_now(wish, now.moment) and wish.offer is not None and wish.offer[:2] in stands:
            _set_aside(stands, wish.offer[:2], wish, wish.offer[2])
    return stands


def _set_aside(stands: Stands, key: tuple[str, BatchId], wish: Wish, count: int) -> None:
    promise: Promise = promise_asked(ask_of(wish, count), stands[key].prospect, stands[key].stock)
    stands[key] = replace(stands[key], promises=(*stands[key].promises, promise))


def ask_of(wish: Wish, count: int | None = None) -> Ask:
    """What the wish asks for."""
    return Ask(wish.count if count is None else count, wish.sex, None, None, wish.min_mm, wish.by_day)


def _offer(
    wish: Wish,
    stands: Stands,
    keepers: Mapping[str, Collection[PersonId]],
    limits: Mapping[str, int | None],
    now: Now,
    until: datetime,
) -> NextOffer | None:
    """The batch that meets the wish: one that holds all of it, with the least to spare; else the one that holds most.

    `limits`: how many more the member may have of each fishroom (None: no limit).
    """
    ask = ask_of(wish)
    mine = [key for key, how in stands.items() if how.batch.strain == wish.strain and wish.member not in keepers.get(key[0], ())]
    possible = [(_at_most(limits.get(key[0]), can_promise(stands[key], ask, now.level)), key) for key in mine]
    some = [(count, key) for count, key in possible if count and _is_news(wish, key, count, stands[key].batch.offer, now)]
    if not some:
        return None
    whole = [one for one in some if one[0] >= wish.count]
    if not whole and 2 * max(some)[0] < wish.count:
        return None  # so small a part is no answer to the wish
    count, (room, batch) = min(whole) if whole else max(some)
    day = promise_for(stands[room, batch], ask).day
    return NextOffer(wish, room, batch, min(count, wish.count), until, day)


def _at_most(limit: int | None, count: int) -> int:
    return count if limit is None else min(limit, count)


def _is_news(wish: Wish, key: tuple[str, BatchId], count: int, offer: Offer | None, now: Now) -> bool:
    """Whether the wish was never asked about this batch, or there is a reason to ask again."""
    running = (Passed(*wish.offer, said=False),) if wish.offer is not None else ()
    asked = [one for one in (*wish.passed, *running) if (one.room, one.batch) == key]
    if not asked:
        return True
    last = asked[-1]
    silent_once = not last.said and sum(not one.said for one in asked) == 1
    return (
        min(count, wish.count) > last.count
        or (offer is not None and offer.since > last.when.date())
        or (silent_once and now.moment >= last.when + ONCE_MORE)
    )


def _compete(one: Wish, other: Wish) -> bool:
    """Whether a fish could meet either wish."""
    sexes = {wish.sex for wish in (one, other) if wish.sex in ("male", "female")}
    return len(sexes) < 2


def place_in_row(club: Club, wish: Wish, today: date) -> int:
    """Which in the row the wish is among those for fish of its strain and sex (1: next)."""
    same: Sequence[Wish] = [other for other in waiting(club, today) if other.strain == wish.strain and _compete(other, wish)]
    return 1 + sum((other.made, other.number) < (wish.made, wish.number) for other in same)
