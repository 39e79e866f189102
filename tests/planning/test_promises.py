"""Who is promised what: earliest promise first, never more than there is; and what happens when there is less."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from core.fishroom.choices import level_of
from core.fishroom.state import Club, Fishroom, Offer, Reservation
from core.planning.promises import (
    Fits,
    Now,
    TooMany,
    decide_change,
    decide_confirm,
    decide_reserve,
    how_it_stands,
    propose_parts,
    shortfalls,
)
from core.planning.standing import Ask
from tests.planning.garden import LABS, MORTAL, NOON, SURE, after, batch, reservation, room


def test_the_earliest_promise_is_kept_first() -> None:
    """Nine fish are left for 6 and 5: the first in the row keeps all of its fish though it fetches them later."""
    found = room([batch(unsexed=9)], [reservation(1, 6, 20), reservation(2, 5, 10)])
    short = shortfalls(found, SURE)
    assert [(one.reservation.number, one.can, one.missing, one.cause) for one in short] == [(2, 3, 2, "number")]


def test_nobody_is_silently_short() -> None:
    found = room([batch(unsexed=4)], [reservation(n, 3, 10) for n in (1, 2, 3)])
    assert [(one.reservation.number, one.can) for one in shortfalls(found, SURE)] == [(2, 1), (3, 0)]


def test_a_batch_that_died_out_leaves_everybody_short() -> None:
    found = room([batch(unsexed=0)], [reservation(1, 3, 10)])
    assert [one.can for one in shortfalls(found, SURE)] == [0]


def test_a_shortfall_by_sex_is_told_from_one_by_number() -> None:
    found = room([batch(unsexed=0, males=9, females=1)], [reservation(1, 3, 10, sex="female")])
    assert [(one.cause, one.can) for one in shortfalls(found, SURE)] == [("sex", 1)]


def test_a_shortfall_by_size_names_the_day_when_they_are_long_enough() -> None:
    found = room([batch(spawned=after(-110))], [reservation(1, 8, 5, min_mm=38.0)])
    (short,) = shortfalls(found, MORTAL)
    assert short.cause == "size"
    assert short.later is not None
    assert short.later > after(5)


def test_another_batch_on_offer_is_a_way_out() -> None:
    found = room([batch(unsexed=2), batch("C", unsexed=9), batch("D", unsexed=20, offer=None)], [reservation(1, 6, 10)])
    (short,) = shortfalls(found, SURE)
    assert [(other.batch, other.count) for other in short.others] == [("C", 6)]


def test_a_size_that_will_be_missed_does_not_block_fish_nobody_waits_for() -> None:
    """One buyer was promised 4 long fish that will not be long in time; 20 fish are spoken for by nobody."""
    found = room([batch(spawned=after(-80))], [reservation(1, 4, 5, min_mm=60.0)])
    decision = decide_reserve(found, found.batches["B"], Ask(10, day=after(5)), MORTAL)
    assert isinstance(decision, Fits)
    assert decision.availability.can_promise <= 20


def test_when_all_is_promised_the_refusal_says_what_comes() -> None:
    later = batch("C", unsexed=10, offer=Offer(after(-1), from_day=after(40)))
    found = room([batch(unsexed=6), later], [reservation(1, 6, 10)])
    refused = decide_reserve(found, found.batches["B"], Ask(4, day=after(7)), SURE)
    assert isinstance(refused, TooMany)
    assert refused.reason == "gone"
    assert refused.fewer == 0
    assert refused.coming is not None
    assert (refused.coming.batch, refused.coming.count) == ("C", 4)
    assert refused.coming.day >= after(40)


def test_a_buyers_limit_counts_what_they_hold() -> None:
    found = room([batch()], [reservation(1, 4, 10, member="Oleg")], settings={"buyer_limit": "6"})
    b = found.batches["B"]
    assert isinstance(decide_reserve(found, b, Ask(2, day=after(5)), SURE, member="Oleg"), Fits)
    refused = decide_reserve(found, b, Ask(3, day=after(5)), SURE, member="Oleg")
    assert isinstance(refused, TooMany)
    assert (refused.reason, refused.fewer, refused.limit) == ("buyer_limit", 2, 6)
    assert isinstance(decide_reserve(found, b, Ask(3, day=after(5)), SURE, member="Priya"), Fits)


def test_fewer_of_the_same_can_always_be_had() -> None:
    found = room([batch(unsexed=5)], [reservation(1, 5, 10), reservation(2, 4, 10)])
    second = found.reservations[2]
    assert isinstance(decide_change(found, 2, replace(second, count=1), SURE), Fits)
    assert isinstance(decide_change(found, 2, replace(second, count=5), SURE), TooMany)


def test_a_hold_that_lapsed_must_fit_anew() -> None:
    lapsed = reservation(1, 6, 10, status="unconfirmed", hold_until=NOON - timedelta(hours=1))
    taken = room([batch(unsexed=8)], [lapsed, reservation(2, 5, 10)])
    assert isinstance(decide_confirm(taken, 1, SURE), TooMany)
    free = room([batch(unsexed=12)], [lapsed, reservation(2, 5, 10)])
    assert isinstance(decide_confirm(free, 1, SURE), Fits)


def test_one_batch_with_the_least_to_spare_is_proposed_first() -> None:
    rooms = {"north": room([batch(unsexed=20), batch("C", unsexed=7)])}
    proposal = propose_parts(rooms, LABS, Ask(6, day=after(5)), SURE)
    assert [(part.batch, part.ask.count) for part in proposal.parts] == [("C", 6)]


def test_parts_from_several_keepers_are_few_and_add_up() -> None:
    rooms = {"north": room([batch(unsexed=5)]), "south": room([batch("C", unsexed=9), batch("D", unsexed=2)])}
    proposal = propose_parts(rooms, LABS, Ask(14, day=after(5)), SURE)
    assert [(part.room, part.batch, part.ask.count) for part in proposal.parts] == [("south", "C", 9), ("north", "B", 5)]
    assert proposal.missing == 0
    assert propose_parts(rooms, LABS, Ask(20, day=after(5)), SURE).missing == 4


def test_a_mix_of_sexes_may_come_from_two_batches() -> None:
    rooms = {"north": room([batch(unsexed=0, males=3), batch("C", unsexed=0, females=6)])}
    proposal = propose_parts(rooms, LABS, Ask(5, males=1, females=4, day=after(5)), SURE)
    assert [(part.batch, part.ask.count, part.ask.sex) for part in proposal.parts] == [("B", 1, "male"), ("C", 4, "female")]


def test_the_clubs_level_is_read_as_share_or_percentage() -> None:
    for said, level in (("0.8", 0.8), ("95%", 0.95), ("95", 0.95), ("often", 0.9)):
        assert level_of(Club("c", settings={"promise_level": said})) == level


# --- laws ------------------------------------------------------------------------------------------------------------

asks = st.builds(
    Ask,
    count=st.integers(1, 9),
    sex=st.sampled_from([None, None, "male", "female"]),
    min_mm=st.sampled_from([None, None, 30.0]),
    day=st.one_of(st.none(), st.integers(0, 90).map(after)),
)


def book(found: Fishroom, ask: Ask, number: int) -> None:
    found.reservations[number] = Reservation(
        number, f"buyer {number}", "B", ask.count, NOON, "confirmed", sex=ask.sex, pickup=ask.day, min_mm=ask.min_mm
    )


@settings(max_examples=15, deadline=None)
@given(
    males=st.integers(0, 6),
    females=st.integers(0, 6),
    unsexed=st.integers(0, 15),
    held=st.integers(0, 3),
    row=st.lists(asks, max_size=7),
    level=st.sampled_from([0.5, 0.9]),
)
def test_no_row_of_decisions_ever_promises_more_than_swims(
    males: int, females: int, unsexed: int, held: int, row: list[Ask], level: float
) -> None:
    found = room([batch(unsexed=unsexed, males=males, females=females, held_back=(("unsexed", held),))])
    now = Now(MORTAL.today, MORTAL.moment, level, MORTAL.prospects)
    for number, ask in enumerate(row, 1):
        if isinstance(decide_reserve(found, found.batches["B"], ask, now), Fits):
            book(found, ask, number)
            how = how_it_stands(found, found.batches["B"], now)
            assert how.promised + how.stock.held <= how.stock.count
            assert sum(p.males for p in how.promises) <= males + unsexed
            assert sum(p.females for p in how.promises) <= females + unsexed
            assert how.chance(how.promises) >= level - 1e-6
    assert shortfalls(found, now) == ()


@settings(max_examples=10, deadline=None)
@given(row=st.lists(asks, min_size=1, max_size=6), lost=st.integers(0, 20))
def test_losses_leave_the_front_of_the_row_whole(row: list[Ask], lost: int) -> None:
    """After any loss: what can be counted on adds up to no more than swims, and nobody later is served before an earlier one."""
    found = room([batch(unsexed=20)])
    for number, ask in enumerate(row, 1):
        if isinstance(decide_reserve(found, found.batches["B"], ask, SURE), Fits):
            book(found, ask, number)
    found.batches["B"] = batch(unsexed=20 - lost)
    short = {one.reservation.number: one.can for one in shortfalls(found, SURE)}
    promised = {number: short.get(number, r.count) for number, r in found.reservations.items()}
    assert sum(promised.values()) <= 20 - lost
    if short and all(r.sex is None and r.min_mm is None for r in found.reservations.values()):
        left = 20 - lost
        for number, r in found.reservations.items():
            assert promised[number] == min(r.count, left)
            left -= promised[number]
