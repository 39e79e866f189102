"""The README says what is so."""

from pathlib import Path

from bot.commands.play import play_file
from bot.play.player import differences
from bot.play.script import parse
from bot.settings import SETTINGS

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def test_every_setting_stands_in_its_one_table_with_its_default() -> None:
    for setting in SETTINGS:
        assert f"| `{setting.name}` | {setting.default} | {setting.meaning} |" in README


def test_the_command_that_ci_runs_is_the_one_people_read() -> None:
    block = README.split("<!-- tests -->")[1].split("```")[1]
    assert block.splitlines()[1].endswith(".venv/bin/python -m pytest -q")


def test_its_example_goes_as_it_is_written() -> None:
    example = README.split("<!-- example -->")[1].split("```")[1].lstrip("\n")
    assert [one for step in play_file(parse(example)) for one in differences(step)] == []
