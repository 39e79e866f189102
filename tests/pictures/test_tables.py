"""Tables for a spreadsheet, read back by csv and by pandas."""

import csv
from datetime import date
from decimal import Decimal
from io import BytesIO, StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.pictures.tables import ShelfLine, safe, shelf_csv, write_csv

LABS = ShelfLine("Yellow lab", "C", "Marit", 1, 4, 11, 50.8, date(2026, 5, 31), Decimal("4.50"), "EUR", 0.9)


def rows(content: bytes) -> list[list[str]]:
    return list(csv.reader(StringIO(content.decode("utf-8-sig"), newline="")))


def test_the_shelf_is_a_line_a_batch() -> None:
    import pandas

    table = pandas.read_csv(BytesIO(shelf_csv([LABS], "us")))
    line = table.iloc[0]
    assert line["strain"] == "Yellow lab"
    assert line["can be promised"] == 11
    assert line["length now (in)"] == 2.0  # 50.8 mm, at 25.4 mm an inch
    assert line["ready"] == "2026-05-31"
    assert line["price"] == 4.5


def test_what_is_unknown_is_left_empty() -> None:
    line = rows(shelf_csv([ShelfLine("Saulosi", "D", "Per", None, None, 0, None, None, None)]))[1]
    assert line == ["Saulosi", "D", "Per", "0", "", "", "", "", "", "", ""]


@pytest.mark.parametrize(
    "evil",
    [
        "=HYPERLINK(\"http://evil.example\")", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1+1", "=cmd|' /C calc'!A0",
        "\ufeff=1", "\n=1",
    ],
)  # fmt: skip
def test_no_name_becomes_a_formula(evil: str) -> None:
    # the signs are those of OWASP, "CSV Injection" (owasp.org/www-community/attacks/CSV_Injection)
    assert safe(evil).startswith("'")
    assert rows(shelf_csv([ShelfLine(evil, evil, evil, None, None, 0, None, None, None)]))[1][0].startswith("'")


@pytest.mark.parametrize(("number", "written"), [(-3, "-3"), (Decimal("-4.50"), "-4.50"), (-0.5, "-0.5"), (0.1 + 0.2, "0.3")])
def test_numbers_stay_numbers(number: float | Decimal, written: str) -> None:
    assert safe(number) == written


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2), max_size=5))
def test_whatever_members_write_comes_back_in_its_own_cell(cells: list[list[str]]) -> None:
    back = rows(write_csv(("one", "two"), cells))[1:]
    assert [[cell.removeprefix("'") for cell in row] for row in back] == [
        [text.replace("\x00", "").removeprefix("'") for text in row] for row in cells
    ]
    assert not [cell for row in back for cell in row if cell.lstrip(" ").startswith(("=", "+", "-", "@"))]


def test_a_spreadsheet_knows_the_letters() -> None:
    content = shelf_csv([ShelfLine("Пёстрая, “gul”", "C", "Zoë", None, None, 0, None, None, None)])
    assert content.startswith(b"\xef\xbb\xbf")  # the mark by which spreadsheets know UTF-8
    assert content.endswith(b"\r\n")  # RFC 4180
    assert rows(content)[1][0] == "Пёстрая, “gul”"
