"""Cautions come once, then monthly; they defer to those who know, and never dose or diagnose."""

import re
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.replies.cautions import CAUTIONS, GENERAL, IN_TALK, LEADS_TO, caution, due_cautions, kinds_for, kinds_in_talk

MONDAY = date(2026, 3, 2)
each_kind = pytest.mark.parametrize("kind", CAUTIONS)


def test_the_first_time_a_caution_is_shown() -> None:
    assert due_cautions({}, ["stripping"], MONDAY) == ["stripping"]


@pytest.mark.parametrize(("days", "due"), [(0, False), (1, False), (29, False), (30, True), (400, True), (-5, False)])
def test_then_it_is_shown_once_a_month(days: int, due: bool) -> None:
    assert due_cautions({"stripping": MONDAY}, ["stripping"], MONDAY + timedelta(days=days)) == (["stripping"] if due else [])


def test_one_kind_that_was_shown_does_not_silence_another() -> None:
    assert due_cautions({"mains": MONDAY}, ["mains", "skin"], MONDAY) == ["skin"]


@given(
    st.dictionaries(st.sampled_from(sorted(CAUTIONS)), st.dates(date(2026, 1, 1), date(2026, 12, 31))),
    st.lists(st.sampled_from(sorted(CAUTIONS))),
    st.dates(date(2026, 1, 1), date(2026, 12, 31)),
)
def test_what_was_just_shown_is_never_due_again_the_same_day(shown: dict[str, date], kinds: list[str], day: date) -> None:
    due = due_cautions(shown, kinds, day)
    assert len(set(due)) == len(due)
    assert set(due) <= set(kinds)
    assert due_cautions(shown | dict.fromkeys(due, day), kinds, day) == []


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        ("stripped", "stripping"), ("strip_date", "stripping"), ("water_changed", "mains"), ("water_changed", "skin"),
        ("culled", "euthanasia"), ("bagging", "oxygen"), ("bagging", "transport"), ("offered", "selling"), ("left", "release"),
        ("place_added", "heavy"), ("water_tested", "chemicals"), ("batch_joined", "quarantine"),
    ],
)  # fmt: skip
def test_work_that_can_hurt_leads_to_its_caution(told: str, kind: str) -> None:
    # which work can hurt: common practice, no source
    assert kind in kinds_for([told])


def test_what_harms_nobody_leads_to_none() -> None:
    assert kinds_for(["counted", "status", "help", "no such kind"]) == []


def test_several_at_once_name_each_caution_once() -> None:
    assert kinds_for(["stripped", "strip_date", "water_changed"]) == ["stripping", "mains", "skin"]


def test_every_way_leads_to_a_caution_and_every_caution_is_reached() -> None:
    assert {kind for kinds in LEADS_TO.values() for kind in kinds} | {kind for _, kind in IN_TALK} == set(CAUTIONS)


@each_kind
def test_a_caution_is_short_and_says_where_it_comes_from(kind: str) -> None:
    assert 40 < len(caution(kind)) <= 330
    assert CAUTIONS[kind].source


@each_kind
def test_a_caution_defers_to_those_who_know(kind: str) -> None:
    assert re.search(r"vet\b|doctor|electrician|local (rules|law|authority)|against the law", caution(kind), re.IGNORECASE)


@each_kind
def test_a_caution_gives_no_dose(kind: str) -> None:
    assert not re.search(r"\d+(\.\d+)?\s*(mg|ml|g/l|ppm|ppt|drops?|%)", caution(kind), re.IGNORECASE)


def test_the_bot_says_what_it_is_not() -> None:
    assert "not veterinary or legal advice" in GENERAL


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("f3 has white spots, what should I give", ["sick"]), ("the males look ill", ["sick"]), ("can I set them free in the lake", ["release"]),
        ("how do I put her down", ["euthanasia"]), ("Ill take six, put me down for saturday", []), ("they love worms", []),
    ],
)  # fmt: skip
def test_talk_of_sick_fish_or_a_release_is_answered_by_its_caution(said: str, kinds: list[str]) -> None:
    # to ask a vet, and never to release fish: common practice, no source
    assert kinds_in_talk(said) == kinds
