"""The shelf, the books and the tables: honest numbers, and cells that no spreadsheet takes for formulas."""

import csv
from decimal import Decimal
from io import StringIO

import pytest

from core.fishroom.state import Change, CountSaid, Note, Offer, Stay
from core.planning.books import batch_journal, books, held_back_now
from core.planning.shelf import shelf_rows
from core.planning.tables import csv_tables, safe
from tests.planning.garden import MORTAL, NOON, REAL, SURE, TODAY, after, batch, reservation, room

LIFE = (
    Change(after(-400), "stripped", 30, 1),
    Change(after(-390), "died", -3, 2),
    Change(after(-100), "sold", -4, 3, to="Oleg", price=Decimal("20.00")),
    Change(after(-50), "collected", -5, 4, to="Priya", price=Decimal("25.00"), reservation=7),
    Change(after(-40), "collected", -2, 5, to="Tomek", reservation=8),
    Change(after(-30), "unexplained", -1, 6),
    Change(after(-20), "bred_on", -2, 7),
    Change(after(-10), "culled", -1, 8),
)


def test_every_fish_of_a_season_is_accounted_for() -> None:
    """A batch of 30, told in eight changes over two years, added up by hand."""
    found = room([batch(unsexed=12, changes=LIFE, held_back=(("unsexed", 2),))], [reservation(1, 3, deposit=Decimal("10.00"))])
    now, before = books(found)
    assert (before.season, before.raised, before.lost, before.sold) == (2025, 30, 3, 4)
    assert before.income == Decimal("20.00")
    assert (now.season, now.sold, now.given_away, now.lost, now.culled, now.bred_on) == (2026, 5, 2, 1, 1, 2)
    assert (now.income, now.deposits) == (Decimal("25.00"), Decimal("10.00"))
    assert held_back_now(found) == 2
    flows = [one.raised + one.found - one.lost - one.culled - one.sold - one.given_away - one.bred_on for one in (now, before)]
    assert sum(flows) == 12


def test_the_journal_of_a_batch_goes_from_its_beginning_to_the_last_buyer() -> None:
    counts = (CountSaid(after(-30), 16, 17),)
    stays = (Stay(after(-400), "box 1"), Stay(after(-380), "tub"))
    lines = batch_journal(room([batch(unsexed=12, changes=LIFE, counts=counts, stays=stays)]), "B")
    assert [line.what for line in lines][:4] == ["stripped", "died", "moved", "sold"]
    assert [line.left for line in lines if line.change] == [30, 27, 23, 18, 16, 15, 13, 12]
    assert [line.on for line in lines] == sorted(line.on for line in lines)


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", '=HYPERLINK("http://example.org")'])
def test_no_cell_begins_like_a_formula(cell: str) -> None:
    assert str(safe(cell)).startswith("'")


def test_numbers_stay_numbers_and_words_stay_words() -> None:
    assert [safe(-3), safe(2.5), safe("tub"), safe(None), safe(True)] == [-3, 2.5, "tub", "", "yes"]


def test_a_keeper_gets_everything_as_tables_that_a_csv_reader_reads_back() -> None:
    found = room([batch(changes=LIFE)], [reservation(1, 4, 10, member="m1")], notes=[Note(TODAY, "t1", batch="B")])
    tables = csv_tables(found, {"m1": '=cmd|"/C calc"!A0'}, {"t1": "red, and\nlively"})
    read = {name: list(csv.reader(StringIO(text, newline=""))) for name, text in tables.items()}
    assert {len(row) for rows in read.values() for row in rows} >= {4, 5}
    assert all(len(row) == len(rows[0]) for rows in read.values() for row in rows)
    assert read["reservations.csv"][1][1] == '\'=cmd|"/C calc"!A0'
    assert read["notes.csv"][1][2] == "red, and\nlively"
    assert len(read["changes.csv"]) == 1 + len(LIFE)
    assert [row[3] for row in read["changes.csv"][1:3]] == ["30", "-3"]


def test_the_shelf_shows_what_can_be_promised_by_sex() -> None:
    found = room([batch(unsexed=0, males=5, females=9), batch("C", unsexed=20)], [reservation(1, 2, 20, sex="female")])
    rows = {(row.batch, row.sex): row.promisable for row in shelf_rows(found, SURE)}
    assert rows == {("B", "male"): 5, ("B", "female"): 7, ("C", None): 20}


def test_a_batch_that_is_not_offered_is_not_on_the_shelf() -> None:
    assert shelf_rows(room([batch(offer=None)]), SURE) == ()


def test_young_fish_are_on_the_shelf_with_the_days_they_will_be_ready() -> None:
    (row,) = shelf_rows(room([batch(spawned=after(-60))]), REAL)
    assert not row.ready_now(TODAY)
    half, most = row.ready.half.likely, row.ready.most.likely
    assert half is not None
    assert most is not None
    assert TODAY < half < most == row.ready_on


def test_an_offer_that_begins_later_is_ready_no_earlier() -> None:
    (row,) = shelf_rows(room([batch(spawned=after(-500), offer=Offer(after(-1), from_day=after(30), price=Decimal(5)))]), MORTAL)
    assert row.ready_on == after(30)
    assert row.price == Decimal(5)
    assert not row.ready_now(TODAY)


def test_a_row_is_good_until_a_hold_lapses() -> None:
    hold = NOON.replace(hour=14)
    found = room([batch()], [reservation(1, 2, 5, status="unconfirmed", hold_until=hold)])
    assert [row.valid_until for row in shelf_rows(found, SURE)] == [hold]
