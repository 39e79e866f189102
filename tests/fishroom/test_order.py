"""The order in which things happened, and what counts."""

from datetime import time
from time import process_time

from core.events import Counted, Died, Fed, Moved, Voided, WaterTested
from tests.fishroom.conftest import Telling


def test_what_is_told_late_counts_for_its_day(marit: Telling) -> None:
    """Counted 18 on the fifth day; a loss of the third day told later explains the difference."""
    marit.on(5, Counted("A", 18)).on(3, Died(batch="A", count=2))
    assert [(change.kind, change.count) for change in marit.batch("A").changes[1:]] == [("died", -2)]


def test_within_a_day_the_time_of_day_decides(marit: Telling) -> None:
    marit.on(3, Counted("A", 18), at=time(18)).on(3, Died(batch="A", count=2), at=time(8))
    assert [change.kind for change in marit.batch("A").changes[1:]] == ["died"]


def test_what_is_told_without_a_time_follows_what_was_told_before_it(marit: Telling) -> None:
    marit.on(3, Counted("A", 20), at=time(8)).on(3, Died(batch="A", count=2))
    assert marit.batch("A").count == 18


def test_a_void_of_nothing_is_a_problem(marit: Telling) -> None:
    marit.on(3, Voided(500))
    assert marit.problems == [("no_such_entry", str(len(marit.entries)))]


def test_a_late_loss_turns_a_later_entry_into_a_problem_and_nothing_breaks(marit: Telling) -> None:
    marit.on(5, Died(batch="B", count=6)).on(3, Died(batch="B", count=6))
    assert marit.batch("B").count == 0
    assert marit.problems == [("not_enough", "B")]
    assert marit.room.problems[0].on.day == 7


def test_a_long_journal_is_folded_in_one_go(marit: Telling) -> None:
    """A loose bound (0.1 s on an idle machine), so that a fold that gets slower with the journal's length cannot creep in."""
    for day in range(1, 1001):
        marit.on(day, *(Fed("tub") for _ in range(20)), WaterTested("tub", ph=7.8), Moved("tub", batch="A", count=1))
    began = process_time()
    room = marit.room
    assert process_time() - began < 3
    assert len(room.feedings) == 20_000
