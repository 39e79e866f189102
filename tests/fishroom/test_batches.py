"""Young fish by place and sex: moving, sexing, splitting, keeping back, growing up."""

from datetime import date
from decimal import Decimal

from core.events import (
    Culled,
    Died,
    HeldBack,
    Joined,
    Measured,
    Moved,
    Offered,
    Parents,
    Priced,
    Sexed,
    Sold,
    Split,
    Withdrawn,
)
from core.fishroom.numbers import apportion
from core.fishroom.state import Group, Offer
from tests.fishroom.conftest import Telling


def groups(marit: Telling, letter: str) -> set[tuple[str | None, str, int]]:
    return {(group.place, group.sex, group.count) for group in marit.batch(letter).groups}


def test_part_of_a_batch_moved_is_one_batch_in_two_places(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=8))
    assert groups(marit, "A") == {("tub", "unsexed", 12), ("tank 2", "unsexed", 8)}
    assert marit.batch("A").places == ("tub", "tank 2")


def test_more_moved_to_a_place_come_from_elsewhere(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=8)).on(2, Moved("tank 2", batch="A", count=4))
    assert groups(marit, "A") == {("tub", "unsexed", 8), ("tank 2", "unsexed", 12)}


def test_temperature_follows_where_most_of_the_batch_is(marit: Telling) -> None:
    marit.on(5, Moved("tank 2", batch="A", count=8)).on(9, Moved("tank 2", batch="A", count=8))
    assert [stay.place for stay in marit.batch("A").stays] == ["tub", "tank 2"]
    assert {stay.place: stay.since.day for stay in marit.batch("A").arrivals} == {"tub": 2, "tank 2": 7}


def test_moving_more_than_there_are_moves_all_and_says_so(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=30))
    assert groups(marit, "A") == {("tank 2", "unsexed", 20)}
    assert marit.problems == [("not_enough", "A")]


def test_males_moved_out_of_an_unsexed_batch_are_males_from_then_on(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=3, sex="male"))
    assert groups(marit, "A") == {("tub", "unsexed", 17), ("tank 2", "male", 3)}


def test_sexing_spreads_over_the_places_and_leaves_the_rest_unsexed(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=5)).on(2, Sexed("A", males=8, females=8))
    batch = marit.batch("A")
    assert (batch.count_of("male"), batch.count_of("female"), batch.count_of("unsexed")) == (8, 8, 4)
    assert sum(group.count for group in batch.groups if group.place == "tank 2") == 5


def test_a_sex_that_is_not_named_keeps_its_number(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=6)).on(5, Sexed("A", females=9))
    assert (marit.batch("A").count_of("male"), marit.batch("A").count_of("female")) == (6, 9)
    marit.on(6, Sexed("A", females=17))
    assert (marit.batch("A").count_of("male"), marit.batch("A").count_of("female")) == (3, 17)


def test_sexing_more_fish_than_the_book_has_found_some(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=12, females=10))
    assert [(change.kind, change.count) for change in marit.batch("A").changes] == [("bought", 20), ("found", 2)]


def test_a_sexing_that_names_all_is_a_count(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=8, females=9, unsexed=1))
    assert [(change.kind, change.count) for change in marit.batch("A").changes] == [("bought", 20), ("unexplained", -2)]


def test_a_split_batch_keeps_parents_age_and_where_it_was(marit: Telling) -> None:
    marit.on(1, Parents("A", "M1", "F4"), Measured("A", mean_mm=22, n=4)).on(10, Split("A", "C", count=7, to="tank 2"))
    old, new = marit.batch("A"), marit.batch("C")
    assert (old.count, new.count) == (13, 7)
    assert (new.parentage, new.spawned, new.measurements) == (old.parentage, old.spawned, old.measurements)
    assert [stay.place for stay in new.stays] == ["tub", "tank 2"]


def test_a_sex_can_be_split_off(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=8, females=12)).on(2, Split("A", "C", sex="male", to="tank 2"))
    assert groups(marit, "C") == {("tank 2", "male", 8)}
    assert groups(marit, "A") == {("tub", "female", 12)}


def test_kept_back_fish_stay_in_the_batch_until_they_are_breeders(marit: Telling) -> None:
    marit.on(1, Parents("A", "M1", "F4"), HeldBack("A", 3, "female"))
    assert (marit.batch("A").count, marit.batch("A").held_back) == (20, (("female", 3),))
    marit.on(150, Joined("F7", "female", "7", "lab", "tank 2", from_batch="A"))
    batch, fish = marit.batch("A"), marit.room.fish["F7"]
    assert (batch.count, batch.held_back, batch.changes[-1].kind) == (19, (("female", 2),), "bred_on")
    assert (fish.parentage, fish.born, fish.from_batch, fish.place) == (batch.parentage, date(2026, 1, 5), "A", "tank 2")


def test_no_more_is_held_back_than_is_there(marit: Telling) -> None:
    marit.on(1, HeldBack("B", 8)).on(2, Died(batch="B", count=6))
    assert marit.batch("B").held_back_count == 4
    marit.on(3, HeldBack("B", 1))
    assert marit.problems == [("not_enough", "B")]


def test_what_is_lost_culled_and_sold_leaves_the_book_by_name(marit: Telling) -> None:
    marit.on(1, Died(batch="A", count=2), Culled("A", 1)).on(2, Sold("A", 5, price=Decimal("20.00"), member="oleg"))
    assert marit.batch("A").count == 12
    assert [(c.kind, c.count) for c in marit.batch("A").changes[1:]] == [("died", -2), ("culled", -1), ("sold", -5)]
    assert (marit.batch("A").changes[-1].to, marit.batch("A").changes[-1].price) == ("oleg", Decimal("20.00"))


def test_more_dead_than_the_batch_had_empties_it_and_says_so(marit: Telling) -> None:
    marit.on(1, Died(batch="B", count=12))
    assert marit.batch("B").count == 0
    assert marit.problems == [("not_enough", "B")]


def test_an_offer_is_priced_and_withdrawn(marit: Telling) -> None:
    marit.on(1, Offered("A", 10, price=Decimal("4.00"))).on(2, Priced(Decimal("5.00"), batch="A"))
    offer = marit.batch("A").offer
    assert offer is not None
    assert (offer.count, offer.price) == (10, Decimal("5.00"))
    marit.on(3, Priced(Decimal("6.00"), strain="lab", sex="female"), Withdrawn("A"))
    assert marit.batch("A").offer is None
    assert marit.room.strain_prices == {("lab", "female"): Decimal("6.00")}


def test_an_offer_said_again_keeps_its_price(marit: Telling) -> None:
    marit.on(1, Offered("A", 10, price=Decimal("4.00"))).on(2, Offered("A", 6))
    assert marit.batch("A").offer == Offer(marit.entries[-1].on, 6, None, Decimal("4.00"))


def test_fish_are_shared_out_by_the_largest_remainders() -> None:
    """Hamilton's method, worked by hand: 7 over 5:3:2 is 3.5, 2.1, 1.4, so the first gets the seat that is left."""
    assert apportion(7, [5, 3, 2]) == [4, 2, 1]
    assert apportion(0, [5, 3]) == [0, 0]
    assert apportion(3, []) == []


def test_a_nonsense_number_changes_nothing(marit: Telling) -> None:
    before = marit.batch("A")
    marit.on(1, Died(batch="A", count=0), Culled("A", -3), Measured("A", mean_mm=-4.0), Sold("A", -1))
    assert marit.batch("A") == before
    assert [why for why, _ in marit.problems] == ["bad_number"] * 4


def test_the_book_groups_are_values(marit: Telling) -> None:
    assert marit.batch("B").groups == (Group("tub", "unsexed", 10),)
