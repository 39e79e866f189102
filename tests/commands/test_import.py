"""`frywire import`: shown, asked, then all of it or nothing."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.__main__ import main
from tests.fuzz.club import Club

SHEET = "strain,count,place\nyellow lab,12,tub\nyellow lab,5,tank 1\n"


@pytest.fixture
def club(monkeypatch: pytest.MonkeyPatch) -> Iterator[Club]:
    made = Club()
    for text in ("new tank 1, 300 litres, 26 C", "new tub, 500 litres, 26 C"):
        made.say("Marit", text)
    monkeypatch.setenv("FRYWIRE_DATABASE", made.url)
    yield made
    made.close()


def sheet(folder: Path, text: str) -> str:
    file = folder / "fish.csv"
    file.write_text(text, "utf-8")
    return str(file)


def test_a_sheet_comes_in_once_it_was_said_to_be_right(
    club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("builtins.input", lambda _: "y")
    assert main(["import", sheet(tmp_path, SHEET), "--as", "Marit"]) == 0
    told = capsys.readouterr().out
    assert "strain: strain   e.g. yellow lab" in told
    assert "2 rows imported" in told
    assert [batch.count for batch in club.room_anew().batches.values()] == [12, 5]


def test_a_column_that_was_guessed_wrong_is_put_right(
    club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = iter(["Tails = number", "Swim = count", "yes"])
    monkeypatch.setattr("builtins.input", lambda _: next(answers))
    text = "strain,fry,swim,remarks\nyellow lab,30,12,pale\n"
    assert main(["import", sheet(tmp_path, text), "--as", "Marit"]) == 0
    told = capsys.readouterr().out
    assert "no column headed “Tails”" in told
    assert "swim: count   e.g. 12" in told
    assert [batch.count for batch in club.room_anew().batches.values()] == [12]
    assert "Note on batch A: pale" in club.say("Marit", "history A")[0].text


def test_what_is_not_right_stays_out(
    club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = club.heads()
    monkeypatch.setattr("builtins.input", lambda _: "n")
    assert main(["import", sheet(tmp_path, SHEET), "--as", "Marit"]) == 1
    assert main(["import", sheet(tmp_path, SHEET + "unicorn,3,tub\n"), "--as", "Marit", "--yes"]) == 1
    assert "Row 4: I know no strain “unicorn”" in capsys.readouterr().out
    assert club.heads() == before


def test_only_a_keeper_has_a_fishroom_to_import_into(club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", sheet(tmp_path, SHEET), "--as", "Bo", "--yes"]) == 2
    assert "no keeper called Bo" in capsys.readouterr().err
