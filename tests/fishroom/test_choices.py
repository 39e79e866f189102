"""What was chosen is understood however it was written, and nonsense chooses nothing."""

import pytest

from core.fishroom import choices
from core.fishroom.state import Club, Fishroom, Place


def room(**said: str) -> Fishroom:
    return Fishroom("r1", settings=said, places={"holding tank": Place("holding tank", "tank")})


def club(**said: str) -> Club:
    return Club("c1", settings=said)


@pytest.mark.parametrize(("said", "yes"), [("yes", True), (" On ", True), ("public", True), ("no", False), ("", False)])
def test_a_yes_is_a_yes_in_several_words(said: str, yes: bool) -> None:
    assert choices.confirms_by_hand(room(confirm_by_hand=said)) is yes
    assert choices.shelf_is_public(club(shelf_public=said)) is yes


@pytest.mark.parametrize("said", ["", "many", "-2", "²", "1.5"])
def test_what_is_no_number_leaves_what_usually_holds(said: str) -> None:
    found = room(hold_days=said, buyer_limit=said, fasting_days=said, catch_days=said)
    assert (choices.hold_days(found), choices.buyer_limit(found), choices.waiting_days(found)) == (3, None, (3, 1))


def test_numbers_are_taken_and_a_limit_of_none_is_no_limit() -> None:
    found = room(hold_days="7", buyer_limit="0", fasting_days="2", catch_days="1")
    assert (choices.hold_days(found), choices.buyer_limit(found), choices.waiting_days(found)) == (7, None, (2, 2))


def test_a_kit_counts_in_one_of_two_ways_or_nobody_said() -> None:
    assert [choices.kit_unit(room(kit_unit=said)) for said in ("N", "NH3", "mg", "")] == ["N", "NH3", None, None]
    assert [choices.fishroom_value("kit_unit", said) for said in ("as NH3", "nh 3", "n")] == ["NH3", "NH3", "N"]


def test_caught_fish_wait_in_a_place_that_stands_here() -> None:
    assert choices.holding_place(room(holding_place="holding tank")) == "holding tank"
    assert choices.holding_place(room(holding_place="shed")) is None


@pytest.mark.parametrize(("said", "hours"), [("24", 24), ("0", 1), ("soon", 48)])
def test_there_is_always_an_hour_to_answer(said: str, hours: float) -> None:
    assert choices.answer_hours(club(answer_hours=said)) == hours
    assert choices.answer_hours(club()) == 48


def test_every_choice_by_its_name_is_kept_in_one_form() -> None:
    assert choices.fishroom_value("confirm_by_hand", "TRUE") == "yes"
    assert choices.fishroom_value("hold_days", "5 days") == "5"
    assert [choices.club_value("promise_level", said) for said in ("95%", "0.8", "20", "high")] == ["0.95", "0.8", None, None]
