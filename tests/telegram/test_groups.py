"""The club's group: its organiser calls the bot in, the bot speaks when spoken to, and posts the shelf once a week."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from bot.play.script import parse
from core.store import Store
from tests.telegram.stage import TelegramStage
from tests.telegram.world import Chat


@pytest.fixture
def stage(store: Store) -> Iterator[TelegramStage]:
    people = parse("club: Gravel Lane; zone Europe/Berlin; units metric; dates DMY\npeople: Marit keeper+organiser; Oleg buyer")
    stage = TelegramStage(store, people, datetime(2026, 3, 2, 8, tzinfo=UTC))
    yield stage
    stage.close()


@pytest.fixture
def group(stage: TelegramStage) -> Chat:
    return stage.double.group("Gravel Lane")


def groups(store: Store) -> list[tuple[str, str]]:
    with store.read() as tx:
        return tx.clubs.groups("c1")


def test_the_group_becomes_the_clubs_when_its_organiser_calls_the_bot_in(
    stage: TelegramStage, group: Chat, store: Store
) -> None:
    stage.in_group("Oleg", group, "/start@frywire_test_bot")
    assert groups(store) == []
    stage.in_group("Marit", group, "/start@frywire_test_bot")
    assert groups(store) == [("telegram", str(group.id))]


def test_a_question_in_the_group_is_answered_there(stage: TelegramStage, group: Chat) -> None:
    assert stage.in_group("Oleg", group, "anybody going to the show?") == []
    (answer,) = stage.in_group("Oleg", group, "@frywire_test_bot what's available?")
    assert answer
    assert stage.members["Oleg"].texts == []


def test_the_shelf_is_posted_once_a_week_and_follows_the_group(stage: TelegramStage, group: Chat, store: Store) -> None:
    stage.in_group("Marit", group, "/start")
    for text in (
        "new tank 1, 240 litres, 26 C",
        "added 20 yellow lab juveniles to tank 1, 40 mm",
        "batch A for sale, 5 each",
    ):
        stage.say("Marit", text)
    new = stage.in_loop(group.migrate)
    stage.advance(stage.clock.moment + timedelta(days=7))
    stage.unasked()
    assert groups(store) == [("telegram", str(new.id))]
    (post,) = new.texts
    assert "yellow lab" in post.casefold()
