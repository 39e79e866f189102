"""Tables for a spreadsheet: CSV in which no cell can become a formula."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from io import StringIO

from bot.pictures.measures import length_unit, length_value
from core.planning.tables import no_formula
from core.units import Units

Cell = str | int | float | Decimal | date | datetime | None


@dataclass(frozen=True, slots=True)
class ShelfLine:
    """One line of the club's shelf. Lengths in mm, the price for each fish."""

    strain: str
    batch: str
    keeper: str
    males: int | None
    females: int | None
    promisable: int
    size_mm: float | None
    ready: date | None
    price: Decimal | None
    currency: str = ""
    certainty: float | None = None
    """Of `promisable` being there (0–1)."""


def write_csv(headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """A CSV file (RFC 4180, UTF-8 with the mark by which spreadsheets know it); days are ISO, numbers have a decimal point."""
    out = StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow([safe(heading) for heading in headings])
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def safe(cell: Cell) -> str:
    """The cell as text. Only text that a member wrote can be dangerous: then an apostrophe goes before it."""
    match cell:
        case None:
            return ""
        case str():
            return no_formula(cell)
        case datetime() | date():
            return cell.isoformat()
        case float():
            return f"{cell:.12g}"
        case _:
            return str(cell)


def shelf_csv(lines: Iterable[ShelfLine], units: Units = "metric") -> bytes:
    """The shelf, one line a batch, lengths in the member's unit."""
    unit = length_unit(units)
    headings = (
        "strain", "batch", "keeper", "can be promised", "certainty", "males", "females", f"length now ({unit})", "ready", "price",
        "currency",
    )  # fmt: skip
    return write_csv(headings, (_shelf_row(line, units) for line in lines))


def _shelf_row(line: ShelfLine, units: Units) -> tuple[Cell, ...]:
    size = None if line.size_mm is None else round(length_value(line.size_mm, units), 2)
    return (
        line.strain, line.batch, line.keeper, line.promisable, line.certainty, line.males, line.females, size, line.ready,
        line.price, line.currency,
    )  # fmt: skip
