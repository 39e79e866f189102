"""What somebody decides about a reservation is for the side that may decide it."""

from datetime import UTC, date, datetime

import pytest

from core import events as e
from core.club.decisions import objection
from core.fishroom.state import Batch, Club, Fishroom, Group, Reservation
from core.planning.promises import Now

MONDAY = date(2026, 3, 2)
NOW = Now(MONDAY, datetime(2026, 3, 2, 9, tzinfo=UTC))
SATURDAY = (date(2026, 3, 14), None)
KEEPER, HELPER, BUYER = "keeper", "helper", "buyer"


def fishroom(proposed_by: str | None) -> Fishroom:
    room = Fishroom("r1")
    proposed = (*SATURDAY, proposed_by) if proposed_by else None
    room.reservations[1] = Reservation(1, BUYER, "b1", 6, NOW.moment, "confirmed", pickup=date(2026, 3, 8), proposed=proposed)
    return room


@pytest.mark.parametrize(
    ("proposed_by", "answered_by", "why"),
    [
        (BUYER, KEEPER, None),
        (KEEPER, BUYER, None),
        (BUYER, BUYER, "own_proposal"),
        (KEEPER, KEEPER, "own_proposal"),
        (KEEPER, HELPER, "own_proposal"),
        (None, BUYER, "nothing_proposed"),
    ],
)
def test_a_proposed_pickup_stands_once_the_other_side_accepts(proposed_by: str | None, answered_by: str, why: str | None) -> None:
    event = e.PickupAgreed(1)
    found = objection(fishroom(proposed_by), Club("c1"), event, NOW, answered_by, by_keeper=answered_by != BUYER)
    assert (found.why if found else None) == why


def test_nobody_but_the_keeper_confirms_where_that_is_done_by_hand() -> None:
    room = Fishroom("r1", settings={"confirm_by_hand": "yes"})
    group = Group("tub", "unsexed", 30)
    room.batches["b1"] = Batch("b1", "A", "yellow-lab", MONDAY, groups=(group,))
    taken = e.Reserved(1, BUYER, "b1", 2, confirmed=True)
    found = objection(room, Club("c1"), taken, NOW, BUYER, by_keeper=False)
    assert found is not None
    assert found.why == "by_hand"
