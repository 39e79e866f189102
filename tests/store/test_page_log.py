"""A member's log on the page is numbered, kept once for every message of a browser, and nobody else's."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.store import Store, StoreTrouble
from core.store.page import PageEntry, PageFile

MONDAY = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
CHART = PageFile("chart-1", "growth.png", "image/png", b"\x89PNG")


def line(words: str, **more: object) -> PageEntry:
    return PageEntry("bot", MONDAY, words, **more)  # type: ignore[arg-type]


def test_lines_are_numbered_for_each_member_and_read_in_pieces(store: Store) -> None:
    with store.write() as tx:
        assert tx.pages.write("marit", [line("one"), line("two")]) == 2
        assert tx.pages.write("oleg", [line("his")]) == 1
        assert tx.pages.write("marit", [line("three")]) == 3
    with store.read() as tx:
        assert [(each.number, each.words) for each in tx.pages.after("marit", 1, 10)] == [(2, "two"), (3, "three")]
        assert [each.words for each in tx.pages.before("marit", 3, 1)] == ["two"]
        assert tx.pages.last("nobody") == 0


def test_a_line_comes_back_as_it_was_written(store: Store) -> None:
    told = line(
        "Heard.",
        client="m-1",
        part=1,
        buttons=((("Take back", "1aX"),),),
        instead_of=4,
        about=3,
        files=(("f", "a.png", "image/png", 4),),
    )
    with store.write() as tx:
        tx.pages.write("marit", [told])
    with store.read() as tx:
        (found,) = tx.pages.after("marit", 0, 10)
    assert (found.number, found.at, found.words) == (1, MONDAY, "Heard.")
    assert (found.buttons, found.files, found.instead_of, found.about) == (told.buttons, told.files, 4, 3)


def test_a_message_of_a_browser_is_written_once(store: Store) -> None:
    with store.write() as tx:
        assert not tx.pages.heard("marit", "m-1")
        tx.pages.write("marit", [line("2 dead", client="m-1"), line("Noted.", client="m-1", part=1)])
        assert tx.pages.heard("marit", "m-1")
        assert not tx.pages.heard("oleg", "m-1")
    with pytest.raises(StoreTrouble), store.write() as tx:
        tx.pages.write("marit", [line("2 dead", client="m-1")])


def test_files_are_their_owners_and_go_in_time(store: Store) -> None:
    with store.write() as tx:
        tx.pages.write("marit", [line("chart")], [CHART])
        assert tx.pages.file("marit", "chart-1") == CHART
        assert tx.pages.file("oleg", "chart-1") is None
        assert tx.pages.drop_files(MONDAY) == 0
        assert tx.pages.drop_files(MONDAY + timedelta(seconds=1)) == 1
        assert tx.pages.file("marit", "chart-1") is None


def test_a_forgotten_member_leaves_no_log(store: Store) -> None:
    with store.write() as tx:
        tx.people.add("Marit", MONDAY, id="marit")
        tx.pages.write("marit", [line("a secret")], [CHART])
        tx.leaving.forget("marit", MONDAY)
        assert tx.pages.last("marit") == 0
        assert tx.pages.file("marit", "chart-1") is None
