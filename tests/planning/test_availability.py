"""What can be promised, with its reasons: looked at over time, by sex and size, with everything that is spoken for."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
import scipy

from core.fishroom.state import Batch, Change, Fishroom, Group, Offer, Place, UnassignedDeaths
from core.planning.availability import available
from core.planning.promises import Fits, TooMany, decide_reserve, how_it_stands, on_offer
from core.planning.prospects import Prospect
from core.planning.standing import Ask, in_one_boat, standing
from tests.planning.garden import LABS, MORTAL, NOON, REAL, SURE, TODAY, after, batch, everybody_lives, reservation, room


def test_the_answer_names_everything_that_leads_to_it() -> None:
    """24 alive, 6 promised, 2 held back; everybody lives, so plain arithmetic leaves 16."""
    found = room([batch(held_back=(("unsexed", 2),))], [reservation(1, 6, 12)])
    answer = available(how_it_stands(found, found.batches["B"], SURE), Ask(3, day=after(12)), 0.9)
    assert (answer.alive, answer.expected, answer.promised, answer.promises, answer.held_back) == (24, 24, 6, 1, 2)
    assert answer.can_promise == 16


def test_what_is_counted_today_is_certain() -> None:
    found = room([batch()])
    answer = available(how_it_stands(found, found.batches["B"], REAL), Ask(24, day=TODAY), 0.99)
    assert answer.can_promise == 24


def test_fewer_can_be_promised_the_later_the_day() -> None:
    found = room([batch()])
    how = how_it_stands(found, found.batches["B"], MORTAL)
    numbers = [available(how, Ask(1, day=after(days)), 0.9).can_promise for days in (0, 14, 60, 150)]
    assert numbers == sorted(numbers, reverse=True)
    assert numbers[0] == 24
    assert numbers[-1] < 24


def test_a_single_promise_is_the_beta_binomial_quantile() -> None:
    """Reference: scipy, the beta-binomial mixture over a daily survival of Beta(1497, 3), forty days on, by quadrature."""
    found = room([batch()])
    can = available(how_it_stands(found, found.batches["B"], MORTAL), Ask(1, day=after(40)), 0.9).can_promise
    shares = scipy.stats.beta.ppf([(i + 0.5) / 20000 for i in range(20000)], 1497, 3) ** 40
    chance = {n: scipy.stats.binom.sf(n - 1, 24, shares).mean() for n in (can, can + 1)}
    assert chance[can] >= 0.9 > chance[can + 1]


def test_a_promise_for_april_does_not_eat_what_was_promised_for_may() -> None:
    """20 of 24 are promised for May: whatever is asked for April comes out of the other four, less the losses to expect."""
    found = room([batch()], [reservation(1, 20, 45)])
    how = how_it_stands(found, found.batches["B"], MORTAL)
    alone = how_it_stands(room([batch()]), batch(), MORTAL)
    assert available(alone, Ask(1, day=after(5)), 0.9).can_promise >= 22
    april = available(how, Ask(1, day=after(5)), 0.9).can_promise
    assert april <= 4
    assert how.chance((*how.promises, *(replace(how.promises[0], day=after(5)).of(april),))) >= 0.9 or april == 0


def test_a_fish_too_small_in_april_may_be_right_in_may() -> None:
    found = room([batch()])
    b = found.batches["B"]
    april = decide_reserve(found, b, Ask(6, min_mm=40, day=after(7)), REAL)
    assert isinstance(april, TooMany)
    assert april.reason == "too_small"
    assert april.first_day is not None
    assert april.first_day > after(7)
    assert isinstance(decide_reserve(found, b, Ask(6, min_mm=40, day=april.first_day), REAL), Fits)


def test_sexed_fish_can_be_asked_for_by_sex_at_any_size() -> None:
    found = room([batch(unsexed=0, males=5, females=9)], [reservation(1, 3, 10, sex="female")])
    how = how_it_stands(found, found.batches["B"], SURE)
    assert available(how, Ask(1, "female", day=after(10)), 0.9).can_promise == 6
    assert available(how, Ask(1, "male", day=after(10)), 0.9).can_promise == 5
    assert available(how, Ask(1, day=after(10)), 0.9).can_promise == 11


def test_fish_of_either_sex_do_not_use_up_the_females_that_were_promised() -> None:
    found = room([batch(unsexed=0, males=3, females=5)], [reservation(1, 5, 30, sex="female")])
    how = how_it_stands(found, found.batches["B"], SURE)
    assert available(how, Ask(1, day=after(3)), 0.9).can_promise == 3


def test_females_of_an_unsexed_batch_are_promised_with_the_ratio_in_doubt() -> None:
    """Reference: scipy.stats.betabinom; a male share of Beta(10, 10), 24 fish that all live."""
    found = room([batch()])
    can = available(how_it_stands(found, found.batches["B"], SURE), Ask(1, "female", day=after(3)), 0.9).can_promise
    assert can == max(n for n in range(25) if scipy.stats.betabinom.cdf(24 - n, 24, 10, 10) >= 0.9)


def test_unsexed_fish_are_not_promised_by_sex_before_they_can_be_told_apart() -> None:
    found = room([batch(spawned=after(-90))])
    decision = decide_reserve(found, found.batches["B"], Ask(2, "female", day=after(10)), REAL)
    assert isinstance(decision, TooMany)
    assert decision.reason == "not_sexable"


def test_known_males_are_kept_apart_from_young_that_show_no_sex_yet() -> None:
    found = room([batch(unsexed=12, males=4, females=0, spawned=after(-90))])
    assert isinstance(decide_reserve(found, found.batches["B"], Ask(3, "male", day=after(1)), REAL), Fits)


def test_hybrids_are_offered_as_neither_strain() -> None:
    found = room([batch(hybrid=("saulosi", LABS)), batch("C")])
    assert [one.id for one in on_offer(found, LABS)] == ["C"]
    assert on_offer(found, "saulosi") == []


def test_an_unconfirmed_hold_lapses_without_anybodys_doing() -> None:
    held = reservation(1, 20, 10, status="unconfirmed", hold_until=NOON + timedelta(hours=1))
    found = room([batch()], [held])
    before = available(standing(found, found.batches["B"], TODAY, NOON, prospects=SURE.prospects), Ask(1, day=after(5)), 0.9)
    later = NOON + timedelta(hours=1)
    after_it = available(standing(found, found.batches["B"], TODAY, later, prospects=SURE.prospects), Ask(1, day=after(5)), 0.9)
    assert (before.can_promise, after_it.can_promise) == (4, 24)


def test_only_what_was_offered_is_for_sale() -> None:
    offered = Offer(after(-10), count=8, sex="female", from_day=after(20))
    sold = (Change(after(-3), "sold", -2, 9),)
    promised = reservation(1, 3, 30, made=NOON, sex="female")
    found = room([batch(unsexed=0, males=10, females=14, offer=offered, changes=sold)], [promised])
    b = found.batches["B"]
    ask = Ask(3, "female", day=after(30))
    assert isinstance(decide_reserve(found, b, ask, SURE), Fits)
    reasons = {
        "offered_number": replace(ask, count=4),
        "other_sex": replace(ask, sex="male"),
        "not_yet": replace(ask, day=after(5)),
    }
    for reason, other in reasons.items():
        refused = decide_reserve(found, b, other, SURE)
        assert isinstance(refused, TooMany)
        assert refused.reason == reason
    assert isinstance(decide_reserve(found, b, replace(ask, count=6), SURE, by_keeper=True), Fits)


def test_a_death_nobody_could_assign_lowers_what_both_batches_can_promise() -> None:
    """One death among 12 and 12: either may have lost it. Alone each could promise 12 for today, together 23 are there."""
    deaths = UnassignedDeaths(after(-1), "tub", 1, ("B", "C"), 7)
    found = room([batch(unsexed=12), batch("C", unsexed=12)], unassigned=[deaths])
    how = how_it_stands(found, found.batches["B"], SURE)
    assert [mate.id for mate in in_one_boat(found, found.batches["B"])] == ["C"]
    assert available(how, Ask(1, day=TODAY), 0.9).can_promise == 11
    assert available(how, Ask(1, day=TODAY), 0.9).unassigned_deaths == 1


def test_batches_in_one_boat_never_promise_more_together_than_swims() -> None:
    """At even odds each of two batches of ten would still promise ten; together only nineteen are there."""
    deaths = UnassignedDeaths(after(-1), "tub", 1, ("B", "C"), 7)
    found = room([batch(unsexed=10), batch("C", unsexed=10)], [reservation(1, 10, 0, batch="C")], unassigned=[deaths])
    how = how_it_stands(found, found.batches["B"], SURE)
    assert available(how, Ask(1, day=TODAY), 0.5).can_promise == 9


def test_a_number_told_as_about_is_not_promised_to_the_last_fish() -> None:
    found = room([batch(unsexed=30, approx=True)])
    can = available(how_it_stands(found, found.batches["B"], SURE), Ask(1, day=TODAY), 0.9).can_promise
    assert 25 <= can < 30


def test_a_promise_without_a_day_must_outlast_four_weeks() -> None:
    found = room([batch()], [reservation(1, 5)])
    how = how_it_stands(found, found.batches["B"], MORTAL)
    assert [promise.day for promise in how.promises] == [after(28)]
    assert how.promises[0].dated is False


def test_a_pickup_that_has_passed_is_owed_today() -> None:
    found = room([batch()], [reservation(1, 5, -3)])
    assert how_it_stands(found, found.batches["B"], SURE).promises[0].day == TODAY


def test_a_batch_in_two_waters_counts_with_both() -> None:
    groups = (Group("tub", "unsexed", 14), Group("tank 1", "unsexed", 10))
    found = room([replace(batch(), groups=groups)])
    found.places["tank 1"] = Place("tank 1", "tank", 240.0, 24.0)
    answer = available(how_it_stands(found, found.batches["B"], REAL), Ask(1, min_mm=30, day=after(20)), 0.9)
    assert answer.alive == 24
    assert 0 < answer.can_promise <= answer.expected


@pytest.mark.parametrize("level", [0.5, 0.9, 0.99])
def test_a_stricter_level_promises_no_more(level: float) -> None:
    found = room([batch()])
    how = how_it_stands(found, found.batches["B"], MORTAL)
    now, stricter = (available(how, Ask(1, day=after(60)), asked).can_promise for asked in (level, level + 0.009))
    assert now >= stricter


def small_and_sexed(found: Fishroom, of: Batch, today: date) -> Prospect:
    """All live, and none grows so long that the unsexed could be told apart: only known males and females are males and females."""
    return replace(everybody_lives(found, of, today), sexable_mm=10_000.0)


def test_whoever_takes_either_sex_is_served_from_the_sexed_too() -> None:
    """22 fish, 8 of them promised by sex: the other 14 can be promised to whoever takes any, though only four are unsexed."""
    found = room([batch(unsexed=4, males=8, females=10)], [reservation(1, 8, 10, males=2, females=6)])
    how = standing(found, found.batches["B"], TODAY, NOON, prospects=small_and_sexed)
    assert available(how, Ask(14, day=after(5)), 0.9).can_promise == 14
    assert available(how, Ask(5, "female", day=after(5)), 0.9).can_promise == 4
