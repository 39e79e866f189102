"""Questions back say what is open, and ask nothing that was just said."""

from __future__ import annotations

from datetime import date

from bot.replies import asks
from bot.replies.words import Style

STYLE = Style(date(2026, 3, 2))


def test_the_only_day_there_is_is_asked_for_once() -> None:
    """Somebody who said "saturday" is asked whether it is that Saturday, without being told that it is unclear."""
    assert asks.sentence("pickup", "uncertain", "2026-03-07", ("Sat 7 Mar",), STYLE) == "Is it Sat 7 Mar?"


def test_another_word_than_the_only_choice_is_said_to_be_unclear() -> None:
    """What was said stays in the question where the choice is another word."""
    said = asks.sentence("place", "ambiguous", "the big one", ("tank 1",), STYLE)
    assert said == "I am not sure what 'the big one' means here. Is it tank 1?"


def test_a_place_nobody_knows_is_named_as_it_was_said() -> None:
    """A tank is a tank, whatever it is called in the book."""
    assert asks.sentence("place", "unknown", "tank 7", (), STYLE).startswith("I know no tank 7 here, so nothing is recorded yet.")


def test_a_day_that_cannot_be_is_named_as_a_day_and_asked_for_as_one() -> None:
    """The end of an absence that lies before its start is no place to go to."""
    assert asks.sentence("to", "impossible", "2026-03-08", (), STYLE) == "Sun 8 Mar cannot be. Which day is it?"


def test_a_number_that_may_be_a_count_is_asked_for_as_fish() -> None:
    """Whoever wrote "A 22" is asked about 22 fish, not about a 22."""
    assert asks.sentence("count", "ambiguous", "22", ("22",), STYLE) == "Do you mean 22 fish?"


def test_a_value_that_cannot_be_is_said_as_it_was_written() -> None:
    """A pH of 18 is no 18.0."""
    assert asks.sentence("ph", "impossible", "18.0", (), STYLE) == "18 cannot be. What was the pH?"
