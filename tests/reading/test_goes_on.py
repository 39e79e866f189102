"""What a later word leans on: the place, the fish, the person or the number that the message has just told of."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

Told = Callable[[str], Any]


@pytest.fixture
def told(reading_of: Callable[..., Any], wednesday: datetime) -> Told:
    """Each event as "kind slot=value …", today left out; else the result, with what it asks about or for."""

    def plainly(text: str) -> Any:
        reading = reading_of(text)
        if reading["result"] != "events":
            return f"{reading['result']} {reading.get('about') or reading.get('query', {}).get('kind', '')}".strip()
        events = [*reading["events"], *([reading["query"]] if "query" in reading else [])]
        return [" ".join(str(value) for value in event.values() if value != wednesday.date().isoformat()) for event in events]

    return plainly


def in_any_order(events: list[str]) -> list[set[str]]:
    """The words of each event: in which order its slots are told means nothing."""
    return [set(event.split()) for event in events]


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("moved M to tub, temp 26c", ["moved M big tub", "water_tested big tub 26.0"]),
        ("fed tank 2, temp 26c", ["fed tank 2", "water_tested tank 2 26.0"]),
        ("2 new female mainganos into tank 2, 40% wc there", ["joined tank 2 female 2 maingano", "water_changed tank 2 40"]),
        ("stripped 11: 24 fry, box 5. 1 dead in there", ["stripped 11 24 box 5", "died box 5 1"]),
        ("moved M to box 5, whats in there now?", ["moved M box 5", "contents box 5"]),
    ],
)
def test_there_is_the_place_just_spoken_of(text: str, events: list[str], told: Told) -> None:
    assert told(text) == events


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("otto jumped out, hes dead", ["died 2"]),
        ("f3 jumped out, she is dead", ["died 3"]),
        ("duchess spawned w/ otto and is holding", ["spawned 10 2", "holding 10"]),
        ("f1 holding!! bruno is the father", ["holding 1 1"]),
        ("f1 spawned. dad is m1", ["spawned 1 1"]),
        ("saw f1 spawn w male 1", ["spawned 1 1"]),
        ("f1 + m1 did the deed, spawned on the 20th", ["spawned 1 1 2026-08-20"]),
        ("f3 holding since the 20th, 11 still holding", ["holding 3 2026-08-20", "still_holding 11"]),
    ],
)
def test_a_fish_is_spoken_of_again(text: str, events: list[str], told: Told) -> None:
    assert told(text) == events


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("luis picked up res 31, sold 2 more of A to him for 10 euros", ["collected 31", "sold A Luis 10.00 2"]),
        ("kofi picked up res 35, all 2", ["collected 35 2"]),
        ("reserve 2 rusties for bea, wanted: 3 male mainganos", ["reserved Bea rusty 2", "wanted maingano male 3"]),
    ],
)
def test_a_buyer_is_spoken_of_again(text: str, events: list[str], told: Told) -> None:
    assert in_any_order(told(text)) == in_any_order(events)


def test_for_whom_it_is_becomes_no_strain(told: Told) -> None:
    """ "maingano" is one slip away from "maingani"."""
    assert told("reserve 3 of A for maingani") == "ask member"
    assert told("reserve 3 of A for me, 4 of A for rustys") == "ask member"


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("26 in K, i counted them", ["counted K 26"]),
        ("fed tank 1, 2 and 4", ["fed tank 1", "fed tank 2", "fed tank 4"]),
        ("we lost a single fry from D", ["died D 1"]),
    ],
)
def test_numbers_that_are_carried_on(text: str, events: list[str], told: Told) -> None:
    assert told(text) == events


@pytest.mark.parametrize(
    "talk",
    [
        "my brother lost 4 fish last night, poor guy",
        "a friend of mine stripped 40 fry off one acei, crazy",
        "still sad about that batch we lost last summer",
        "would have moved D by now but the tub is full",
        "forecast says rain all week",
        "history repeats itself lol",
    ],
)
def test_what_others_did_or_might_have_been_is_talk(talk: str, told: Told) -> None:
    assert told(talk) == "none"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("id like to know whats in box 2", "contents"),
        ("hepl", "help"),
        ("anything due this wk?", "due"),
        ("let me know when any rusties are for sale", ""),
    ],
)
def test_who_wants_to_know_asks(text: str, kind: str, told: Told) -> None:
    assert told(text) == (f"query {kind}" if kind else "ask count")


def test_lengths_of_a_strains_fry_are_of_one_of_its_batches(told: Told) -> None:
    assert told("rusty fry 28 30 31 29 mm") == "ask batch"


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("away October 3 to 10", ["away 2026-10-03 2026-10-10"]),
        ("away oct 3-10", ["away 2026-10-03 2026-10-10"]),
        ("away from oct 28 to 3", ["away 2026-10-28 2026-11-03"]),
        ("away until oct 3", ["away 2026-10-03"]),
    ],
)
def test_the_last_day_is_in_the_month_of_the_first(text: str, events: list[str], told: Told) -> None:
    assert told(text) == events


@pytest.mark.parametrize("text", ["tank 2 female 3 holding", "f3 in tank 2 is holding", "f3 and otto spawned in tank 2"])
def test_a_female_who_is_said_to_be_elsewhere_is_asked_about(text: str, told: Told) -> None:
    assert told(text) == "ask female"


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("new box N1 in tank 1, 12 litres", ["place_added box n1 12.0 tank 1"]),
        ("fed A 3 times today", ["fed A"]),
        ("keeping 2 males and 3 females of A", ["held_back 2 male A", "held_back 3 female A"]),
        ("put me on the waiting list for 4 acei", ["wanted acei 4"]),
        ("f2 spat out 20 live fry", ["released 2 20"]),
    ],
)
def test_in_a_keepers_own_words(text: str, events: list[str], told: Told) -> None:
    assert in_any_order(told(text)) == in_any_order(events)


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("Luis can come saturday 10am", ["pickup_set 31 2026-09-05 10:00"]),
        ("luis comes sat at 10", ["pickup_set 31 2026-09-05 10:00"]),
        ("Bea: saturday works", ["pickup_set 32 2026-09-05"]),
        ("saturday works for bea", ["pickup_set 32 2026-09-05"]),
    ],
)
def test_a_keeper_tells_when_a_buyer_comes(text: str, events: list[str], told: Told) -> None:
    assert in_any_order(told(text)) == in_any_order(events)


@pytest.mark.parametrize("talk", ["Luis came saturday", "luis is coming for dinner saturday", "luis cant come saturday", "luis is fine"])
def test_a_buyer_who_comes_for_something_else_fetches_nothing(talk: str, told: Told) -> None:
    assert told(talk) == "none"


def test_a_female_since_a_day_is_holding(told: Told) -> None:
    assert told("f3 since the 20th, not the 21st") == ["holding 3 2026-08-20"]
    assert told("m1 since friday") == "none"


@pytest.mark.parametrize("text", ["lost 3 fry", "2 fry dead"])
def test_dead_fry_without_a_batch_are_asked_for_it(text: str, told: Told) -> None:
    assert told(text) == "ask batch"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("how long till A can go to the tub", "forecast"),
        ("labels for tank 1", "labels"),
        ("where is everybody", "status"),
        ("who do i have", "status"),
    ],
)
def test_short_questions_of_a_keeper(text: str, kind: str, told: Told) -> None:
    assert told(text) == f"query {kind}"


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("8 of K for bea", ["reserved Bea K 8"]),
        ("5 of A went to luis", ["sold A 5 Luis"]),
        ("bea got her fish", ["collected 32"]),
    ],
)
def test_fish_for_somebody_by_name(text: str, events: list[str], told: Told) -> None:
    assert in_any_order(told(text)) == in_any_order(events)


@pytest.mark.parametrize("text", ["close the offer of A", "the offer of A is over", "take the offer of A down"])
def test_an_offer_that_is_closed_is_none(text: str, told: Told) -> None:
    assert told(text) == ["withdrawn A"]
    assert told("offering A at 4, down from 5") != ["withdrawn A"]
