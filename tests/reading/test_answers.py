"""A question back and its answer: the draft is completed as on the day it was written."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from bot.reading import Ask, Context, Dropped, Events, Names, answer, as_json, in_one_breath, read

WEDNESDAY = datetime.fromisoformat("2026-09-02T08:15")
FRIDAY = WEDNESDAY + timedelta(days=2)


def answered(club: Names, message: str, reply: str) -> Any:
    ask = read(message, now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask), ask
    return answer(ask, reply, now=FRIDAY, by="Hanna", names=club)


COMPLETED = [
    ("2 died", "female 2", [{"kind": "died", "female": "2"}]),
    ("2 died", "the male", [{"kind": "died", "male": "2"}]),
    ("2 died", "batch A", [{"kind": "died", "batch": "A", "count": 2}]),
    ("2 died", "in the tub", [{"kind": "died", "place": "big tub", "count": 2}]),
    ("moved D", "tub", [{"kind": "moved", "batch": "D", "to": "big tub"}]),
    ("moved D to the box", "box 5", [{"kind": "moved", "batch": "D", "to": "box 5"}]),
    ("stripped 2", "24", [{"kind": "stripped", "female": "2", "count": 24}]),
    ("stripped 2", "about 20", [{"kind": "stripped", "female": "2", "count": 20, "approx": True}]),
    ("stripped f2, 18 fry, as batch A", "N", [{"kind": "stripped", "female": "2", "count": 18, "batch": "N"}]),
    ("stripped f2 400 fry", "yes", [{"kind": "stripped", "female": "2", "count": 400}]),
    ("merged D and M", "d", [{"kind": "merged", "batches": ["D", "M"], "into": "D"}]),
    ("water change tank 4", "30%", [{"kind": "water_changed", "place": "tank 4", "percent": 30}]),
    ("water change tank 4", "25", [{"kind": "water_changed", "place": "tank 4", "percent": 25}]),
    ("water change tank 4", "12 l", [{"kind": "water_changed", "place": "tank 4", "litres": 12}]),
    ("ph 7.8", "tank 1", [{"kind": "water_tested", "place": "tank 1", "ph": 7.8}]),
    ("tank 1 ph 77", "7.7", [{"kind": "water_tested", "place": "tank 1", "ph": 7.7}]),
    ("new acei in the hospital", "male", [{"kind": "joined", "strain": "acei", "to": "hospital", "sex": "male"}]),
    ("counted the tub, 30", "A", [{"kind": "counted", "batch": "A", "count": 30}]),
    ("fed tub, f13 holding", "12", [{"kind": "fed", "place": "big tub"}, {"kind": "holding", "female": "12"}]),
]


@pytest.mark.parametrize(("message", "reply", "expected"), COMPLETED)
def test_an_answer_completes_the_draft_on_the_day_it_was_written(
    club: Names, message: str, reply: str, expected: list[dict[str, Any]]
) -> None:
    got = as_json(answered(club, message, reply))
    assert got == {"result": "events", "events": [{**event, "on": "2026-09-02"} for event in expected]}


def test_a_day_is_an_answer(club: Names) -> None:
    reading = answered(club, "12 still holding", "since 28/8")
    assert as_json(reading) == {"result": "events", "events": [{"kind": "holding", "female": "12", "on": "2026-08-28"}]}


def test_an_option_pressed_as_a_button_is_an_answer(club: Names) -> None:
    ask = read("female 3 holding since wednesday", now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask)
    for option in ask.options:
        reading = answer(ask, option, now=FRIDAY, by="Hanna", names=club)
        assert isinstance(reading, Events)
        assert reading.items[0].slots["on"] == option


@pytest.mark.parametrize("word", ["no", "Forget it!", "cancel", "never mind", "nvm"])
def test_a_draft_can_be_dropped(club: Names, word: str) -> None:
    assert isinstance(answered(club, "culled 3", word), Dropped)


@pytest.mark.parametrize("reply", ["what's due today?", "moved D to tub", "morning all", "fed the pond"])
def test_a_message_that_stands_alone_is_no_answer(club: Names, reply: str) -> None:
    assert answered(club, "culled 3", reply) is None


@pytest.mark.parametrize("reply", ["f2 since friday, not saturday", "not the male, f2 yesterday"])
def test_what_tells_of_a_day_too_does_not_say_who_died(club: Names, reply: str) -> None:
    assert answered(club, "2 died", reply) is None


@pytest.mark.parametrize("talk", ["dosed tub with salt", "tub filter humming", "tank 1 looks cloudy", "salted tank 1"])
def test_talk_that_names_a_place_is_no_answer(club: Names, talk: str) -> None:
    assert answered(club, "ph 7.8", talk) is None
    assert answered(club, "moved D", talk) is None


@pytest.mark.parametrize("reply", ["the tub of course", "tub it is", "the tub i think"])
def test_an_answer_may_be_a_little_longer(club: Names, reply: str) -> None:
    assert isinstance(answered(club, "ph 7.8", reply), Events)


@pytest.mark.parametrize("reply", ["the tub of course", "tub sorry", "in the tub, obviously", "i meant the tub", "tub please"])
def test_a_polite_answer_is_an_answer(club: Names, reply: str) -> None:
    reading = answered(club, "ph 7.8", reply)
    assert isinstance(reading, Events)
    assert reading.items[0].slots["place"] == "big tub"


def test_a_wrong_answer_asks_again(club: Names) -> None:
    again = answered(club, "moved D", "tank 9")
    assert isinstance(again, Ask)
    assert again.about == "to"


def test_what_cannot_be_is_not_agreed_to(club: Names) -> None:
    assert answered(club, "moved 30 of D to tub", "yes") is None


def test_two_questions_are_answered_one_after_the_other(club: Names) -> None:
    ask = read("stripped f13", now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask)
    second = answer(ask, "11", now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(second, Ask)
    assert second.about == "count"
    done = answer(second, "17", now=WEDNESDAY, by="Hanna", names=club)
    assert as_json(done) == {
        "result": "events",
        "events": [{"kind": "stripped", "female": "11", "count": 17, "on": "2026-09-02"}],
    }  # type: ignore[arg-type]


def test_she_is_the_one_last_spoken_of(club: Names) -> None:
    reading = read("moved her to hospital", now=WEDNESDAY, by="Hanna", names=club, context=Context(female="12"))
    assert isinstance(reading, Events)
    assert reading.items[0].slots["female"] == "12"
    assert reading.taken == ("female 12",)


AT_BOX_1 = [
    ("2 dead", [{"kind": "died", "place": "box 1", "count": 2, "on": "2026-09-02"}]),
    ("w/c 30%", [{"kind": "water_changed", "place": "box 1", "percent": 30, "on": "2026-09-02"}]),
    ("moved to tub", [{"kind": "moved", "batch": "D", "to": "big tub", "on": "2026-09-02"}]),
    ("ph 7.8", [{"kind": "water_tested", "place": "box 1", "ph": 7.8, "on": "2026-09-02"}]),
    ("fed", [{"kind": "fed", "place": "box 1", "on": "2026-09-02"}]),
]


@pytest.mark.parametrize(("message", "events"), AT_BOX_1)
def test_at_a_scanned_place_short_messages_need_no_place(club: Names, message: str, events: list[dict[str, Any]]) -> None:
    reading = read(message, now=WEDNESDAY, by="Hanna", names=club, context=Context(here="box 1"))
    assert as_json(reading) == {"result": "events", "events": events}


def test_a_bare_number_at_a_scanned_place_asks_whether_it_is_a_count(club: Names) -> None:
    ask = read("17", now=WEDNESDAY, by="Hanna", names=club, context=Context(here="box 1"))
    assert isinstance(ask, Ask)
    assert (ask.about, ask.value, ask.why) == ("count", "17", "uncertain")
    done = answer(ask, "yes", now=WEDNESDAY, by="Hanna", names=club)
    assert as_json(done) == {"result": "events", "events": [{"kind": "counted", "batch": "D", "count": 17, "on": "2026-09-02"}]}  # type: ignore[arg-type]


LEFT_OVER = [
    ("stripped 2", ["3 tanks", "2 females", "20 more", "not 20", "if 20", "24 tomorrow", "24 D", "f12 24"]),
    ("moved D", ["not the tub", "maybe tub", "tub tomorrow", "tub with female 12", "and 12 to tub", "tub too", "M too, to the tub", "tub or tank 1"]),
    ("2 died", ["female 2 and 12", "D or M", "D and M", "D too", "maybe D", "D looks fine", "f12 ok", "D fine", "tub good"]),
    ("water change tank 4", ["tub 30", "not 30", "30 more", "30%, tub too", "30 tomorrow"]),
    ("ph 7.8", ["tank 1 and tub", "tub or tank 1"]),
    ("12 still holding", ["f2 since friday", "not since friday"]),
    ("reserve 3", ["4 of D", "D and M"]),
    ("counted the tub, 30", ["D 28"]),
    ("measured D", ["not 20"]),
]


@pytest.mark.parametrize(("message", "replies"), LEFT_OVER)
def test_an_answer_that_says_more_or_less_than_was_asked_records_nothing(club: Names, message: str, replies: list[str]) -> None:
    for reply in replies:
        assert not isinstance(answered(club, message, reply), Events), reply


@pytest.mark.parametrize(("message", "reply"), [("tank 4 temp 260", "yes"), ("tub ph 77", "yes")])
def test_no_yes_makes_water_what_no_tank_can_hold(club: Names, message: str, reply: str) -> None:
    assert answered(club, message, reply) is None


@pytest.mark.parametrize("reply", ["no wait, 12", "i mean 12", "make that 12"])
def test_a_correction_is_of_the_female_that_was_told_and_no_number_of_fry(club: Names, reply: str) -> None:
    again = answered(club, "stripped 2", reply)
    assert isinstance(again, Ask)
    assert again.about == "count"
    done = answer(again, "24", now=FRIDAY, by="Hanna", names=club)
    assert isinstance(done, Events)
    assert (done.items[0].slots["female"], done.items[0].slots["count"]) == ("12", 24)


def test_perhaps_so_many_are_about_so_many(club: Names) -> None:
    reading = answered(club, "stripped 2", "maybe 20")
    assert isinstance(reading, Events)
    assert reading.items[0].slots["approx"] is True


IN_ONE_BREATH = [
    ("stripped 2", "24, 2 dead", {"female": "2", "count": 24, "dead": 2}),
    ("stripped 2", "24 and 2 eggs", {"female": "2", "count": 24, "eggs": 2}),
    ("stripped 2", "24 into box 1", {"female": "2", "count": 24, "to": "box 1"}),
    ("stripped 2", "24 yesterday", {"female": "2", "count": 24, "on": "2026-09-01"}),
    ("moved D", "tub yesterday", {"batch": "D", "to": "big tub", "on": "2026-09-01"}),
    ("counted D", "18 yesterday", {"batch": "D", "count": 18, "on": "2026-09-01"}),
    ("sold D", "3 males", {"batch": "D", "count": 3, "sex": "male"}),
]


@pytest.mark.parametrize(("message", "reply", "slots"), IN_ONE_BREATH)
def test_what_an_answer_says_besides_is_kept(club: Names, message: str, reply: str, slots: dict[str, Any]) -> None:
    ask = read(message, now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask), ask
    found = in_one_breath(ask, reply, club)
    assert found is not None
    assert [dict(item.slots) for item in found.items] == [{"on": "2026-09-02", **slots}]


@pytest.mark.parametrize("reply", ["24 tomorrow", "24? 2 dead", "24 or 25", "2 dead", "24, fed tub", "24, not 25", "24 from 12", "f12 24"])
def test_what_is_no_answer_with_more_in_it_stays_open(club: Names, reply: str) -> None:
    ask = read("stripped 2", now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask)
    assert in_one_breath(ask, reply, club) is None


def test_what_goes_to_the_tub_tomorrow_was_not_moved(club: Names) -> None:
    ask = read("moved D", now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask)
    assert in_one_breath(ask, "tub tomorrow", club) is None


TALK_WITH_NUMBERS = [
    ("water change tank 4", ["3 weeks to the show", "4 of us coming to the meeting", "the shop had a male peacock for $40", "2 buckets"]),
    ("tank 4 temp 260", ["nitrate 26", "26 outside", "31 33 30"]),
    ("12 still holding", ["great talk last night, learned loads", "holding a meeting on friday", "30 degrees outside today, melting"]),
    ("measured D", ["M 20", "nitrte 0.25 tank 2"]),
    ("sold D", ["8 of us for pizza after the meeting", "one of the maingano females died"]),
    ("stripped 2", ["12 died", "20 acei", "8 of us for pizza after the meeting"]),
]


@pytest.mark.parametrize(("message", "talk"), TALK_WITH_NUMBERS)
def test_talk_with_a_number_or_a_day_in_it_is_no_answer(club: Names, message: str, talk: list[str]) -> None:
    ask = read(message, now=WEDNESDAY, by="Hanna", names=club)
    assert isinstance(ask, Ask), ask
    for words in talk:
        assert not isinstance(answer(ask, words, now=FRIDAY, by="Hanna", names=club), Events), words
        assert in_one_breath(ask, words, club) is None, words
