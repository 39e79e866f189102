"""Whatever cannot be read is answered with a sentence that says what to do instead."""

from typing import get_args

import pytest

from bot.pictures.photos import Why
from bot.replies import pictured, talk
from bot.telegram.incoming import _KINDS


@pytest.mark.parametrize("kind", sorted(_KINDS.values()))
def test_each_kind_is_named_with_its_article(kind: str) -> None:
    assert f" {'an' if kind[0] in 'aeiou' else 'a'} {kind}, sorry" in talk.cannot_read(kind)


def test_a_photo_that_cannot_be_fetched_is_not_called_unreadable() -> None:
    assert "as a photo instead of as a file" in talk.cannot_read("photo")


@pytest.mark.parametrize("why", get_args(Why))
def test_a_photo_that_is_not_kept_says_why_in_words(why: str) -> None:
    said = pictured.unusable(why)
    assert said == pictured.UNUSABLE[why]
    assert "_" not in said


def test_a_smile_and_a_row_of_question_marks_are_answered_apart() -> None:
    assert talk.nothing("\N{TROPICAL FISH}", was_recorded=False).startswith("Nice.")
    assert talk.nothing("?????", was_recorded=False) == talk.HOW


def test_a_buyer_is_shown_what_a_buyer_can_say() -> None:
    for text in ("hello", "qwertz"):
        assert "available" in talk.nothing(text, was_recorded=False, keeps=False)
        assert "holding" not in talk.nothing(text, was_recorded=False, keeps=False)
