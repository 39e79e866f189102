"""A conversation file is played through the real front door, and what is said there is what the file expects."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.play.player import Played, differences, first_moment, play
from bot.play.script import Script, parse
from core.store import Store
from tests.telegram.stage import TelegramStage


@pytest.fixture
def script() -> Script:
    return parse(Path(__file__).with_name("day.chat").read_text())


@pytest.fixture
def stage(store: Store, script: Script) -> Iterator[TelegramStage]:
    stage = TelegramStage(store, script, first_moment(script))
    yield stage
    stage.close()


def test_a_day_is_played_over_the_platform(stage: TelegramStage, script: Script, store: Store) -> None:
    steps: list[Played] = list(play(script, stage, first_moment(script)))
    assert [difference for played in steps for difference in differences(played)] == []
    with store.read() as tx:
        (photo,) = tx.photos.of(stage.people["Marit"])
        assert tx.photos.file(photo, "telegram") in stage.double.files
        assert tx.inbox.pending("telegram") == tx.inbox.aside("telegram") == []
    assert stage.double.count("answerCallbackQuery") == 2
