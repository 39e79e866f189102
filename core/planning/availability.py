"""What of an offered batch can be promised for a day, and what became of the others: the answer with its reasons."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from core.events import BatchId, Sex
from core.fishroom.state import Batch, Change, Offer
from core.planning.standing import Ask, Promise, Standing, promise_asked

Hindrance = Literal["not_offered", "other_sex", "not_yet", "offered_number"]
"""Why less is for sale than could be promised: no offer, only the other sex, not before a day, only so many were offered."""
GONE = {"sold", "collected"}
"""Changes of a batch that use up a number offered."""


@dataclass(frozen=True, slots=True)
class Availability:
    """What can be promised of a batch for a day, with everything that leads to it."""

    batch: BatchId
    day: date
    """The day meant; for an ask without a day, the day its fish would have to last to."""
    ask: Ask
    alive: int
    """Fish in the batch by the book."""
    known: int
    """Of these, known to be of the sex asked for (all, where no sex was asked for)."""
    expected: int
    """Fish of the sex expected alive and as long as asked on the day, the unsexed by their likely share."""
    promised: int
    """Promised to others, whatever sex and size."""
    promises: int
    """To how many others."""
    held_back: int
    can_promise: int
    """The most that keeps every promise as likely as the level (no further than was asked, where only that was looked at)."""
    level: float
    unassigned_deaths: int = 0
    """Deaths in its water that nobody could give to a batch: some may have been its fish."""
    hindrance: Hindrance | None = None
    """What keeps `can_promise` lower than biology would."""
    from_day: date | None = None
    """The offer's first day, where it has one."""
    first_day: date | None = None
    """Where fewer can be promised than asked for: the first later day on which all could (None: not within a year)."""

    @property
    def enough(self) -> bool:
        """Whether the number asked for can be promised."""
        return self.can_promise >= self.ask.count


def available(standing: Standing, ask: Ask, level: float, *, by_keeper: bool = False, up_to: int | None = None) -> Availability:
    """What can be promised of the batch for the ask's sex, size and day.

    `by_keeper`: whatever the offer says. `up_to`: look no further than this number (a decision needs only what is asked).
    """
    ask = ask if by_keeper else as_offered(ask, standing.batch.offer)
    promise = promise_for(standing, ask)
    limit, hindrance = (None, None) if by_keeper else for_sale(standing, promise)
    possible = standing.promisable(promise, level, up_to)
    number = possible if limit is None else min(possible, limit)
    hindered = hindrance if limit is not None and limit < possible else None
    later = None if number >= ask.count else _first_day(standing, ask, promise, level, hindered)
    return Availability(
        batch=standing.batch.id,
        day=promise.day,
        ask=ask,
        alive=standing.stock.count,
        known=_known(standing, ask.sex),
        expected=expected(standing, ask.sex, ask.min_mm, promise.day),
        promised=standing.promised,
        promises=len(standing.promises),
        held_back=standing.stock.held,
        can_promise=number,
        level=level,
        unassigned_deaths=sum(count for _, count in standing.unassigned),
        hindrance=hindered,
        from_day=standing.batch.offer.from_day if standing.batch.offer else None,
        first_day=later,
    )


def can_promise(standing: Standing, ask: Ask, level: float, *, more_than: int = 0, up_to: int | None = None) -> int:
    """Only the number of `available`, looked for no further than `up_to`; 0 at once where it is not above `more_than`."""
    promise = promise_for(standing, as_offered(ask, standing.batch.offer))
    limit, _ = for_sale(standing, promise)
    if (limit is not None and limit <= more_than) or not standing.fits(promise.of(more_than + 1), level):
        return 0
    possible = standing.promisable(promise, level, up_to)
    return possible if limit is None else min(limit, possible)


def promise_for(standing: Standing, ask: Ask) -> Promise:
    """What the ask would bind; without a day, not before the offer begins."""
    promise, offer = promise_asked(ask, standing.prospect, standing.stock), standing.batch.offer
    if ask.day is None and offer is not None and offer.from_day is not None:
        return replace(promise, day=max(promise.day, offer.from_day))
    return promise


def expected(standing: Standing, sex: Sex | None, min_mm: float | None, day: date) -> int:
    """Fish of a sex expected alive and so long on a day, to the nearest fish."""
    stock, share = standing.stock, standing.prospect.male_share.mean
    of_sex = {"male": stock.males + stock.unsexed * share, "female": stock.females + stock.unsexed * (1 - share)}
    fish = of_sex.get(sex or "", float(stock.count))
    missing = sum(chance * (m + f + u) for chance, m, f, u in stock.missing)
    there = fish * (1 - missing / stock.count) if stock.count else 0.0
    prospect = standing.prospect
    return int(there * prospect.expected_alive(day) * prospect.expected_long(min_mm, day) + 0.5)


def as_offered(ask: Ask, offer: Offer | None) -> Ask:
    """The ask as the offer reads it: where only one sex is offered, fish of no particular sex are fish of that one."""
    if offer is None or offer.sex in (None, "unsexed") or ask.sex in ("male", "female") or ask.males or ask.females:
        return ask
    return Ask(ask.count, offer.sex, None, None, ask.min_mm, ask.day)


def for_sale(standing: Standing, promise: Promise) -> tuple[int | None, Hindrance | None]:
    """The most the offer allows (None: no limit), and what limits it."""
    offer = standing.batch.offer
    if offer is None:
        return 0, "not_offered"
    wanted = {sex for sex, count in (("male", promise.males), ("female", promise.females)) if count}
    if offer.sex in ("male", "female") and wanted - {offer.sex}:
        return 0, "other_sex"
    if offer.from_day is not None and promise.day < offer.from_day:
        return 0, "not_yet"
    if offer.count is not None:
        return max(0, offer.count - used_up(standing, offer)), "offered_number"
    return None, None


def used_up(standing: Standing, offer: Offer) -> int:
    """Fish promised, fetched or sold since the offer was made."""
    promised = sum(p.count for p in standing.promises if p.made is not None and p.made.date() >= offer.since)
    return promised - sum(change.count for change in _changes_since(standing.batch, offer.since))


def _changes_since(batch: Batch, since: date) -> list[Change]:
    return [change for change in batch.changes if change.kind in GONE and change.on >= since]


def _known(standing: Standing, sex: Sex | None) -> int:
    of_sex = {"male": standing.stock.males, "female": standing.stock.females, "unsexed": standing.stock.unsexed}
    return of_sex[sex] if sex else standing.stock.count


def _first_day(standing: Standing, ask: Ask, promise: Promise, level: float, hindrance: Hindrance | None) -> date | None:
    """A later day helps against small fish and an offer that has not begun, not against a short offer."""
    if hindrance not in (None, "not_yet") or ask.count > standing.stock.count - standing.stock.held - standing.promised:
        return None
    offer = standing.batch.offer
    start = max(promise.day, offer.from_day) if offer and offer.from_day else promise.day
    return standing.first_day(replace(promise, day=start), level)
