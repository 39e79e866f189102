"""A button belongs to its member, works once, and grows old; a forged or borrowed one changes nothing and is answered kindly."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from bot.play.script import parse
from bot.play.stage import Shown
from bot.replies import talk
from core.store import Store
from tests.telegram.stage import TelegramStage

MONDAY = datetime(2026, 3, 2, 8, tzinfo=UTC)


@pytest.fixture
def stage(store: Store) -> Iterator[TelegramStage]:
    """Marit has just told that female 4 holds, and was offered to take it back."""
    people = parse("club: Gravel Lane; zone Europe/Berlin; units metric; dates DMY\npeople: Marit keeper; Oleg keeper")
    stage = TelegramStage(store, people, MONDAY)
    stage.say("Marit", "new tank 1, 240 litres, 26 C")
    stage.say("Marit", "added 4 female yellow labs and a male to tank 1")
    stage.say("Marit", "female 4 holding since saturday")
    yield stage
    stage.close()


def offered(stage: TelegramStage) -> str:
    return stage.members["Marit"].chat.button(talk.TAKE_BACK)[1]


def holds(stage: TelegramStage) -> bool:
    return any("Female 4" in one.text for one in stage.say("Marit", "who is holding?"))


def said(replies: list[Shown]) -> str:
    return "\n".join(one.text for one in replies)


def test_a_borrowed_button_does_nothing(stage: TelegramStage) -> None:
    data = offered(stage)
    assert talk.FOREIGN_BUTTON in said(stage.press_data("Oleg", data))
    assert holds(stage)


def test_a_forged_button_does_nothing(stage: TelegramStage) -> None:
    for data in ("1:AAAAAAAAAAAAAAAAAAAAAA", "1:", "1:" + "x" * 62, "1:'; DROP TABLE buttons; --", "take back", "\x00"):
        replies = stage.press_data("Marit", data)
        assert replies, data
    assert holds(stage)


def test_a_button_works_once(stage: TelegramStage) -> None:
    data = offered(stage)
    stage.press_data("Marit", data)
    assert not holds(stage)
    stage.press("Marit", talk.PUT_BACK)
    assert holds(stage)
    assert talk.USED_BUTTON in said(stage.press_data("Marit", data))
    assert holds(stage)


def test_an_old_button_asks_before_it_does_anything(stage: TelegramStage) -> None:
    data = offered(stage)
    stage.clock.moment = MONDAY + timedelta(days=40)
    assert talk.EXPIRED_BUTTON in said(stage.press_data("Marit", data))
    assert holds(stage)


def test_every_press_is_acknowledged(stage: TelegramStage) -> None:
    data = offered(stage)
    for name in ("Oleg", "Marit", "Marit"):
        stage.press_data(name, data)
    assert len(stage.double.queries) == 3
    assert None not in stage.double.queries.values()
