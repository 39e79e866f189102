"""What a fishroom has for others, now and soon: rows by batch and sex, each good until something about it may change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from core.biology.growth import mixed_fish_mm
from core.events import BatchId, Sex, StrainKey
from core.fishroom.promises import price_each
from core.fishroom.state import Batch, Fishroom
from core.planning.availability import can_promise
from core.planning.outlook import ReadyDays, ready_days
from core.planning.promises import Now, how_it_stands
from core.planning.standing import Ask, Standing, open_reservations

GOOD_FOR = timedelta(hours=12)
"""Fish grow and die: a row is computed again after this long."""


@dataclass(frozen=True, slots=True)
class OnShelf:
    """Fish of one batch and one sex (None: whichever) that are for sale or will be."""

    room: str
    batch: BatchId
    label: str
    strain: StrainKey
    hybrid: tuple[StrainKey, ...]
    """The strains crossed in it: shown as what it is, never as either strain."""
    sex: Sex | None
    alive: int
    """Of this sex by the book."""
    promisable: int
    """How many a promise without a day can be given for, now."""
    mm: tuple[float, float, float]
    """Length of a fish taken blindly: nine in ten lie between the first and the last, the likely one between."""
    ready: ReadyDays
    """When half, and when nine in ten, are long enough to be sold."""
    from_day: date | None
    """The first day the keeper offers it for."""
    price: Decimal | None
    """Each."""
    valid_until: datetime

    @property
    def ready_on(self) -> date | None:
        """The day from which it can be fetched: nine in ten long enough, and offered by then; None: not in sight."""
        most = self.ready.most.likely
        return max(most, self.from_day) if most and self.from_day else most

    def ready_now(self, today: date) -> bool:
        """Whether it can be fetched today: half of it is long enough, and the offer has begun."""
        return self.ready.share_now >= 0.5 and (self.from_day is None or self.from_day <= today)


def shelf_rows(room: Fishroom, now: Now) -> tuple[OnShelf, ...]:
    """The rows of a fishroom: every batch on offer, by the sexes that were told apart in it."""
    return tuple(row for batch in room.live_batches() if batch.offer is not None for row in _rows(room, batch, now))


def _rows(room: Fishroom, batch: Batch, now: Now) -> list[OnShelf]:
    how = how_it_stands(room, batch, now)
    saleable = how.prospect.saleable_mm
    lengths = mixed_fish_mm(how.prospect.parts(now.today))
    ready = ready_days(room, batch, now.today, saleable)
    return [
        OnShelf(
            room=room.id,
            batch=batch.id,
            label=batch.label,
            strain=batch.strain,
            hybrid=batch.hybrid,
            sex=sex,
            alive=batch.count if sex is None else batch.count_of(sex),
            promisable=can_promise(how, Ask(1, sex), now.level),
            mm=(lengths.low, lengths.likely, lengths.high),
            ready=ready,
            from_day=batch.offer.from_day if batch.offer else None,
            price=price_each(room, batch, sex),
            valid_until=valid_until(room, batch, now.moment),
        )
        for sex in sexes_shown(how)
    ]


def sexes_shown(how: Standing) -> list[Sex | None]:
    """The sexes a batch has rows for: those that are known and on offer, and "whichever" while some are unsexed."""
    stock, offer = how.stock, how.batch.offer
    known: list[Sex | None] = [sex for sex, count in (("male", stock.males), ("female", stock.females)) if count]  # type: ignore[misc]
    if offer is not None and offer.sex in ("male", "female"):
        return [offer.sex]
    return [*known, None] if stock.unsexed or not known else known


def valid_until(room: Fishroom, batch: Batch, moment: datetime) -> datetime:
    """Until a hold lapses, at most half a day."""
    holds = (r.hold_until for r in open_reservations(room, batch.id, moment) if r.status == "unconfirmed" and r.hold_until)
    return min([moment + GOOD_FOR, *holds])
