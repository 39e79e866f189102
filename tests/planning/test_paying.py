"""What a buyer has to bring: arithmetic done by hand."""

from dataclasses import replace
from decimal import Decimal

from core.fishroom.state import Offer
from core.planning.paying import Cost, cost_of
from tests.planning.garden import after, batch, reservation, room

EACH = Offer(after(-10), price=Decimal("4.50"))


def test_every_fish_costs_what_it_is_offered_at() -> None:
    assert cost_of(room([batch(offer=EACH)]), reservation(1, 6)) == Cost(Decimal("27.00"), Decimal(0))


def test_males_and_females_have_their_own_prices() -> None:
    sexed = batch(unsexed=0, males=4, females=8, offer=EACH, prices=(("female", Decimal(7)), ("male", Decimal(3))))
    trio = reservation(1, 3, males=1, females=2)
    assert cost_of(room([sexed]), trio) == Cost(Decimal(17), Decimal(0))


def test_a_deposit_is_taken_off_what_is_left_to_pay() -> None:
    found = cost_of(room([batch(offer=EACH)]), reservation(1, 6, deposit=Decimal(10)))
    assert found is not None
    assert found.to_pay == Decimal("17.00")


def test_after_a_part_was_fetched_only_the_rest_is_reckoned() -> None:
    rest = replace(reservation(1, 6, deposit=Decimal(10)), collected=4)
    assert cost_of(room([batch(offer=EACH)]), rest) == Cost(Decimal("9.00"), Decimal(0))


def test_without_a_price_nothing_is_said() -> None:
    assert cost_of(room([batch()]), reservation(1, 6)) is None
