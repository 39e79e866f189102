"""What members read about fish that are promised, refused, short, waited for, fetched and sold."""

from dataclasses import replace
from datetime import time, timedelta
from decimal import Decimal

import pytest

from bot.replies import fetching, orders, selling
from bot.replies.words import Style
from core.fishroom.state import Absence, Batch, Change, Club, CountSaid, Fishroom, FreeTime, Offer, Place, Reservation, Wish
from core.planning.availability import available
from core.planning.books import batch_journal, books
from core.planning.pickup_tasks import pickup_tasks
from core.planning.pickups import DoesNotSuit, catch_plan, proposals, suits
from core.planning.promises import TooMany, decide_reserve, how_it_stands, shortfalls
from core.planning.shelf import shelf_rows
from core.planning.standing import Ask
from core.planning.waiting import next_offers
from tests.planning.garden import LABS, NOON, REAL, SURE, TODAY, after, batch, reservation, room

METRIC = Style(TODAY)
AMERICAN = Style(TODAY, dates="MDY", units="us", currency="USD")
NAMES = {"buyer 1": "Oleg", "buyer 2": "Priya", "buyer 3": "Tomek"}


def answered(found: Fishroom, ask: Ask, style: Style = METRIC) -> str:
    return orders.availability(available(how_it_stands(found, found.batches["B"], SURE), ask, 0.9), style, found)


def refused(found: Fishroom, ask: Ask, style: Style = METRIC) -> str:
    decision = decide_reserve(found, found.batches["B"], ask, SURE)
    assert isinstance(decision, TooMany)
    return orders.too_many(decision, style, found)


def test_an_answer_says_what_became_of_every_fish() -> None:
    found = room([batch(held_back=(("unsexed", 2),))], [reservation(1, 6, 30)])
    text = answered(found, Ask(3, day=after(12)))
    assert "24 alive now" in text
    assert "Sat 18 Apr" in text
    assert "6 promised to 1 other, 2 held back: 16 can be promised" in text


def test_an_american_member_reads_inches_and_the_month_first() -> None:
    text = answered(room([batch(spawned=after(-300))]), Ask(3, min_mm=50.8, day=after(12)), AMERICAN)
    assert "at 2 in by Sat Apr 18" in text


def test_a_refusal_says_what_comes() -> None:
    later = batch("C", unsexed=10, offer=Offer(after(-1), from_day=after(40)))
    text = refused(room([batch(unsexed=6), later], [reservation(1, 6, 10)]), Ask(4, day=after(7)))
    assert "gone" in text
    assert "4 come in" in text
    assert "batch C" in text


@pytest.mark.parametrize(
    ("of", "ask", "words"),
    [
        (batch(offer=None), Ask(2), "not on offer"),
        (batch(offer=Offer(after(-1), from_day=after(30))), Ask(2, day=after(3)), "Wed 6 May"),
        (batch(offer=Offer(after(-1), count=3)), Ask(5), "offers 3 more"),
        (batch(unsexed=0, males=4, females=2), Ask(4, "female", day=after(3)), "4 females"),
        (batch(spawned=after(-90)), Ask(4, min_mm=60.0, day=after(3)), "6 cm by Thu 9 Apr"),
        (batch(), Ask(30), "30 fish cannot be promised"),
    ],
)
def test_every_refusal_gives_its_reason(of: Batch, ask: Ask, words: str) -> None:
    assert words in refused(room([of]), ask)


def test_a_mix_is_read_as_it_was_asked() -> None:
    assert orders.fish(5, None, 1, 4) == "1 male and 4 females"
    assert orders.fish(6, None, 1, 3) == "1 male, 3 females and 2 of either sex"
    assert orders.fish(6, "unsexed", None, None) == "6 fish"


def test_a_reservation_says_number_fish_day_and_what_is_left_to_do() -> None:
    found = room([batch()], [reservation(12, 5, 12, males=1, females=4, at=time(15)), reservation(13, 2)])
    text = orders.reserved(found.reservations[12], METRIC, found)
    assert "#12" in text
    assert "1 male and 4 females" in text
    assert "Sat 18 Apr at 15:00" in text
    assert orders.reserved(found.reservations[13], METRIC, found).endswith("When would you like to fetch them?")


def test_both_sides_learn_of_a_shortfall_with_their_choices() -> None:
    found = room([batch(unsexed=8), batch("C", unsexed=9)], [reservation(1, 6, 20), reservation(2, 4, 10, deposit=Decimal(10))])
    (short,) = shortfalls(found, SURE)
    for_keeper = orders.shortfall_for_keeper(short, METRIC, found, NAMES)
    for words in ("#2", "Priya", "2 of 4", "batch C", "fewer (2)", "€10.00"):
        assert words in for_keeper
    for_buyer = orders.shortfall_for_buyer(short, METRIC, found)
    assert "Your reservation #2" in for_buyer
    assert "Oleg" not in for_buyer


def test_whose_turn_it_is_reads_until_when_to_answer() -> None:
    wish = Wish(3, "buyer 1", LABS, 6, NOON - timedelta(days=3))
    (offer,) = next_offers(Club("circle", wishes={3: wish}), {"north": room([batch(unsexed=4)])}, SURE)
    text = orders.offer_to_wish(offer, METRIC, room([batch(unsexed=4)]), "Marit", "Wed 8 Apr 14:00")
    for words in ("Marit has 4 fish of the 6", "batch B", "until Wed 8 Apr 14:00"):
        assert words in text


def test_a_day_that_does_not_suit_comes_with_days_that_do() -> None:
    found = room([batch()], [reservation(1, 4)], free=FreeTime((5,)), absences=[Absence(after(5), after(6))])
    why = suits(found, found.reservations[1], after(5), None, TODAY)
    assert isinstance(why, DoesNotSuit)
    assert fetching.does_not_suit(why, after(5), METRIC, "Marit").startswith("Marit is away on Sat 11 Apr. Sat 18 Apr")


def test_a_proposal_says_what_stands_meanwhile() -> None:
    found = room([batch()], [reservation(1, 4, 5, proposed=(after(8), time(10), "marit"))])
    text = fetching.proposed(proposals(found, NOON)[0], METRIC, "Marit")
    assert "Tue 14 Apr at 10:00" in text
    assert "Until you agree, Sat 11 Apr stands." in text


def pond(*reservations: Reservation) -> Fishroom:
    found = room([batch(place="pond")], reservations)
    found.places["pond"] = Place("pond", "pond", 3000.0, 24.0, hard_to_catch=True)
    return found


def test_the_keeper_reads_what_to_catch_where_it_waits_and_not_to_feed() -> None:
    found = pond(reservation(1, 4, 5), reservation(2, 6, 6))
    (task,) = pickup_tasks(found, after(4), NOON)
    text = fetching.task(task, replace(METRIC, today=after(4)), found, NAMES)
    for words in ("Catch 10 of batch B from pond", "Oleg and Priya", "holding tank", "no food", "Dry hands"):
        assert words in text
    plan = fetching.catch_plan(catch_plan(found, TODAY, NOON), METRIC, found, NAMES)
    assert "Fri 10 Apr: catch 10 fish from pond for Oleg and Priya" in plan


def test_a_pickup_that_cannot_be_caught_for_is_told_with_a_way_out() -> None:
    found = pond(reservation(1, 4, 0))
    text = fetching.task(pickup_tasks(found, TODAY, NOON)[0], METRIC, found, NAMES)
    assert "has passed" in text
    assert "propose another day" in text


def test_the_bags_are_counted_on_the_day() -> None:
    found = room([batch()], [reservation(1, 12, 0, at=time(15))])
    text = fetching.task(pickup_tasks(found, TODAY, NOON)[0], METRIC, found, NAMES)
    assert "Oleg fetches 12 of batch B at 15:00 (#1)" in text
    assert "bag" in text


def test_the_weekly_post_tells_now_from_later() -> None:
    rows = [
        *shelf_rows(room([batch(spawned=after(-300), offer=Offer(after(-9), price=Decimal(5)))]), REAL),
        *shelf_rows(room([batch("D", spawned=after(-60))]), REAL),
    ]
    text = selling.weekly_post(rows, METRIC, {LABS: "yellow labs"}, {"north": "Marit"}, ["6 saulosi"])
    now, coming, wanted = text.split("\n\n")
    assert "Marit's batch B" in now
    assert "€5.00 each" in now
    assert "nine in ten by" in coming
    assert "6 saulosi" in wanted


def test_the_books_read_as_a_line_a_season() -> None:
    changes = (Change(after(-90), "stripped", 20, 1), Change(after(-9), "sold", -4, 2, to="buyer 1", price=Decimal(20)))
    found = room([batch(unsexed=16, changes=changes, counts=(CountSaid(after(-5), 16, 16),))])
    text = selling.books(books(found), 0, METRIC)
    assert text.startswith("2026: 20 raised, 4 sold; income €20.00.")
    journal = selling.batch_journal(batch_journal(found, "B"), METRIC, "B", NAMES)
    assert "4 sold to Oleg for €20.00, 16 in the book" in journal
    assert "counted 16 (the book said 16)" in journal
