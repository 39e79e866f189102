"""Offers, prices, reservations, pickups, money and sales."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Literal

from core.events.base import BatchId, Event, PersonId, Sex, StrainKey


@dataclass(frozen=True, slots=True)
class Offered(Event):
    """The batch (or `count` of a sex of it) is for sale, from a day, at a price each."""

    batch: BatchId
    count: int | None = None
    sex: Sex | None = None
    price: Decimal | None = None
    from_day: date | None = None


@dataclass(frozen=True, slots=True)
class Withdrawn(Event):
    """The batch is no longer for sale; reservations stand."""

    batch: BatchId


@dataclass(frozen=True, slots=True)
class Priced(Event):
    """A price each, for a batch or for a strain, by sex where said."""

    price: Decimal
    batch: BatchId | None = None
    strain: StrainKey | None = None
    sex: Sex | None = None


@dataclass(frozen=True, slots=True)
class Reserved(Event):
    """`count` of the batch are promised to `member`; males and females where a mix was asked ("1 male and 4 females")."""

    reservation: int
    member: PersonId
    batch: BatchId
    count: int
    sex: Sex | None = None
    males: int | None = None
    females: int | None = None
    pickup: date | None = None
    at: time | None = None
    min_mm: float | None = None
    confirmed: bool = True
    hold_until: datetime | None = None
    """An unconfirmed reservation holds the fish until this moment (UTC), then it has lapsed without anybody's doing."""
    wish: int | None = None


@dataclass(frozen=True, slots=True)
class Confirmed(Event):
    """The keeper confirms."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Declined(Event):
    """The keeper declines."""

    reservation: int


@dataclass(frozen=True, slots=True)
class ReservationChanged(Event):
    """Fewer or more, another sex, another batch; the place in the row of promises stays unless more is asked."""

    reservation: int
    count: int | None = None
    sex: Sex | None = None
    batch: BatchId | None = None
    males: int | None = None
    females: int | None = None


@dataclass(frozen=True, slots=True)
class PickupSet(Event):
    """A pickup day and time: agreed, or a proposal of `proposed_by` until the other side accepts."""

    reservation: int
    pickup: date
    at: time | None = None
    proposed_by: PersonId | None = None


@dataclass(frozen=True, slots=True)
class PickupAgreed(Event):
    """The other side accepts the proposed pickup."""

    reservation: int


@dataclass(frozen=True, slots=True)
class PickupRefused(Event):
    """The other side does not accept; the earlier pickup stands."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Collected(Event):
    """Fetched, all (count None) or in part; what is left of a part collection stays reserved."""

    reservation: int
    count: int | None = None
    males: int | None = None
    females: int | None = None


@dataclass(frozen=True, slots=True)
class NoShow(Event):
    """The buyer did not come; the reservation is released."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Cancelled(Event):
    """Called off, by `by_side` ("buyer" or "keeper")."""

    reservation: int
    by_side: Literal["buyer", "keeper"] | None = None


@dataclass(frozen=True, slots=True)
class Deposit(Event):
    """Money noted, never taken."""

    reservation: int
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Sold(Event):
    """Gone without a reservation; `price` for the lot."""

    batch: BatchId
    count: int
    sex: Sex | None = None
    member: PersonId | None = None
    price: Decimal | None = None
