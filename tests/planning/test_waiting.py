"""The waiting list: first come first served, with time to answer before the next is asked."""

from dataclasses import replace
from datetime import timedelta

from core.fishroom.state import Club, Offer, Passed, Wish
from core.planning.promises import Now
from core.planning.waiting import lapsed, next_offers, place_in_row, waiting
from tests.planning.garden import LABS, NOON, SURE, TODAY, after, batch, reservation, room


def wish(number: int, count: int, **more: object) -> Wish:
    return Wish(number, f"buyer {number}", LABS, count, NOON - timedelta(days=30 - number), **more)  # type: ignore[arg-type]


def club(*wishes: Wish, **settings: str) -> Club:
    return Club("circle", wishes={one.number: one for one in wishes}, settings=settings)


def asked(wishes: Club, fish: int = 8, now: Now = SURE) -> list[tuple[int, int]]:
    offers = next_offers(wishes, {"north": room([batch(unsexed=fish, offer=Offer(after(-90)))])}, now)
    return [(offer.wish.number, offer.count) for offer in offers]


def test_who_wished_first_is_asked_first() -> None:
    assert asked(club(wish(2, 4), wish(1, 6))) == [(1, 6), (2, 2)]


def test_two_members_are_never_asked_about_the_same_fish() -> None:
    running = wish(1, 6, status="offered", offer=("north", "B", 6, NOON + timedelta(hours=5)))
    assert asked(club(running, wish(2, 4))) == [(2, 2)]


def test_after_the_time_to_answer_the_next_is_asked_about_them() -> None:
    late = wish(1, 6, status="offered", offer=("north", "B", 6, NOON))
    wishes = club(late, wish(2, 4))
    assert [one.number for one in lapsed(wishes, NOON)] == [1]
    assert asked(wishes) == [(2, 4)]


def turned_down(count: int, days_ago: int = 1) -> Passed:
    return Passed("north", "B", count, NOON - timedelta(days=days_ago), said=True)


def unanswered(count: int, days_ago: int) -> Passed:
    return Passed("north", "B", count, NOON - timedelta(days=days_ago), said=False)


def test_what_was_passed_is_not_offered_again() -> None:
    assert asked(club(wish(1, 6, passed=(turned_down(6),)), wish(2, 3))) == [(2, 3)]
    assert asked(club(wish(1, 6, passed=(turned_down(6, 60),)), wish(2, 3)), fish=30) == [(2, 3)]


def test_who_turned_down_a_part_is_asked_when_all_can_be_had() -> None:
    part = club(wish(1, 6, passed=(turned_down(3),)))
    assert asked(part, fish=3) == []
    assert asked(part, fish=8) == [(1, 6)]


def test_who_turned_down_fish_is_asked_again_when_they_are_offered_anew() -> None:
    anew = {"north": room([replace(batch(unsexed=8), offer=Offer(after(0)))])}
    assert [offer.count for offer in next_offers(club(wish(1, 6, passed=(turned_down(6),))), anew, SURE)] == [6]


def test_silence_is_asked_once_more_after_two_weeks() -> None:
    assert asked(club(wish(1, 6, passed=(unanswered(6, 13),)))) == []
    assert asked(club(wish(1, 6, passed=(unanswered(6, 14),)))) == [(1, 6)]
    assert asked(club(wish(1, 6, passed=(unanswered(6, 40), unanswered(6, 20))))) == []


def test_a_wish_past_its_day_no_longer_waits() -> None:
    wishes = club(wish(1, 6, by_day=after(-1)), wish(2, 3, by_day=after(0)))
    assert [one.number for one in waiting(wishes, TODAY)] == [2]


def test_promised_fish_are_nobodys_wish() -> None:
    found = room([batch(unsexed=8)], [reservation(1, 8, 20)])
    assert next_offers(club(wish(1, 1)), {"north": found}, SURE) == []


def test_nobody_is_offered_the_own_fish() -> None:
    rooms = {"north": room([batch()])}
    assert next_offers(club(wish(1, 2)), rooms, SURE, {"north": ["buyer 1"]}) == []


def test_nobody_is_asked_about_more_than_the_keeper_lets_one_buyer_have() -> None:
    rooms = {"north": room([batch()], settings={"buyer_limit": "4"})}
    assert [offer.count for offer in next_offers(club(wish(1, 6)), rooms, SURE)] == [4]


def test_the_time_to_answer_is_the_clubs() -> None:
    (offer,) = next_offers(club(wish(1, 2), answer_hours="24"), {"north": room([batch()])}, SURE)
    assert offer.until == NOON + timedelta(hours=24)


def test_males_and_females_are_different_rows() -> None:
    wishes = club(wish(1, 2, sex="female"), wish(2, 2, sex="male"), wish(3, 2))
    assert [place_in_row(wishes, wishes.wishes[number], TODAY) for number in (1, 2, 3)] == [1, 1, 3]


def test_the_wish_knows_its_place_in_the_row() -> None:
    wishes = club(wish(1, 2), wish(2, 2), wish(3, 2))
    assert [place_in_row(wishes, wishes.wishes[number], TODAY) for number in (1, 2, 3)] == [1, 2, 3]
