"""What members write stays where it belongs: out of logs and errors, out of spreadsheets' formulas, and no photo is too much."""

import csv
import logging
from collections.abc import Iterator
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest

from bot.conversation import Conversation
from bot.conversation.message import Origin, Picture, Text
from core.store import StoreTrouble
from tests.fuzz.club import KEEPER, Club
from tests.security.conftest import SECRET

EVIL = ('=HYPERLINK("http://evil.example","click")', "+1+1", "@SUM(A1:A9)", "\t=1+1")
"""Formulas as spreadsheets know them (OWASP, CSV injection)."""


@pytest.fixture
def log() -> Iterator[StringIO]:
    """Everything that is logged anywhere at the level the bot runs at by default."""
    written = StringIO()
    handler = logging.StreamHandler(written)
    root = logging.getLogger()
    root.addHandler(handler)
    yield written
    root.removeHandler(handler)


def tables(content: bytes) -> Iterator[list[str]]:
    with ZipFile(BytesIO(content)) as packed:
        for name in packed.namelist():
            if name.endswith(".csv"):
                yield from csv.reader(StringIO(packed.read(name).decode("utf-8-sig")))


def test_nothing_that_is_said_is_logged(club: Club, log: StringIO) -> None:
    for text in (f"my phone is {SECRET}", "note on female 1: a secret affair", "fed tub", "gibberish affair", "undo"):
        club.say(KEEPER, text)
    assert log.getvalue() == ""


def test_an_error_of_the_database_names_no_words_and_no_contacts(club: Club) -> None:
    """A table is gone: the trouble is a sentence, in which nothing stands that somebody wrote."""
    with club.store.write() as tx:
        tx.connection.exec_driver_sql("ALTER TABLE texts RENAME TO texts_away")
    with pytest.raises(StoreTrouble) as caught:
        club.say(KEEPER, f"note on female 1: call {SECRET}")
    with club.store.write() as tx:
        tx.connection.exec_driver_sql("ALTER TABLE texts_away RENAME TO texts")
    chain: list[BaseException | None] = [caught.value, caught.value.__cause__]
    assert not any(SECRET in f"{problem} {problem!r}" for problem in chain)


@pytest.mark.parametrize("evil", EVIL)
def test_no_word_becomes_a_formula_in_an_export(club: Club, evil: str) -> None:
    club.say(KEEPER, f"note on female 1: {evil}")
    [file] = [file for reply in club.say(KEEPER, "give me my data") for file in reply.attachments]
    cells = [cell for row in tables(file.content) for cell in row]
    assert any(evil.strip()[:12] in cell for cell in cells)
    assert not [cell for cell in cells if cell[:1] in "=+-@\t\r" and not number(cell) and cell]


def number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_a_photo_that_is_too_large_is_refused_with_a_sentence(club: Club) -> None:
    before = club.heads()
    huge = b"\xff\xd8\xff\xe0" + bytes(60_000_000)
    [reply] = club.conversation.hear(Picture(club.origin(KEEPER), huge, "female 1"))
    assert reply.text
    assert club.heads() == before


def test_a_poisoned_message_harms_no_other(club: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    """A message on which the bot stumbles leaves nothing half done, and the next one is heard."""
    import bot.conversation.committing as committing

    before = club.heads()
    lines = committing.lines_for

    def stumble(*_: object) -> list[str]:
        raise ZeroDivisionError

    monkeypatch.setattr(committing, "lines_for", stumble)
    with pytest.raises(ZeroDivisionError):
        club.say(KEEPER, "fed tub")
    monkeypatch.setattr(committing, "lines_for", lines)
    assert club.heads() == before
    assert "Fed tub" in club.say(KEEPER, "fed tub")[0].text
    assert club.room() == club.room_anew()


def test_whoever_is_nobody_here_is_told_nothing(club: Club) -> None:
    conversation: Conversation = club.conversation
    [reply] = conversation.hear(Text(Origin("nobody", "page", "x", "1"), "what's available"))
    assert "invitation" in reply.text
