"""A full disk, a folder that cannot be written to, a damaged file: a clear sentence, nothing by half, and on it goes afterwards."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event

from bot.__main__ import main
from bot.clock import WallClock
from bot.conversation import Conversation
from bot.telegram import Settings, serve
from core.events import WaterChanged
from core.store import DiskFull, Store
from tests.faults.club import begin, look
from tests.faults.conftest import Fishrooms
from tests.telegram.double import TOKEN, Double


@contextmanager
def full_disk(store: Store) -> Iterator[None]:
    """No page can be added: SQLite fails then as on a full disk (documentation, "PRAGMA max_page_count", SQLITE_FULL)."""

    def limit(connection: object) -> None:
        raw = connection.exec_driver_sql  # type: ignore[attr-defined]
        raw("PRAGMA max_page_count = 1")

    with store.write() as tx:  # what is free already is used up, so that the next page has to be a new one
        tx.connection.exec_driver_sql("CREATE TABLE IF NOT EXISTS ballast (words)")
        while tx.connection.exec_driver_sql("PRAGMA freelist_count").scalar_one():
            tx.connection.exec_driver_sql("INSERT INTO ballast VALUES (zeroblob(3000))")
    event.listen(store.writer, "begin", limit)
    try:
        yield
    finally:
        event.remove(store.writer, "begin", limit)
        store.writer.dispose()


def test_a_full_disk_records_all_or_nothing(club: Fishrooms) -> None:
    told = [f"{percent}% wc tank 1" for percent in range(1, 90)]
    before = club.entries("marit")
    refused: list[int] = []
    with full_disk(club.store):
        for number, text in enumerate(told):
            try:
                club.say("marit", text, f"wc{number}")
            except DiskFull:
                refused.append(number)
            assert club.entries("marit") == before + number + 1 - len(refused)
    assert refused, "the disk was full"
    for number in refused:
        club.say("marit", told[number], f"wc{number}")
    with club.store.read() as tx:
        percents = [one.event.percent for one in tx.journal.entries("fishroom:r-marit") if isinstance(one.event, WaterChanged)]
    assert len(percents) == 89
    assert set(percents) == set(range(1, 90))


async def test_members_wait_through_a_full_disk_and_the_organiser_learns_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.telegram.inbox._PAUSE", 0.05)
    monkeypatch.setattr("bot.telegram.alarm.CALM", 2.0)
    store = Store.open(f"sqlite:///{tmp_path}/club.sqlite")
    async with Double() as double:
        keepers = begin(store, double, 2).keepers
        organiser, oleg = (keeper.member for keeper in keepers)
        clock = WallClock()
        async with serve(Settings(TOKEN, double.base_url, tick_seconds=0.1), store, Conversation(store, clock), clock) as door:
            await door.ready()
            await double.until(lambda: all(keeper.member.texts for keeper in keepers))
            with full_disk(store):
                for percent in range(1, 40):
                    sent = oleg.say(f"{percent}% wc tank 1")
                    keepers[1].tell(sent["message_id"], percent)
                await double.until(lambda: any("needs you" in text for text in organiser.texts), 20)
                await double.until(lambda: any("need not send it again" in text for text in oleg.texts), 20)
                assert "disk is full" in "".join(organiser.texts)
            await double.until(lambda: any("39" in text for text in oleg.texts), 30)
            await double.until(lambda: any("written to again" in text for text in organiser.texts), 20)
    found = look(store, keepers[1])
    assert (found.lost, found.doubled, found.wrong) == (0, 0, 0)
    assert sum("need not send it again" in text for text in oleg.texts) == 1
    assert sum("needs you" in text for text in organiser.texts) == 1
    store.close()


def test_a_read_only_database_is_told_at_the_start_and_by_check(
    club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _forbid(club.path, monkeypatch)
    assert main(["start", "--no-page"]) == 3
    assert "cannot be written to" in capsys.readouterr().err
    assert main(["check", "--offline"]) == 1
    assert "cannot be written to" in capsys.readouterr().out


@pytest.mark.parametrize("kept", [0.02, 0.3, 0.7])
def test_a_truncated_database_is_told_in_a_sentence(
    kept: float, club: Fishrooms, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    club.store.close()
    content = club.path.read_bytes()
    club.path.write_bytes(content[: int(len(content) * kept)])
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{club.path}")
    assert main(["check", "--offline"]) == 1
    assert "damaged" in capsys.readouterr().out


def test_a_file_that_is_no_database_is_told_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "club.sqlite").write_text("holiday plans\n" * 100)
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{tmp_path}/club.sqlite")
    monkeypatch.setenv("FRYWIRE_TELEGRAM_TOKEN", TOKEN)
    assert main(["start", "--no-page"]) == 3
    said = capsys.readouterr().err
    assert "not one of Frywire's" in said
    assert "Traceback" not in said


def _forbid(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FRYWIRE_DATABASE", f"sqlite:///{path}")
    monkeypatch.setenv("FRYWIRE_TELEGRAM_TOKEN", TOKEN)
    asked = os.access
    path.chmod(0o400)  # root may write all the same, so the system's answer for everybody else is given

    def answer(file: object, mode: int) -> bool:
        return False if Path(str(file)) == path and mode == os.W_OK else asked(str(file), mode)

    monkeypatch.setattr(os, "access", answer)
