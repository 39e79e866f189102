"""A brood from its beginning to its end, and whose it is."""

from datetime import date, timedelta

import pytest

from core.events import (
    BroodLost,
    Counted,
    Died,
    Holding,
    Joined,
    Left,
    Moved,
    Parents,
    Released,
    Spawned,
    StillHolding,
    Stripped,
)
from core.fishroom.state import Parentage
from tests.fishroom.conftest import MONDAY, Telling


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def test_a_spawning_and_the_holding_after_it_are_one_brood(marit: Telling) -> None:
    marit.on(1, Spawned("F4", "M1", "brood 1")).on(3, Holding("F4", "brood 2"))
    brood = marit.room.brood_of("F4")
    assert brood is not None
    assert (brood.id, brood.since, brood.first_seen, brood.male_taken) == ("brood 1", day(1), day(3), False)
    assert list(marit.room.broods) == ["brood 1"]


def test_holding_told_again_keeps_the_first_day(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(9, StillHolding("F4")).on(10, Holding("F4", "brood 2"))
    brood = marit.room.brood_of("F4")
    assert brood is not None
    assert (brood.id, brood.since, brood.last_seen) == ("brood 1", day(1), day(10))


def test_nobody_holds_for_two_months_so_a_new_brood_has_begun(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(60, Holding("F4", "brood 2"))
    assert marit.room.holding == {"F4": "brood 2"}
    assert marit.room.broods["brood 1"].outcome == "lost"
    assert ("brood_ended_unseen", "brood 1") in marit.problems


def test_the_only_adult_male_with_her_is_taken_to_be_the_father(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1"))
    brood = marit.room.broods["brood 1"]
    assert (brood.male, brood.male_taken) == ("M1", True)


@pytest.mark.parametrize(
    ("what", "told"),
    [
        ("two males", [Joined("M2", "male", "2", "lab", "tank 1")]),
        ("he was elsewhere", [Moved("tank 2", fish="M1")]),
        ("he had left", [Left("M1")]),
    ],
)
def test_no_father_is_taken_where_it_is_not_plain(marit: Telling, what: str, told: list) -> None:
    marit.on(1, *told).on(2, Holding("F4", "brood 1"))
    assert marit.room.broods["brood 1"].male is None, what


def test_a_young_male_is_no_father_and_does_not_put_the_old_one_in_doubt(marit: Telling) -> None:
    marit.on(1, Joined("M2", "male", "2", "lab", "tank 1", born=day(-60))).on(2, Holding("F4", "brood 1"))
    assert marit.room.broods["brood 1"].male == "M1"


def test_a_female_put_by_herself_when_seen_holding_was_with_the_male_until_then(marit: Telling) -> None:
    marit.on(2, Moved("box 1", fish="F4"), Holding("F4", "brood 1"))
    assert marit.room.broods["brood 1"].male == "M1"


def test_a_male_of_another_strain_is_not_taken_but_one_that_is_told_makes_hybrids(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", fish="M1")).on(2, Holding("F1", "brood 1"))
    assert marit.room.broods["brood 1"].male is None
    marit.on(3, Spawned("F1", "M1")).on(18, Stripped("F1", "C", 9))
    assert marit.batch("C").hybrid == ("demasoni", "lab")


def test_stripped_fry_become_a_batch_with_its_parents_and_its_clock(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(17, Stripped("F4", "C", 23, eggs=2, dead=1, to="box 1"))
    batch, brood = marit.batch("C"), marit.room.broods["brood 1"]
    assert batch.parentage == Parentage(((("marit/M1", "marit/F4"), 1.0),))
    assert (batch.count, batch.places, batch.spawned, batch.brood) == (23, ("box 1",), day(1), "brood 1")
    assert (brood.outcome, brood.ended, brood.count, brood.eggs, brood.dead, brood.batch) == ("stripped", day(17), 23, 2, 1, "C")
    assert marit.room.holding == {}


def test_stripping_a_female_that_nobody_saw_holding_supposes_a_brood(marit: Telling) -> None:
    marit.on(17, Stripped("F4", "C", 23, to="box 1"))
    (brood,) = marit.room.broods.values()
    assert (brood.supposed, brood.since, brood.male, brood.outcome) == (True, None, "M1", "stripped")
    assert marit.batch("C").count == 23
    assert marit.problems == []


def test_what_is_left_in_her_mouth_and_stripped_next_day_is_the_same_brood(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(17, Stripped("F4", "C", 20)).on(18, Stripped("F4", "C", 3))
    assert list(marit.room.broods) == ["brood 1"]
    assert marit.room.broods["brood 1"].count == 23
    assert marit.batch("C").count == 23


def test_fry_can_be_saved_from_the_mouth_of_a_dead_female(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(17, Died(fish="F4"), Stripped("F4", "C", 11, to="box 1"))
    assert marit.room.broods["brood 1"].outcome == "stripped"
    assert marit.batch("C").count == 11
    assert not marit.room.fish["F4"].alive_here


def test_released_fry_swim_where_she_was(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(22, Released("F4", "C", 15))
    assert marit.batch("C").places == ("tank 1",)
    assert marit.room.broods["brood 1"].outcome == "released"


def test_fry_released_uncounted_enter_the_book_with_the_first_count(marit: Telling) -> None:
    marit.on(22, Released("F4", "C")).on(24, Counted("C", 14))
    (change,) = marit.batch("C").changes
    assert (change.kind, change.count, change.on) == ("released", 14, day(24))
    assert marit.batch("C").places == ("tank 1",)


def test_a_swallowed_brood_is_over(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(5, BroodLost("F4"))
    assert marit.room.holding == {}
    assert marit.room.broods["brood 1"].outcome == "lost"
    marit.on(20, Holding("F4", "brood 2"))
    assert marit.room.holding == {"F4": "brood 2"}


def test_a_loss_told_after_the_stripping_does_not_undo_it(marit: Telling) -> None:
    marit.on(1, Holding("F4", "brood 1")).on(17, Stripped("F4", "C", 20)).on(18, BroodLost("F4"))
    assert marit.room.broods["brood 1"].outcome == "stripped"
    assert ("closed", "brood 1") in marit.problems


def test_still_holding_of_an_unrecorded_female_begins_a_supposed_brood(marit: Telling) -> None:
    marit.on(3, StillHolding("F4"))
    brood = marit.room.brood_of("F4")
    assert brood is not None
    assert (brood.supposed, brood.since) == (True, day(3))


def test_parents_told_later_reach_the_brood_its_batch_and_its_grown_young(marit: Telling) -> None:
    marit.on(1, Joined("M2", "male", "2", "lab", "tank 1"), Holding("F4", "brood 1")).on(17, Stripped("F4", "C", 20))
    marit.on(200, Joined("F7", "female", "7", "lab", from_batch="C")).on(201, Parents("C", sire="M2"))
    pair = Parentage(((("marit/M2", "marit/F4"), 1.0),))
    assert marit.batch("C").parentage == pair
    assert marit.room.fish["F7"].parentage == pair
    assert marit.room.broods["brood 1"].male == "M2"


def test_a_male_cannot_hold_and_a_fish_that_is_gone_neither(marit: Telling) -> None:
    marit.on(1, Holding("M1", "brood 1")).on(2, Left("F5")).on(3, Holding("F5", "brood 2")).on(4, Holding("F44", "brood 3"))
    assert marit.room.broods == {}
    assert marit.problems == [("not_female", "M1"), ("fish_gone", "F5"), ("no_such_fish", "F44")]
