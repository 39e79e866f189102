"""A reservation from its making to its end."""

from datetime import UTC, date, datetime, time
from decimal import Decimal

from core.events import (
    Cancelled,
    Collected,
    Confirmed,
    Declined,
    Deposit,
    NoShow,
    PickupAgreed,
    PickupRefused,
    PickupSet,
    ReservationChanged,
    Reserved,
    Sexed,
)
from core.fishroom.state import Reservation
from tests.fishroom.conftest import Telling

APRIL = date(2026, 4, 4)


def oleg(marit: Telling) -> Reservation:
    return marit.room.reservations[12]


def test_a_reservation_holds_and_lapses_or_is_confirmed(marit: Telling) -> None:
    until = datetime(2026, 3, 5, tzinfo=UTC)
    marit.on(1, Reserved(12, "oleg", "A", 6, confirmed=False, hold_until=until))
    assert oleg(marit).open_at(datetime(2026, 3, 4, tzinfo=UTC))
    assert not oleg(marit).open_at(until)
    marit.on(2, Confirmed(12))
    assert oleg(marit).open_at(datetime(2026, 9, 1, tzinfo=UTC))


def test_a_part_collected_leaves_the_rest_reserved(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 6)).on(5, Collected(12, 4))
    assert (oleg(marit).left, oleg(marit).status, marit.batch("A").count) == (2, "confirmed", 16)
    marit.on(9, Collected(12))
    assert (oleg(marit).left, oleg(marit).status, marit.batch("A").count) == (0, "collected", 14)
    assert [(c.kind, c.count, c.reservation, c.to) for c in marit.batch("A").changes[1:]] == [
        ("collected", -4, 12, "oleg"),
        ("collected", -2, 12, "oleg"),
    ]


def test_a_mix_is_handed_over_by_sex(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=8, females=12), Reserved(12, "oleg", "A", 5, males=1, females=4)).on(5, Collected(12))
    assert (marit.batch("A").count_of("male"), marit.batch("A").count_of("female")) == (7, 8)


def test_more_fetched_than_reserved_is_a_fact(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 6)).on(5, Collected(12, 8))
    assert (oleg(marit).count, oleg(marit).status, marit.batch("A").count) == (8, "collected", 12)


def test_pickups_are_proposed_agreed_and_refused(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 6), PickupSet(12, APRIL, time(10), proposed_by="oleg"))
    assert (oleg(marit).pickup, oleg(marit).proposed) == (None, (APRIL, time(10), "oleg"))
    marit.on(2, PickupAgreed(12))
    assert (oleg(marit).pickup, oleg(marit).at, oleg(marit).sequence) == (APRIL, time(10), 1)
    marit.on(3, PickupSet(12, date(2026, 4, 11), proposed_by="marit"), PickupRefused(12))
    assert (oleg(marit).pickup, oleg(marit).proposed) == (APRIL, None)


def test_the_place_in_the_row_is_kept_unless_more_is_asked(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 6))
    made = oleg(marit).made
    marit.on(2, ReservationChanged(12, count=4, batch="B"))
    assert (oleg(marit).made, oleg(marit).batch, oleg(marit).count) == (made, "B", 4)
    marit.on(3, ReservationChanged(12, count=5))
    assert oleg(marit).made > made


def test_each_way_of_ending_closes_it(marit: Telling) -> None:
    for number, end in ((1, Declined(1)), (2, Cancelled(2)), (3, NoShow(3))):
        marit.on(1, Reserved(number, "oleg", "A", 2)).on(2, end)
    assert [r.status for r in marit.room.reservations.values()] == ["declined", "cancelled", "no_show"]
    marit.on(3, Confirmed(2), Cancelled(99))
    assert marit.problems == [("closed", "2"), ("no_such_reservation", "99")]


def test_deposits_add_up(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 2), Deposit(12, Decimal("5.00"))).on(2, Deposit(12, Decimal("2.50")))
    assert oleg(marit).deposit == Decimal("7.50")


def test_a_promise_stands_where_its_batch_does_not(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "Z", 2))
    assert oleg(marit).status == "confirmed"
    assert marit.problems == [("no_such_batch", "Z")]


def test_a_mix_that_is_told_anew_takes_the_place_of_the_old(marit: Telling) -> None:
    marit.on(1, Reserved(12, "oleg", "A", 5, males=1, females=4))
    marit.on(2, ReservationChanged(12, count=6, males=2, females=4))
    assert (oleg(marit).count, oleg(marit).males, oleg(marit).females) == (6, 2, 4)
    marit.on(3, ReservationChanged(12, sex="female"))
    assert (oleg(marit).sex, oleg(marit).males, oleg(marit).females) == ("female", None, None)
