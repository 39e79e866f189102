"""Long texts are folded at paragraph ends, lose no word, and keep under the platform's limit of 4096 UTF-16 units."""

from __future__ import annotations

import html

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.telegram.fold import clip, fold
from tests.telegram.markup import parse_html, units

WORDS = st.text(st.sampled_from("ab é🐟𝔘ß.<&>'\n "), max_size=400)


def test_a_short_text_stays_whole() -> None:
    assert fold("Female 4 holds.") == ["Female 4 holds."]
    assert fold(" \n ") == []


def test_a_long_text_is_folded_at_the_end_of_a_paragraph() -> None:
    first, second = "Tank 1. " * 300 + "\n" + "Tank 2. " * 150, "Tank 3. " * 200
    assert fold(f"{first.strip()}\n\n{second.strip()}") == [first.strip(), second.strip()]


def test_without_paragraphs_it_is_folded_at_a_line_a_sentence_or_a_word() -> None:
    lines = "\n".join(["x" * 99] * 60)
    assert [len(part) for part in fold(lines)] == [4099 - 100, 60 * 100 - 1 - 4000]
    sentences = " ".join(["y" * 98 + "."] * 60)
    assert all(part.endswith(".") for part in fold(sentences))
    words = " ".join(["z" * 99] * 60)
    assert {word for part in fold(words) for word in part.split()} == {"z" * 99}


def test_fish_that_take_two_units_are_counted_twice() -> None:
    parts = fold("🐟" * 3000)
    assert [units(part) for part in parts] == [4096, 1904]


@settings(max_examples=80, deadline=None)
@given(text=WORDS, limit=st.integers(20, 60))
def test_no_part_is_too_long_and_no_word_is_lost(text: str, limit: int) -> None:
    parts = fold(text, limit)
    assert all(0 < units(part) <= limit for part in parts)
    assert "".join("".join(parts).split()) == "".join(text.split())


@settings(max_examples=50, deadline=None)
@given(text=WORDS)
def test_what_is_escaped_is_shown_as_it_was_written(text: str) -> None:
    assert parse_html(html.escape(text, quote=False)) == (text.strip(), [])


@settings(max_examples=50, deadline=None)
@given(text=WORDS, limit=st.integers(2, 40))
def test_a_clipped_label_fits_and_says_that_it_was_cut(text: str, limit: int) -> None:
    short = clip(text, limit)
    assert units(short) <= limit
    assert short == text or short.endswith("…")
