"""What must never be recorded: plans, those left out, what is said of something else; and nothing of a report is lost silently.

The expectations are common sense, written down before the messages were read by the program; no source.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

Told = Callable[..., Any]


@pytest.fixture
def told(reading_of: Callable[..., Any], wednesday: datetime) -> Told:
    """What a message is read as: "none", the slot asked about, the kind of query, or each event as its kind with its slots, today left out."""

    def plainly(text: str, by: str = "Hanna") -> Any:
        reading = reading_of(text, by)
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


def test_a_stranger_going_to_a_place_is_no_other_place_of_the_verb_before(told: Told) -> None:
    assert told("20% wc tank 1, nugget to the hospital") == told("nugget to the hospital") == "ask female"
    assert told("nugget spat") == "ask female"
    assert told("cheers to tank 1") == "none"


@pytest.mark.parametrize(
    ("text", "event"),
    [
        ("fed a last night", {"kind": "fed", "batch": "A", "on": "2026-09-01"}),
        ("counted a on monday, 34", {"kind": "counted", "batch": "A", "count": 34, "on": "2026-08-31"}),
        ("counted a approx. 35", {"kind": "counted", "batch": "A", "count": 35, "approx": True}),
        ("A count is 33", {"kind": "counted", "batch": "A", "count": 33}),
        ("A count of 33 in K", {"kind": "counted", "batch": "K", "count": 33}),
    ],
)
def test_a_is_a_batch_where_no_noun_follows_an_article(text: str, event: dict[str, Any], told: Told) -> None:
    assert told(text) == [event]


def test_about_so_many_may_be_let_go(told: Told) -> None:
    assert told("f2 let about 20 fry go") == [{"kind": "released", "female": "2", "count": 20, "approx": True}]


def test_several_reservations_are_named_together(told: Told) -> None:
    assert told("res 31 and 35 collected") == [{"kind": "collected", "reservation": "31"}, {"kind": "collected", "reservation": "35"}]


def test_fry_got_out_of_a_mouth_were_stripped(told: Told) -> None:
    assert told("got 24 fry out of f2, stripped her just now, they're in box 5") == [
        {"kind": "stripped", "female": "2", "count": 24, "to": "box 5"}
    ]


def test_those_one_is_not_sure_of_are_unsexed(told: Told) -> None:
    assert told("vented K. 20 male, 24 female, 6 not sure yet") == [{"kind": "sexed", "batch": "K", "males": 20, "females": 24, "unsexed": 6}]


@pytest.mark.parametrize("rest", ["1 unknown", "1 ?", "1 unsure"])
def test_those_beside_both_sexes_whose_own_is_unknown_are_unsexed(told: Told, rest: str) -> None:
    assert told(f"K: 8 males 11 females {rest}") == [{"kind": "sexed", "batch": "K", "males": 8, "females": 11, "unsexed": 1}]


def test_batches_mixed_in_a_place_are_not_made_one(told: Told) -> None:
    assert told("mixed D with K in box 5") == [{"kind": "mixed", "batches": ["D", "K"], "place": "box 5"}]


def test_money_put_down_is_a_deposit(told: Told) -> None:
    assert told("luis put down 20 euros deposit") == [{"kind": "deposit", "reservation": "31", "amount": "20.00"}]


def test_one_behind_a_faulty_fish_counts_no_second(told: Told) -> None:
    assert told("culled 1 bent one in D") == [{"kind": "culled", "batch": "D", "count": 1}]


def test_food_without_a_mouth_is_asked_about(told: Told) -> None:
    assert told("fed 3g") == "ask place"


@pytest.mark.parametrize("asked", ["which test kit do you use", "what do you all feed your rusties", "booked 4 rooms for the auction"])
def test_what_is_asked_of_people_is_left_to_them(asked: str, told: Told) -> None:
    assert told(asked) == "none"


def test_a_place_that_is_gone_to_is_not_done_the_same_to(told: Told) -> None:
    assert told("culled 2 in M, the rest to tank 4") == [
        {"kind": "culled", "batch": "M", "count": 2},
        {"kind": "moved", "batch": "M", "to": "tank 4"},
    ]
    assert told("20% wc tank 1, the rest to tank 4") == "ask batch"


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("fed the tub tonight", "ask on"),
        ("fed the tub at 11pm", "ask on"),
        ("3 died in K since sunday", "ask on"),
        ("5 of A reserved for luis already", "ask count"),
        ("luis picked up at 6", "ask at"),
        ("hold f3", "ask female"),
        ("sold 5 of K at 4 euros", "ask price"),
        ("temp in tank 1 over 27", "ask temp_c"),
    ],
)
def test_what_can_be_meant_in_two_ways_is_asked_about(text: str, asked: str, told: Told) -> None:
    assert told(text) == asked


def test_what_was_last_time_is_not_this_time(told: Told) -> None:
    assert told("f2 stripped last time 28") == "none"
    assert told("stripped f2, 28 fry, more than last time") == [{"kind": "stripped", "female": "2", "count": 28}]


def test_what_gets_collected_is_still_to_be(told: Told) -> None:
    assert told("res 35 gets collected saturday") == [{"kind": "pickup_set", "reservation": "35", "pickup": "2026-09-05"}]


def test_the_sign_before_a_price_means_each(told: Told) -> None:
    assert told("sold 5 of K @ 4 euros") == [{"kind": "sold", "batch": "K", "count": 5, "price": "20.00"}]


def test_a_female_may_hold_when_she_comes(told: Told) -> None:
    assert told("new female 9, rusty, tank 1, holding since monday") == [
        {"kind": "joined", "sex": "female", "label": "9", "strain": "rusty", "to": "tank 1"},
        {"kind": "holding", "female": "9", "on": "2026-08-31"},
    ]
    assert told("new female, rusty, tank 1 and she's holding") == "ask female"


@pytest.mark.parametrize(
    ("text", "event"),
    [
        ("f2 spat, f3 looks thin", {"kind": "brood_lost", "female": "2"}),
        ("f1 holding, f3 hiding", {"kind": "holding", "female": "1"}),
        ("f1 holding f3 fighting", {"kind": "holding", "female": "1"}),
        ("bruno chasing f3, f1 holding", {"kind": "holding", "female": "1"}),
        ("f1 holding with bruno chasing f3", {"kind": "holding", "female": "1"}),
        ("lost f1, f3 looks bad", {"kind": "died", "female": "1"}),
        ("sold f1 to kofi, f3 stays", {"kind": "left", "female": "1"}),
        ("moved D to tank 4, f20 watching", {"kind": "moved", "batch": "D", "to": "tank 4"}),
        ("fed the tub, box 1 looks cloudy", {"kind": "fed", "place": "big tub"}),
        ("20% wc tank 1, tank 2 tomorrow", {"kind": "water_changed", "place": "tank 1", "percent": 20}),
        ("counted K 46, D too small", {"kind": "counted", "batch": "K", "count": 46}),
        ("2 dead in K, all good in D", {"kind": "died", "batch": "K", "count": 2}),
        ("offering A at 5 euros, kofi wants 3", {"kind": "offered", "batch": "A", "price": "5.00"}),
        ("kofi collected res 35, wants 4 more of A", {"kind": "collected", "reservation": "35"}),
    ],
)
def test_what_is_remarked_of_another_is_not_what_happened_to_the_first(text: str, event: dict[str, Any], told: Told) -> None:
    assert told(text) == [event]


def test_what_happens_next_happens_to_whom_the_remark_was_about(told: Told) -> None:
    assert told("f1 looks thin, moved to the hospital") == [{"kind": "moved", "female": "1", "to": "hospital"}]
    assert told("tank 4 looks cloudy, changed 20%") == [{"kind": "water_changed", "place": "tank 4", "percent": 20}]
    assert told("bruno was bullying f3 so moved her to the hospital") == [{"kind": "moved", "female": "3", "to": "hospital"}]


def test_a_sick_fish_beside_dead_ones_is_not_dead(told: Told) -> None:
    assert told("2 dead in K, 1 sick in D") == "ask batch"


def test_a_count_beside_lengths_is_no_length(told: Told) -> None:
    assert told("measured K 30 32 35mm, counted 46") == [
        {"kind": "measured", "batch": "K", "lengths": [30, 32, 35]},
        {"kind": "counted", "batch": "K", "count": 46},
    ]


def test_fish_moved_for_somebody_are_asked_about(told: Told) -> None:
    assert told("moved 4 of A to tank 4 for kofi") == "ask count"
    assert told("moved 4 of A to tank 4 for now") == [{"kind": "moved", "batch": "A", "count": 4, "to": "tank 4"}]


def test_where_she_is_is_not_where_the_fry_went(told: Told) -> None:
    stripped = {"kind": "stripped", "female": "2", "count": 24}
    assert told("stripped f2, 24 fry, she's in the hospital") == [stripped, {"kind": "moved", "female": "2", "to": "hospital"}]
    assert told("stripped f2, 24 fry, put her fry in box 5") == [{**stripped, "to": "box 5"}]


def test_one_or_the_other_is_asked_about(told: Told) -> None:
    assert told("f2 spat or f11 spat") == "ask female"
    assert told("f2 spat or swallowed") == [{"kind": "brood_lost", "female": "2"}]


@pytest.mark.parametrize("text", ["f2's fry died", "moved clover's babies to box 5", "sold 3 of f2's fry", "f2 lost 3 fry"])
def test_what_happens_to_her_young_does_not_happen_to_her(text: str, told: Told) -> None:
    assert told(text) == "ask batch"


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("f2 lost half her brood", "ask count"),
        ("new female 8 and 9, rusty, tank 1", "ask label"),
        ("got 2 females from bea, rusties, and a male from kofi", "ask count"),
        ("5 dead in the tub (3 of A, 2 of B)", "ask count"),
        ("sold 3 of A and 2 of B to kofi for 20 euros", "ask price"),
    ],
)
def test_a_part_that_fits_nowhere_is_asked_about(text: str, asked: str, told: Told) -> None:
    assert told(text) == asked


def test_looking_dead_is_not_dying(told: Told) -> None:
    assert told("f1 looks dead") == "none"
    assert told("f1 is dead") == [{"kind": "died", "female": "1"}]


def test_fish_kept_for_a_member_are_reserved(told: Told) -> None:
    assert told("keep kofi 4 of A") == [{"kind": "reserved", "member": "Kofi", "batch": "A", "count": 4}]


def test_each_reservation_has_its_day(told: Told) -> None:
    assert told("res 31 pickup saturday, res 35 sunday") == [
        {"kind": "pickup_set", "reservation": "31", "pickup": "2026-09-05"},
        {"kind": "pickup_set", "reservation": "35", "pickup": "2026-09-06"},
    ]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("new tank 5, 150 litres, 2 dead in K", ["place_added", "died"]),
        ("2 dead in K, new tank 5, 150 litres", ["died", "place_added"]),
        ("call f3 Clementine from now on, moved D to tank 4", ["named", "moved"]),
        ("mother of D is f1, father is bruno, f2 spat", ["parents", "brood_lost"]),
        ("water change in tank 1 every week, f2 spat", ["habit", "brood_lost"]),
        ("set units to metric, f2 spat", ["setting", "brood_lost"]),
        ("put A and B together, its all A now, moved D to tank 4", ["merged", "moved"]),
        ("f1 spawned mon, holding since tues, so tired now", ["spawned", "holding"]),
        ("moved f1 to the hospital, whats in the hospital now, f2 spat", ["moved", "brood_lost"]),
        ("fed the tub, f3 not holding yet, reserve 2 of K for kofi", ["fed", "reserved"]),
        ("2 dead in K otherwise ok, f2 spat", ["died", "brood_lost"]),
        ("20% wc tank 1, box 5 to be cleaned", ["water_changed"]),
        ("mother of D is f1, father is bruno, f3 looks thin", ["parents"]),
    ],
)
def test_all_that_a_sentence_tells_is_kept_and_no_more(text: str, kinds: list[str], told: Told) -> None:
    assert [event["kind"] for event in told(text)] == kinds


def test_a_remark_is_no_part_of_what_is_set_up(told: Told) -> None:
    assert told("new strain: moonshine, tank 4 looks cloudy") == [{"kind": "strain_added", "strain": "moonshine"}]
    assert told("mother of D is f1, father is bruno, f3 looks thin") == [{"kind": "parents", "batch": "D", "dam": "1", "sire": "1"}]


def test_what_is_put_right_and_cannot_be_placed_is_asked_about(told: Told) -> None:
    assert told("f1 holding since mon... no sorry, tues but not f3") == [{"kind": "holding", "female": "1", "on": "2026-09-01"}]


def test_reservations_in_a_list_with_signs_are_read(told: Told) -> None:
    assert told("#31 + #35 picked up") == [{"kind": "collected", "reservation": "31"}, {"kind": "collected", "reservation": "35"}]
    assert told("fed the tub + res 31 and 35 + 32 collected") is not None


def test_a_list_before_a_verb_is_that_verbs(told: Told) -> None:
    spawned = {"kind": "spawned", "female": "1", "male": "1"}
    assert told("male 7 passed away, f1 and bruno spawned") == [{"kind": "died", "male": "7"}, spawned]
    assert told("moved D to tank 4, f1 and f3 both holding") == [
        {"kind": "moved", "batch": "D", "to": "tank 4"},
        {"kind": "holding", "female": "1"},
        {"kind": "holding", "female": "3"},
    ]
    assert told("K: 29 31 30 mm, 3 and m1 spawned")[1:] == [{"kind": "spawned", "female": "3", "male": "1"}]
    assert told("take that back, res 31 and 35 collected") == [
        {"kind": "undone"},
        {"kind": "collected", "reservation": "31"},
        {"kind": "collected", "reservation": "35"},
    ]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("tank 1 26c ph 8, remind me to test the water in tank 4 every 10 days", ["water_tested", "habit"]),
        ("moved f3 to the hospital, water change in tank 1 every 5 days", ["moved", "habit"]),
        ("new tank 5, 200 litres, temp tank 2 26", ["place_added", "water_tested"]),
        ("set currency to EUR, added a new female rusty to tank 1", ["setting", "joined"]),
        ("counted K 46, change #35 to males", ["counted", "reservation_changed"]),
        ("reserve 1 male and 3 females of A for kofi, K mean 32 mm n=10", ["reserved", "measured"]),
        ("moved D to tank 4, will strip f2 on saturday, changed 20 litres in tank 2", ["moved", "water_changed"]),
    ],
)
def test_two_things_told_in_one_breath_are_both_kept(text: str, kinds: list[str], told: Told) -> None:
    assert [event["kind"] for event in told(text)] == kinds


def test_a_place_that_is_gone_was_not_fetched_by_anybody(told: Told) -> None:
    assert told("the old heater box is gone for good", by="Luis") == "none"


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("fed D, new male rusty into tank 1 from Bea", ["fed", "joined"]),
        ("bought 15 young rusties from Dave, they're in tank 4, then new male acei from Hank in tank 1", ["batch_joined", "joined"]),
        ("put f3 in the hospital yesterday, then test the water in tank 1 every 3 days", ["moved", "habit"]),
        ("stripped 2 on sat, got 23, they are in the tub, new strain: moonshine", ["stripped", "strain_added"]),
        ("offering a dozen of A for 5 euros each, then K now 44", ["offered", "counted"]),
        ("length of D: 18mm, 20mm, 19mm and counted D, 17", ["measured", "counted"]),
        ("f1 spawned with bruno, checked f2 yesterday, still has her mouth full", ["spawned", "still_holding"]),
        ("set units to metric, 3 and m1 spawned", ["setting", "spawned"]),
        ("2 swallowed her brood, if 11 spits i'll cry", ["brood_lost"]),
        ("undo that please, add guest Rosa", ["undone", "guest_added"]),
    ],
)
def test_what_follows_is_not_swallowed_by_what_went_before(text: str, kinds: list[str], told: Told) -> None:
    assert [event["kind"] for event in told(text)] == kinds


def test_a_range_of_females_behind_a_death_is_not_dead(told: Told) -> None:
    events = told("lost f20 last night, females 1 to 3 are holding since monday")
    assert [(event["kind"], event["female"]) for event in events] == [("died", "20"), ("holding", "1"), ("holding", "2"), ("holding", "3")]


def test_another_members_reservation_is_not_the_one_just_spoken_of(told: Told) -> None:
    assert told("confirm #32; kofi came by and collected his reservation") != "none"
    assert "32" not in [event.get("reservation") for event in told("fed K; kofi collected his reservation")]


@pytest.mark.parametrize(
    ("text", "event"),
    [
        ("temp tank 2 26, 7 pm is fine for me", {"kind": "water_tested", "place": "tank 2", "temp_c": 26}),
        ("moved D to tank 4, 3 of us are driving over sunday", {"kind": "moved", "batch": "D", "to": "tank 4"}),
    ],
)
def test_what_people_agree_on_beside_a_report_adds_nothing_to_it(text: str, event: dict[str, Any], told: Told) -> None:
    assert told(text) == [event]


def test_a_number_of_something_else_is_no_label(told: Told) -> None:
    assert told("f1 holding since sunday - 3 more sleeps!") == "ask female"
