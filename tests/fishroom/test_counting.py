"""Counts are assertions, and deaths nobody could assign are settled by them."""

from core.events import BatchJoined, Counted, Died, Mixed, Moved, Sexed, Sold
from tests.fishroom.conftest import Telling


def changes(marit: Telling, letter: str) -> list[tuple[str, int]]:
    return [(change.kind, change.count) for change in marit.batch(letter).changes[1:]]


def waiting(marit: Telling) -> list[tuple[int, tuple[str, ...]]]:
    return [(deaths.count, deaths.batches) for deaths in marit.room.unassigned]


def test_a_count_below_the_book_leaves_a_dated_unexplained(marit: Telling) -> None:
    marit.on(4, Counted("A", 18))
    (change,) = marit.batch("A").changes[1:]
    assert (change.kind, change.count, change.on.isoformat()) == ("unexplained", -2, "2026-03-06")
    assert (marit.batch("A").counts[0].count, marit.batch("A").counts[0].book) == (18, 20)


def test_a_count_above_the_book_found_some(marit: Telling) -> None:
    marit.on(4, Counted("A", 21))
    assert changes(marit, "A") == [("found", 1)]


def test_a_count_that_agrees_changes_nothing(marit: Telling) -> None:
    marit.on(4, Counted("A", 20))
    assert changes(marit, "A") == []
    assert len(marit.batch("A").counts) == 1


def test_missing_fish_are_those_nobody_sexed_in_proportion_to_where_they_were(marit: Telling) -> None:
    marit.on(1, Sexed("A", males=4)).on(2, Moved("tank 2", batch="A", count=4, sex="unsexed")).on(3, Counted("A", 16))
    batch = marit.batch("A")
    assert batch.count_of("male") == 4
    assert {(g.place, g.count) for g in batch.groups if g.sex == "unsexed"} == {("tub", 9), ("tank 2", 3)}


def test_dead_fish_of_several_batches_wait_for_a_count(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=2))
    assert waiting(marit) == [(2, ("A", "B"))]
    assert (marit.batch("A").count, marit.batch("B").count) == (20, 10)


def test_the_first_count_that_finds_fewer_takes_them_and_the_surplus_is_unexplained(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=2)).on(3, Counted("A", 17))
    assert changes(marit, "A") == [("assigned_death", -2), ("unexplained", -1)]
    assert waiting(marit) == []
    assert marit.batch("B").count == 10


def test_a_full_count_of_one_leaves_the_deaths_to_the_other(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=2)).on(3, Counted("A", 20))
    assert changes(marit, "A") == []
    assert changes(marit, "B") == [("assigned_death", -2)]
    assert waiting(marit) == []


def test_of_three_batches_two_stay_in_question(marit: Telling) -> None:
    marit.on(1, BatchJoined("C", "lab", 5, to="tub"), Died(place="tub", count=3)).on(3, Counted("A", 19))
    assert changes(marit, "A") == [("assigned_death", -1)]
    assert waiting(marit) == [(2, ("B", "C"))]


def test_batches_that_are_mixed_take_their_unassigned_deaths_with_them(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=2)).on(2, Mixed(("A", "B"), "B", "tub"))
    assert marit.batch("B").count == 28
    assert waiting(marit) == []


def test_a_batch_that_is_sold_out_was_not_the_one(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=2)).on(2, Sold("B", 10))
    assert changes(marit, "A") == [("assigned_death", -2)]


def test_a_death_where_only_one_batch_lives_is_its(marit: Telling) -> None:
    marit.on(1, Moved("tank 2", batch="B")).on(2, Died(place="tub", count=2))
    assert changes(marit, "A") == [("died", -2)]


def test_a_death_where_one_known_fish_lives_is_hers_and_of_several_it_must_be_said(marit: Telling) -> None:
    marit.on(1, Died(place="tank 2"))
    assert not marit.room.fish["F1"].alive_here
    marit.on(2, Died(place="tank 1"))
    assert marit.problems == [("who_died", "tank 1")]


def test_no_more_deaths_wait_than_there_are_fish(marit: Telling) -> None:
    marit.on(1, Died(place="tub", count=25)).on(2, Died(place="tub", count=25))
    assert sum(count for count, _ in waiting(marit)) == 30
    assert marit.problems == [("not_enough", "tub")]


def test_a_loss_told_late_for_a_day_with_a_count_comes_before_or_after_it(marit: Telling) -> None:
    """Twenty in the book, eighteen counted; two died that day. Before the count it is explained, after it two more are gone."""
    marit.on(4, Counted("A", 18))
    told = len(marit.entries)
    marit.on(4, Died(batch="A", count=2, after_count=False))
    assert (marit.batch("A").count, changes(marit, "A")) == (18, [("died", -2)])
    del marit.entries[told:]
    marit.on(4, Died(batch="A", count=2, after_count=True))
    assert (marit.batch("A").count, changes(marit, "A")) == (16, [("unexplained", -2), ("died", -2)])
