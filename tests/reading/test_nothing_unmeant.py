"""What must never be recorded: plans, those left out, what is said of something else; and nothing of a report is lost silently.

The expectations are common sense, written down before the messages were read by the program; no source.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from bot.reading import Names, as_json, read

Told = Callable[..., Any]


@pytest.fixture
def told(club: Names, wednesday: datetime) -> Told:
    """What a message is read as: "none", the slot asked about, the kind of query, or each event as its kind with its slots, today left out."""

    def plainly(text: str, by: str = "Hanna") -> Any:
        reading = as_json(read(text, now=wednesday, by=by, names=club))
        if reading["result"] == "events":
            today = ("on", wednesday.date().isoformat())
            events: Any = reading["events"]
            return [{slot: value for slot, value in event.items() if (slot, value) != today} for event in events]
        return f"ask {reading['about']}" if reading["result"] == "ask" else reading["result"]

    return plainly


@pytest.mark.parametrize(
    "plan",
    [
        "A to be moved to box 1",
        "clover to go to the hospital",
        "3 to be culled from D",
        "20% wc to be done in tank 4",
        "the tub to be fed",
        "2 to be stripped on friday",
        "K to be sexed",
        "K for sale when grown",
    ],
)
def test_what_is_still_to_be_done_is_no_report(plan: str, told: Told) -> None:
    assert told(plan) == "none"


def test_what_had_to_be_done_was_done(told: Told) -> None:
    assert told("3 had to be culled from D") == [{"kind": "culled", "batch": "D", "count": 3}]
    assert told("1 found to be dead in K") == [{"kind": "died", "batch": "K", "count": 1}]


def test_what_is_decided_by_saying_it_may_be_said_as_to_be_done(told: Told) -> None:
    assert told("res 31 to be cancelled") == [{"kind": "cancelled", "reservation": "31"}]
    assert told("res 31 to be collected saturday") == [{"kind": "pickup_set", "reservation": "31", "pickup": "2026-09-05"}]


@pytest.mark.parametrize(
    "text",
    [
        "f1 (not f3) holding",
        "f1, not f3, holding",
        "f1 not f3 holding",
        "f1 is holding, not f3",
        "not f3, f1 is holding",
        "f1 holding (not f3 or f12)",
    ],
)
def test_a_name_that_is_denied_is_left_out(text: str, told: Told) -> None:
    assert told(text) == [{"kind": "holding", "female": "1"}]


def test_a_number_that_is_denied_is_left_out(told: Told) -> None:
    assert told("lost 2 in K (not in A)") == [{"kind": "died", "batch": "K", "count": 2}]
    assert told("moved A not B to tank 4") == [{"kind": "moved", "batch": "A", "to": "tank 4"}]


def test_a_negation_beside_another_stays_one(told: Told) -> None:
    assert told("f1 not holding, f3 not holding") == "none"


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("everybody but f3 holding", "ask female"),
        ("all the rusty girls except f3 are holding", "ask female"),
        ("fed everyone apart from K", "ask place"),
        ("fed everything but the tub", "ask place"),
        ("all but 4 of K moved to tank 4", "ask count"),
        ("all but 2 in D died", "ask count"),
        ("20% wc everywhere but tank 4", "ask place"),
    ],
)
def test_all_but_some_are_asked_about(text: str, asked: str, told: Told) -> None:
    assert told(text) == asked


def test_all_that_were_fed_are_asked_about_though_the_rest_is_clear(told: Told) -> None:
    assert told("fed everyone, 20% wc tank 4, lost one in K") == "ask place"


def test_what_is_true_of_another_too_is_a_report_of_its_own(told: Told) -> None:
    both = [{"kind": "holding", "female": "1"}, {"kind": "holding", "female": "3"}]
    assert told("f1 holding, so is f3") == both
    assert told("f1 holding, ditto f3") == both
    assert told("fed A, same for K") == [{"kind": "fed", "batch": "A"}, {"kind": "fed", "batch": "K"}]
    assert told("f1 isn't holding but f3 is since monday") == [{"kind": "holding", "female": "3", "on": "2026-08-31"}]


def test_eggs_still_in_the_mouth_are_still_held(told: Told) -> None:
    assert told("20% wc tank 4, f2 still has them in her mouth") == [
        {"kind": "water_changed", "place": "tank 4", "percent": 20},
        {"kind": "still_holding", "female": "2"},
    ]


def test_nobody_has_stayed_away_who_may_yet_come(told: Told) -> None:
    assert told("res 31 not collected yet") == "none"
    assert told("res 31 not collected") == [{"kind": "no_show", "reservation": "31"}]


def test_that_all_else_is_well_takes_nothing_back(told: Told) -> None:
    assert told("2 dead in K, otherwise all fine") == [{"kind": "died", "batch": "K", "count": 2}]


@pytest.mark.parametrize("text", ["i have 3 holding", "we've got 2 holding now", "tank 1: 2 holding", "only 3 holding", "3 holding in tank 1"])
def test_a_number_that_may_be_a_count_of_females_is_no_label(text: str, told: Told) -> None:
    assert told(text) == "ask female"


def test_a_number_that_only_a_fish_can_have_is_a_label(told: Told) -> None:
    assert told("3 is holding in tank 1") == told("3 holding") == [{"kind": "holding", "female": "3"}]
    assert told("3 and 12 holding") == [{"kind": "holding", "female": "3"}, {"kind": "holding", "female": "12"}]


@pytest.mark.parametrize(
    "text",
    [
        "counted K, over 40",
        "counted K at least 40",
        "counted 40+ in K",
        "counted K, more than 40",
        "moved up to 5 of K to tank 4",
        "stripped f2 maybe 25 fry",
        "stripped f2, 25 fry perhaps",
        "20% wc tank 1, stripped f2 maybe 25 fry box 5",
    ],
)
def test_a_number_that_is_a_bound_or_doubted_is_asked_about(text: str, told: Told) -> None:
    assert told(text) == "ask count"


def test_the_stop_of_an_abbreviation_ends_no_sentence(told: Told) -> None:
    assert told("stripped f2 approx. 25 fry to box 5") == [{"kind": "stripped", "female": "2", "count": 25, "approx": True, "to": "box 5"}]


def test_a_reservation_that_was_named_comes_before_the_writers_own(told: Told) -> None:
    assert told("res 32: pickup saturday 10am, 10 euros deposit", by="Luis") == [
        {"kind": "pickup_set", "reservation": "32", "pickup": "2026-09-05", "at": "10:00"},
        {"kind": "deposit", "reservation": "32", "amount": "10.00"},
    ]


def test_money_for_a_reservation_that_is_only_being_made_is_not_lost(told: Told) -> None:
    assert told("reserve 4 of K for kofi, 10 euros deposit") == "ask reservation"


@pytest.mark.parametrize("talk", ["lost interest in f3", "new male in the office", "picked up kofi at 6"])
def test_talk_with_a_word_of_the_trade_is_no_report(talk: str, told: Told) -> None:
    assert told(talk) == "none"


def test_batches_side_by_side_are_not_put_together(told: Told) -> None:
    assert told("moved D next to M") == "ask to"


def test_a_name_nobody_has_is_asked_about_as_a_fish(told: Told) -> None:
    assert told("moved nugget to the hospital") == "ask female"
