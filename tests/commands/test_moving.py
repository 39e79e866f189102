"""A club moves from one database to another by backup and restore, and both replay alike."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.__main__ import main
from bot.commands.play import play_file
from bot.play.script import parse
from tests.databases import DATABASES, fresh_database

SEASON = """
club: Pebble Shore Cichlid Society; zone Europe/Oslo; units metric; dates DMY
people: Runa keeper; Idris buyer

-- Mon 2 Mar 2026 09:00
Runa: new tank 1, 240 litres, 26 C
Runa: new box 1, 20 litres, hangs in tank 1
Runa: added 4 female yellow labs and a male to tank 1
Runa: female 3 holding since 16 feb
Runa: stripped 3, 31 fry into box 1
Runa: counted A, 29
Runa: offering A at 5 each
Idris: 3 of A please
Runa: 1 dead in A
Runa: undo
"""


def replays_to(text: str) -> str:
    found = re.search(r"replays to ([0-9a-f]{12})", text)
    assert found is not None
    return found[1]


@pytest.fixture(params=DATABASES)
def second(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with fresh_database(request.param, tmp_path) as url:
        yield url


def test_what_is_restored_replays_to_what_was_backed_up(
    second: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    first = f"sqlite:///{tmp_path / 'first.sqlite'}"
    play_file(parse(SEASON), first)
    monkeypatch.setenv("FRYWIRE_DATABASE", first)
    assert main(["backup", str(tmp_path / "club.backup")]) == 0
    told = replays_to(capsys.readouterr().out)
    monkeypatch.setenv("FRYWIRE_DATABASE", second)
    assert main(["restore", str(tmp_path / "club.backup")]) == 0
    assert replays_to(capsys.readouterr().out) == told


def test_another_season_replays_to_something_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    prints = set()
    for number, script in enumerate((SEASON, SEASON.replace("counted A, 29", "counted A, 28"))):
        url = f"sqlite:///{tmp_path / str(number)}.sqlite"
        play_file(parse(script), url)
        monkeypatch.setenv("FRYWIRE_DATABASE", url)
        main(["backup", str(tmp_path / f"{number}.backup")])
        prints.add(replays_to(capsys.readouterr().out))
    assert len(prints) == 2
