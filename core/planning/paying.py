"""What a reservation costs: the prices each as they stand now, for what is still to be fetched, and what is left to pay."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from core.events import Sex
from core.fishroom.promises import price_each
from core.fishroom.state import Fishroom, Reservation
from core.planning.standing import parts_of


@dataclass(frozen=True, slots=True)
class Cost:
    """In the club's currency: the price of what is still to be fetched, and the deposit that was noted."""

    price: Decimal
    deposit: Decimal

    @property
    def to_pay(self) -> Decimal:
        """What is left to pay on the day."""
        return max(Decimal(0), self.price - self.deposit)


def cost_of(room: Fishroom, one: Reservation) -> Cost | None:
    """The cost; None where the keeper named no price for some of it. A deposit counts until something has been fetched."""
    batch = room.batches.get(one.batch)
    if batch is None:
        return None
    sexes: tuple[Sex | None, ...] = ("male", "female", one.sex if one.sex == "unsexed" else None)
    parts = [(number, price_each(room, batch, sex)) for number, sex in zip(parts_of(one), sexes, strict=True) if number]
    prices = [number * each for number, each in parts if each is not None]
    if len(prices) < len(parts) or not parts:
        return None
    return Cost(sum(prices, Decimal(0)), one.deposit if not one.collected else Decimal(0))
