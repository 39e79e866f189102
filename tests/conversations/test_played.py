"""Every conversation file says what is expected of it, and is played straight against the conversation."""

from pathlib import Path

import pytest

from bot.commands.play import play_file
from bot.play.player import differences
from bot.play.script import parse

FILES = sorted(Path(__file__).parent.glob("*.chat"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_conversation_goes_as_it_is_written(path: Path) -> None:
    played = play_file(parse(path.read_text(encoding="utf-8")))
    missed = [f"line {one.line}: expected {one.expected!r}, said {one.said!r}" for step in played for one in differences(step)]
    assert not missed
