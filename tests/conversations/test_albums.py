"""Several photos sent in one go are kept one by one, and what their caption reports happened once."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.conversation.message import Origin, Picture
from bot.play.stage import EXAMPLE_PHOTO, PlainStage
from tests.conversations.begun import stage_after

NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
CLUB = """club: Mill Pond Breeders
people: Nell keeper
-- Mon 2 Mar 2026 18:00
Nell: new tub, 500 litres
Nell: bought 30 young yellow labs, 40 mm, into tub
"""


@pytest.fixture
def stage(tmp_path: Path) -> PlainStage:
    """A keeper with 30 young fish in a tub."""
    return stage_after(CLUB, tmp_path, NOW)


def photo(stage: PlainStage, message: str, caption: str, *, more: bool) -> list[str]:
    origin = Origin(stage.ids["Nell"], "play", "Nell", message)
    replies = stage.conversation.hear(Picture(origin, EXAMPLE_PHOTO.read_bytes(), caption, more=more))
    return [reply.text for reply in replies]


def test_two_dead_in_an_album_of_three_photos_are_two_dead(stage: PlainStage) -> None:
    said = [photo(stage, f"p{n}", "2 dead in tub", more=n > 0) for n in range(3)]
    assert "28 fish now in A" in said[0][0]
    assert [text.splitlines()[0] for (text,) in said] == ["Photo kept with tub."] * 3
    assert "28 fish" in stage.say("Nell", "how many in A")[0].text


def test_an_album_without_a_caption_is_asked_about_once(stage: PlainStage) -> None:
    said = [photo(stage, f"p{n}", "", more=n > 0) for n in range(4)]
    assert [len(replies) for replies in said] == [1, 0, 0, 0]
    assert "caption" in said[0][0]
