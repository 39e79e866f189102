"""Whatever is typed, nothing crashes, and what cannot be is never recorded."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.reading import Ask, Dropped, Events, Names, Nothing, answer, read
from bot.reading.values import Query
from bot.reading.vocabulary import vocabulary
from tests.reading.conftest import HERE

NOW = datetime.fromisoformat("2026-09-02T08:15")

EMPTY = ["", " ", "\n\n", "😀😀😀", "👍🏽", "....", "???", "\x00\x01\x02", "\u202e\u200b", "привет всем", "水槽", "مرحبا"]
HOSTILE = [
    "SELECT * FROM fish; DROP TABLE batches;--",
    "<b>moved D to tub</b>",
    "<script>alert('2 dead in K')</script>",
    "' OR 1=1 --",
    "{{7*7}} ${jndi:ldap://x}",
]
IMPOSSIBLE = [
    "stripped f2 999999 fry",
    "moved -5 of A to tank 4",
    "culled -1 from A",
    "counted A -3",
    "2 dead in A on 1/1/9999",
    "sold 0 of A",
    "reserve 999999 of A",
    "wc tank 1 -20%",
    "wc tank 1 900%",
    "tank 1 ph -8",
    "measured A -40 -41 mm",
    "99999999999999999999 dead in A",
    "fed K 0 g",
    "split 0 off A",
    "stripped f2 1e9 fry",
]


@pytest.mark.parametrize("text", EMPTY)
def test_what_has_no_words_says_nothing(club: Names, text: str) -> None:
    assert read(text, now=NOW, by="Hanna", names=club) == Nothing()


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_and_statements_record_nothing(club: Names, text: str) -> None:
    assert not isinstance(read(text, now=NOW, by="Hanna", names=club), Events)


@pytest.mark.parametrize("text", IMPOSSIBLE)
def test_what_cannot_be_is_asked_and_never_recorded(club: Names, text: str) -> None:
    assert not isinstance(read(text, now=NOW, by="Hanna", names=club), Events), text


def test_a_very_long_message_is_asked_about(club: Names) -> None:
    reading = read("2 dead in A " * 900, now=NOW, by="Hanna", names=club)
    assert isinstance(reading, Ask)
    assert reading.why == "too_long"
    assert answer(reading, "yes", now=NOW, by="Hanna", names=club) is None


WORDS = st.sampled_from(
    [
        *sorted(vocabulary().phrases)[::3],
        "f2",
        "m1",
        "A",
        "K",
        "tank 1",
        "tub",
        "12",
        "3",
        "#31",
        "res 32",
        "30%",
        "5 mm",
        "$5",
        "yesterday",
        "3/9",
        ",",
        ".",
        "?",
        "and",
        "\n",
        "to",
        "from",
    ]
)
SALAD = st.lists(WORDS, max_size=14).map(" ".join)
WARM = Names.from_json(__import__("json").loads((HERE / "club.json").read_text("utf-8")))


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.text(max_size=120), SALAD))
def test_nothing_that_is_typed_crashes_the_reader(text: str) -> None:
    reading = read(text, now=NOW, by="Hanna", names=WARM)
    assert isinstance(reading, Events | Query | Ask | Nothing)
    if isinstance(reading, Events):
        check_possible(reading)
    if isinstance(reading, Ask):
        again = answer(reading, "12", now=NOW, by="Hanna", names=WARM)
        assert again is None or isinstance(again, Events | Query | Ask | Nothing | Dropped)


def check_possible(reading: Events) -> None:
    for item in reading.items:
        batch = item.slots.get("batch")
        if item.kind not in ("stripped", "batch_joined") and batch is not None:
            assert batch in WARM.batches
        for sex, known in (("female", WARM.females), ("male", WARM.males)):
            assert item.slots.get(sex) is None or item.slots[sex] in known
        if (
            item.kind in ("moved", "culled", "sold", "held_back", "reserved", "died")
            and batch is not None
            and "count" in item.slots
        ):
            assert 1 <= int(str(item.slots["count"])) <= int(WARM.batches[str(batch)]["count"])
        assert str(item.slots.get("on", "2026-09-02")) <= "2026-09-02"
