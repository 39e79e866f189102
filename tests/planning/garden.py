"""A small fishroom for the order book: one tub of yellow labs on 6 April 2026, changed as each test needs it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from core.biology.chance import Beta
from core.events import Sex
from core.fishroom.state import Batch, Fishroom, Group, Offer, Place, Reservation, Strain
from core.planning.promises import Now
from core.planning.prospects import Prospect, prospect_of

TODAY = date(2026, 4, 6)
NOON = datetime(2026, 4, 6, 12, 0, tzinfo=UTC)
LABS = "yellow-lab"


def after(days: int) -> date:
    return TODAY + timedelta(days=days)


def batch(label: str = "B", unsexed: int = 24, males: int = 0, females: int = 0, place: str = "tub", **more: Any) -> Batch:
    counts: tuple[tuple[Sex, int], ...] = (("male", males), ("female", females), ("unsexed", unsexed))
    groups = tuple(Group(place, sex, count) for sex, count in counts if count)
    more = {"offer": Offer(after(-10)), "spawned": after(-150), **more}
    return Batch(label, label, LABS, began=after(-130), groups=groups, **more)


def reservation(number: int, count: int, day: int | None = None, batch: str = "B", **more: Any) -> Reservation:
    more = {"made": NOON - timedelta(days=60 - number), "status": "confirmed", "member": f"buyer {number}", **more}
    return Reservation(number=number, batch=batch, count=count, pickup=None if day is None else after(day), **more)


def room(batches: Iterable[Batch], reservations: Iterable[Reservation] = (), **more: Any) -> Fishroom:
    found = Fishroom("north", **more)
    found.strains[LABS] = Strain(LABS, "yellow labs", "yellow-lab")
    for name in ("tub", "tank 1"):
        found.places.setdefault(name, Place(name, "tub" if name == "tub" else "tank", 200.0, 26.0))
    found.batches = {one.id: one for one in batches}
    found.reservations = {one.number: one for one in reservations}
    return found


def everybody_lives(found: Fishroom, of: Batch, today: date) -> Prospect:
    """No losses, all long enough, sexes known at sight: what is left is arithmetic."""
    return replace(mortal(found, of, today), stretches=((1, Beta(1e9, 1e-3)),), sexable_mm=0.0)


def mortal(found: Fishroom, of: Batch, today: date) -> Prospect:
    """One fish in five hundred is lost a day, give or take; growth is as the species'."""
    parts = prospect_of(found, of, today).parts
    return Prospect(today, ((1, Beta(1497.0, 3.0)),), parts, Beta(10.0, 10.0), saleable_mm=38.0, sexable_mm=0.0)


SURE = Now(TODAY, NOON, prospects=everybody_lives)
MORTAL = Now(TODAY, NOON, prospects=mortal)
REAL = Now(TODAY, NOON)
