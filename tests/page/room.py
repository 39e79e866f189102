"""Marit's fishroom, as its journal tells it: two tanks, a box, a tub, five fish, a brood and a batch with a promise."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from core import events as e
from core.store import NewEntry, Store

MONDAY = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
BEGAN = date(2026, 1, 12)


def begin(store: Store) -> None:
    """A club with a keeper and a buyer, and the keeper's fishroom."""
    with store.write() as tx:
        if tx.clubs.get("c1"):
            return
        tx.clubs.add("Gravel Lane Cichlid Circle", zone="Europe/Berlin", id="c1")
        for name, role in (("Marit", "keeper"), ("Oleg", "buyer")):
            tx.people.add(name, MONDAY, id=name.lower())
            tx.clubs.join("c1", name.lower(), [role], MONDAY)
        tx.clubs.add_room("Marit's fishroom", ["c1"], ["marit"], id="r1")
    furnish(store)


def furnish(store: Store) -> None:
    """Write the fishroom's journal."""
    told = MONDAY - timedelta(days=1)
    saturday = date(2026, 2, 28)
    happened: list[tuple[date, e.Event]] = [
        (BEGAN, e.PlaceAdded("tank 10", "tank", 240, 26)),
        (BEGAN, e.PlaceAdded("tank 2", "tank", 120, 26)),
        (BEGAN, e.PlaceAdded("box 1", "box", hangs_in="tank 10")),
        (BEGAN, e.PlaceAdded("tub", "tub", 200, 25)),
        (BEGAN, e.StrainAdded("yellow-lab", "yellow lab", "general")),
        *((BEGAN, e.Joined(f"F{n}", "female", str(n), "yellow-lab", "tank 10")) for n in range(1, 5)),
        (BEGAN, e.Joined("M1", "male", "1", "yellow-lab", "tank 10")),
        (saturday, e.Holding("F4", "brood 1", "M1")),
        (BEGAN, e.BatchJoined("A", "yellow-lab", 24, to="tub", mean_mm=12, born=date(2025, 12, 20))),
        (date(2026, 2, 20), e.Measured("A", mean_mm=31, n=10)),
        (date(2026, 3, 1), e.Offered("A", price=Decimal("6.00"))),
        (date(2026, 3, 1), e.Reserved(1, "oleg", "A", 4)),
    ]
    with store.write() as tx:
        tx.journal.lock(["fishroom:r1"])
        tx.journal.append("fishroom:r1", [NewEntry(event, on, told, "marit") for on, event in happened])
