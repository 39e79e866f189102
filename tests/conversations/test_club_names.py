"""Rows of batches that were made before are taken again, and only for the very same batch."""

from dataclasses import replace
from datetime import date

from bot.conversation.club_names import Rows
from core.fishroom.state import Batch, Group


def test_a_batch_that_changed_has_a_row_of_its_own() -> None:
    rows = Rows()
    batch = Batch("A", "A", "lab", date(2026, 3, 1), groups=(Group("tub", "unsexed", 20),))
    fewer = replace(batch, groups=(Group("tub", "unsexed", 19),))
    assert [rows.of(one)["count"] for one in (batch, fewer, batch)] == [20, 19, 20]
    assert rows.of(batch) is rows.of(batch)


def test_rows_are_let_go_before_there_are_too_many() -> None:
    rows = Rows()
    rows.AT_HAND = 10
    for count in range(1, 100):
        batch = Batch("A", "A", "lab", date(2026, 3, 1), groups=(Group("tub", "unsexed", count),))
        assert rows.of(batch)["count"] == count
    assert len(rows._known) <= 10
