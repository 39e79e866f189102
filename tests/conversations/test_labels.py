"""The code of a label leads back to the door by which it was asked for, at the place, so that a few words do."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.conversation.message import Origin, Text
from bot.play.stage import PlainStage
from bot.replies.people import ON_TELEGRAM
from tests.conversations.begun import stage_after
from tests.pictures.test_sheets import codes_of

NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
CLUB = """club: Mill Pond Breeders
people: Nell keeper
-- Mon 2 Mar 2026 18:00
Nell: new tank 1, 240 litres
Nell: new tub, 500 litres
Nell: added 4 female yellow labs and a male to tub
"""
BOT = "https://t.me/mill_pond_bot?start="


@pytest.fixture
def stage(tmp_path: Path) -> PlainStage:
    """A keeper with a tank and a tub."""
    return stage_after(CLUB, tmp_path, NOW)


def test_a_label_asked_for_on_telegram_opens_the_chat_at_its_place(stage: PlainStage) -> None:
    nell = stage.ids["Nell"]
    with stage.store.write() as tx:
        tx.people.identify("telegram", "77", nell, "77")
    stage.conversation.visits.links[ON_TELEGRAM] = BOT
    (sheet,) = stage.conversation.hear(Text(Origin(nell, "telegram", "77", "1"), "labels"))
    links = sorted(codes_of(sheet.attachments[0].content))
    assert [link.startswith(BOT) for link in links] == [True, True]
    for link, place in zip(links, ("tank 1", "tub"), strict=True):
        payload = link.removeprefix(BOT)
        assert len(payload) <= 64  # the platform's limit for what /start may carry
        (said,) = stage.conversation.arrive("telegram", "77", "77", "Nell", payload)
        assert said.text.startswith(f"You are at {place}.")
    (changed,) = stage.conversation.hear(Text(Origin(nell, "telegram", "77", "2"), "w/c 30%"))
    assert changed.text.startswith("Tub: 30% of the water changed.")


def test_a_label_elsewhere_opens_the_page_at_its_place(stage: PlainStage) -> None:
    stage.conversation.visits.place_link = "https://club.example/at/{room}/{place}"
    (sheet,) = stage.conversation.hear(Text(Origin(stage.ids["Nell"], "page", "1", "1"), "labels"))
    assert {link.rpartition("/")[2] for link in codes_of(sheet.attachments[0].content)} == {"tank%201", "tub"}
    assert "this machine only" not in sheet.text


def test_codes_that_no_phone_can_open_are_not_printed_unwarned(stage: PlainStage) -> None:
    stage.conversation.visits.place_link = "http://127.0.0.1:8642/at/{room}/{place}"
    (sheet,) = stage.conversation.hear(Text(Origin(stage.ids["Nell"], "page", "1", "1"), "labels"))
    assert "this machine only" in sheet.text
