"""What a stranger types at the command line, and what comes back."""

import json
import os
import subprocess
import sys
from contextlib import closing
from getpass import getuser
from pathlib import Path

import pytest

from bot.__main__ import COMMANDS, main
from bot.commands.demo import brings_words
from bot.commands.start import warn_without_club
from core.store import Store

SCRIPT = """club: Pebble Shore; zone Europe/Oslo; units metric; dates DMY
people: Runa keeper

-- Mon 2 Mar 2026 09:00
Runa: new tank 1, 240 litres, 26 C
bot: Tank 1 …
   [Take back]
"""


@pytest.fixture
def database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    url = f"sqlite:///{tmp_path / 'club.sqlite'}"
    monkeypatch.setenv("FRYWIRE_DATABASE", url)
    for name in ("FRYWIRE_TELEGRAM_TOKEN", "FRYWIRE_LOG_LEVEL", "FRYWIRE_PAGE_PORT"):
        monkeypatch.delenv(name, raising=False)
    return url


def test_without_a_subcommand_every_one_of_them_explains_itself(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    for name, purpose in COMMANDS.items():
        assert name in shown
        assert purpose.split(",")[0] in shown


@pytest.mark.parametrize("name", COMMANDS)
def test_each_subcommand_has_help_of_its_own(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main([name, "--help"])
    assert left.value.code == 0
    assert f"frywire {name}" in capsys.readouterr().out


def test_a_message_is_read_against_the_species_even_before_there_is_a_club(
    database: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["read", "new tank 1, 240 litres, 26 C"]) == 0
    read = json.loads(capsys.readouterr().out)
    assert read["events"] == [{"kind": "place_added", "place": "tank 1", "type": "tank", "litres": 240.0, "temp_c": 26.0}]


def test_a_conversation_that_goes_as_written_leaves_with_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "good.chat"
    path.write_text(SCRIPT, encoding="utf-8")
    assert main(["play", str(path)]) == 0
    assert "Runa: new tank 1" in capsys.readouterr().out


def test_one_that_does_not_leaves_with_1_and_shows_both_sides(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bad.chat"
    path.write_text(SCRIPT.replace("bot: Tank 1 …", "bot: Tank 7 …"), encoding="utf-8")
    assert main(["play", "--quiet", str(path)]) == 1
    shown = capsys.readouterr().err
    assert "bad.chat:6" in shown
    assert "Tank 7 …" in shown
    assert "Tank 1 added" in shown


def test_write_puts_down_what_was_said(tmp_path: Path) -> None:
    path = tmp_path / "rewritten.chat"
    path.write_text(SCRIPT.replace("bot: Tank 1 …", "bot: Tank 7 …"), encoding="utf-8")
    assert main(["play", "--quiet", "--write", str(path)]) == 0
    written = path.read_text(encoding="utf-8")
    assert "bot: Tank 1 added: 240 L, 26 °C." in written
    assert "Tank 7" not in written
    assert main(["play", "--quiet", str(path)]) == 0


def test_the_first_invitation_makes_the_club_and_check_finds_it(database: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--offline"]) == 1
    assert "WRONG  club: none yet" in capsys.readouterr().out
    assert main(["invite", "Runa", "--club", "Pebble Shore", "--zone", "Europe/Oslo"]) == 0
    assert "/join/" in capsys.readouterr().out
    assert main(["check", "--offline"]) == 0
    assert "club: Pebble Shore" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "value"),
    [("FRYWIRE_LOG_LEVEL", "loud"), ("FRYWIRE_PAGE_PORT", "many"), ("FRYWIRE_DATABASE", "mysql://here"), ("FRYWIRE_BACKUP_DAYS", "-1")],
)
def test_a_wrong_setting_is_refused_by_name(
    name: str, value: str, database: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(name, value)
    assert main(["start"]) == 2
    assert name in capsys.readouterr().err


def test_a_backup_restores_into_an_empty_database_and_only_there(
    database: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["invite", "Runa", "--club", "Pebble Shore"])
    assert main(["backup", str(tmp_path / "club.backup")]) == 0
    assert main(["restore", str(tmp_path / "club.backup")]) == 3
    assert "empty" in capsys.readouterr().err
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{tmp_path / 'other.sqlite'}")
    assert main(["restore", str(tmp_path / "club.backup")]) == 0
    assert main(["check", "--offline"]) == 0


def test_the_unit_starts_this_very_installation(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["unit"]) == 0
    unit = capsys.readouterr().out
    assert f"ExecStart={sys.executable} -m bot start" in unit
    assert f"User={getuser()}\n" in unit  # in whose data folder `frywire invite` made the club


def test_the_demo_answers_what_a_keeper_asks_in_plain_words() -> None:
    asked = (
        "when can I strip 4?\nwhat is due\nhow big is C and when can I sell it?\nis the tub safe?\n"
        "are 4 and Rook related?\nwhat should D eat?\nhow many unsexed to buy for 1 male and 4 females?\n"
    )
    run = subprocess.run([sys.executable, "-m", "bot", "demo"], input=asked, capture_output=True, text=True, check=True)
    for wanted in ("Strip window", "to do", "Batch C", "Tub", "inbreeding", "a day", "unsexed fish"):
        assert wanted in run.stdout
    assert "nothing to record" not in run.stdout


def test_the_demo_is_piped_into_by_a_file_and_opens_its_page_where_nothing_comes(tmp_path: Path) -> None:
    (tmp_path / "words").write_text("what is due", encoding="utf-8")
    with (tmp_path / "words").open() as words, Path(os.devnull).open() as nothing:
        assert brings_words(words)
        assert not brings_words(nothing)


def test_starting_without_a_club_says_how_to_make_one(database: str, caplog: pytest.LogCaptureFixture) -> None:
    with closing(Store.open(database)) as store:
        warn_without_club(store)
    assert "frywire invite" in caplog.text
    assert main(["invite", "Ada", "--club", "Pebble Shore", "--zone", "Europe/Oslo"]) == 0
    caplog.clear()
    with closing(Store.open(database)) as store:
        warn_without_club(store)
    assert caplog.text == ""


def test_an_invitation_names_the_page_as_others_can_open_it(
    database: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FRYWIRE_PAGE_HOST", "0.0.0.0")
    monkeypatch.setenv("FRYWIRE_PAGE_NAMES", "fishroom.lan")
    assert main(["invite", "Ada", "--club", "Pebble Shore"]) == 0
    assert "http://fishroom.lan:8642/join/" in capsys.readouterr().out
