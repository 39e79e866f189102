"""A message that waited while the bot was away is read as of when it was written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from bot.play.script import parse
from core.store import Store
from tests.telegram.stage import TelegramStage


@pytest.fixture
def stage(store: Store) -> Iterator[TelegramStage]:
    people = parse("club: Gravel Lane; zone Europe/Berlin; units metric; dates DMY\npeople: Marit keeper")
    stage = TelegramStage(store, people, datetime(2026, 3, 1, 8, tzinfo=UTC))
    stage.say("Marit", "new tank 1, 240 litres, 26 C")
    stage.say("Marit", "added 4 female yellow labs and a male to tank 1")
    yield stage
    stage.close()


def test_yesterday_is_the_day_before_it_was_written(stage: TelegramStage) -> None:
    stage.clock.moment = datetime(2026, 3, 2, 6, tzinfo=UTC)  # Monday morning, and the bot is back
    replies = stage.say("Marit", "female 4 holding since yesterday", ago=timedelta(hours=9))  # written late on Sunday
    assert "Sat 28 Feb" in replies[0].text


@pytest.mark.parametrize("ago", [timedelta(seconds=30), timedelta(days=300), timedelta(hours=-3)])
def test_a_clock_that_is_a_little_or_wildly_wrong_is_not_believed(stage: TelegramStage, ago: timedelta) -> None:
    stage.clock.moment = datetime(2026, 3, 1, 23, 0, 10, tzinfo=UTC)  # ten seconds into Monday in Berlin
    replies = stage.say("Marit", "female 4 holding since yesterday", ago=ago)
    assert "Sun 1 Mar" in replies[0].text
