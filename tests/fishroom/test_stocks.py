"""Batches that come together become one stock; what named them names it."""

import pytest

from core.events import (
    BatchJoined,
    Counted,
    HeldBack,
    Joined,
    Merged,
    Mixed,
    Moved,
    Offered,
    Parents,
    Reserved,
    Sold,
    ToldApart,
    Voided,
)
from tests.fishroom.conftest import Telling


def test_mixed_batches_are_one_stock_with_parentage_in_shares(marit: Telling) -> None:
    marit.on(1, Parents("A", "M1", "F4"), Parents("B", "M1", "F5")).on(2, Mixed(("A", "B"), "B", "tub"))
    stock = marit.batch("B")
    assert stock.count == 30
    assert dict(stock.parentage.pairs) == pytest.approx({("marit/M1", "marit/F4"): 2 / 3, ("marit/M1", "marit/F5"): 1 / 3})
    assert dict(stock.mixture) == pytest.approx({"A": 2 / 3, "B": 1 / 3})
    assert marit.batch("A").merged_into == "B"


def test_letters_and_reservations_go_with_the_fish(marit: Telling) -> None:
    marit.on(1, Reserved(7, "oleg", "A", 4)).on(2, Mixed(("A", "B"), "B", "tub")).on(3, Sold("A", 5)).on(4, Counted("A", 24))
    assert marit.room.reservations[7].batch == "B"
    assert marit.batch("B").count == 24
    assert marit.problems == []


def test_taking_the_mixing_back_gives_both_batches_back(marit: Telling) -> None:
    marit.on(1, Reserved(7, "oleg", "A", 4)).on(2, Mixed(("A", "B"), "B", "tub"))
    marit.on(3, Voided(len(marit.entries)))
    assert (marit.batch("A").count, marit.batch("B").count, marit.room.reservations[7].batch) == (20, 10, "A")


def test_only_the_fish_in_the_water_are_mixed(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="A", count=6)).on(2, Mixed(("A", "B"), "B", "tub"))
    assert (marit.batch("A").count, marit.batch("A").places, marit.batch("A").merged_into) == (6, ("tank 2",), None)
    assert marit.batch("B").count == 24
    assert dict(marit.batch("B").mixture) == pytest.approx({"A": 14 / 24, "B": 10 / 24})


def test_a_stock_that_is_mixed_again_remembers_all_it_came_from(marit: Telling) -> None:
    marit.on(1, BatchJoined("C", "lab", 30, to="tub")).on(2, Mixed(("A", "B"), "A", "tub")).on(3, Mixed(("A", "C"), "C", "tub"))
    assert dict(marit.batch("C").mixture) == pytest.approx({"A": 2 / 6, "B": 1 / 6, "C": 3 / 6})
    marit.on(4, Sold("B", 1))
    assert marit.batch("C").count == 59


def test_merging_two_strains_makes_hybrids_of_neither(marit: Telling) -> None:
    marit.on(1, BatchJoined("C", "demasoni", 5, to="tub")).on(2, Merged(("A", "C"), "A", hybrid=True))
    assert marit.batch("A").hybrid == ("demasoni", "lab")


def test_what_was_kept_back_or_for_sale_stays_so_and_no_more(marit: Telling) -> None:
    marit.on(1, HeldBack("A", 3), Offered("A")).on(2, Merged(("A", "B"), "B"))
    stock = marit.batch("B")
    assert stock.held_back_count == 3
    assert stock.offer is not None
    assert stock.offer.count == 20


def test_a_breeder_from_a_mixed_stock_carries_the_shares(marit: Telling) -> None:
    marit.on(1, Parents("A", "M1", "F4"), Parents("B", "M1", "F5")).on(2, Mixed(("A", "B"), "B", "tub"))
    marit.on(90, Joined("M7", "male", "7", "lab", from_batch="A"))
    assert len(marit.room.fish["M7"].parentage.pairs) == 2


def test_batches_told_apart_are_remembered(marit: Telling) -> None:
    marit.on(1, ToldApart(("A", "B"), "tub"))
    assert frozenset({"B", "A"}) in marit.room.told_apart


def test_merging_with_itself_or_with_nothing_changes_nothing(marit: Telling) -> None:
    marit.on(1, Merged(("A", "A"), "A"), Merged(("Z",), "A"))
    assert marit.batch("A").count == 20
    assert marit.problems == [("no_such_batch", "Z")]
