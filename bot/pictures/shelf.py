"""The shelf by month: how many fish of each strain can be promised for each of the coming months."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from bot.pictures import style
from bot.pictures.measures import month
from core.fishroom.state import Batch, Fishroom
from core.planning.availability import can_promise, expected
from core.planning.standing import Ask, Standing, standing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW = 104
MOST_ROWS = 14
MOST_MONTHS = 6


@dataclass(frozen=True, slots=True)
class ShelfCell:
    """Fish of a strain in a month: `promisable` can be promised now; `expected` are likely to be free then."""

    promisable: int
    expected: int


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """A strain with one cell for each month of the picture."""

    name: str
    cells: tuple[ShelfCell, ...]


@dataclass(frozen=True, slots=True)
class ShelfPicture:
    """Strains down, months across (each given by its first day)."""

    title: str
    months: tuple[date, ...]
    rows: tuple[ShelfRow, ...]


def shelf_of(
    rooms: Iterable[Fishroom], today: date, moment: datetime, level: float, title: str, months: int = MOST_MONTHS
) -> ShelfPicture:
    """What the offered batches of these fishrooms have for the middle of each coming month (for today, where that has passed)."""
    firsts = months_from(today, months)
    rows: dict[str, list[ShelfCell]] = {}
    for room in rooms:
        for batch in room.live_batches():
            if batch.offer is not None and not batch.hybrid:
                known = room.strains.get(batch.strain)
                cells = rows.setdefault(known.name if known else batch.strain, [ShelfCell(0, 0)] * months)
                cells[:] = map(_together, cells, _cells(room, batch, today, moment, level, firsts))
    return ShelfPicture(title, firsts, tuple(ShelfRow(name, tuple(cells)) for name, cells in sorted(rows.items())))


def months_from(today: date, count: int) -> tuple[date, ...]:
    """The first days of this month and of those that follow."""
    numbers = range(today.year * 12 + today.month - 1, today.year * 12 + today.month - 1 + count)
    return tuple(date(number // 12, number % 12 + 1, 1) for number in numbers)


def _cells(room: Fishroom, batch: Batch, today: date, moment: datetime, level: float, firsts: Sequence[date]) -> list[ShelfCell]:
    stands = standing(room, batch, today, moment)
    size = stands.prospect.saleable_mm
    return [_cell_of(stands, Ask(min_mm=size, day=max(first.replace(day=15), today)), level) for first in firsts]


def _cell_of(stands: Standing, ask: Ask, level: float) -> ShelfCell:
    likely = expected(stands, ask.sex, ask.min_mm, ask.day or stands.today) - stands.promised - stands.stock.held
    sure = can_promise(stands, ask, level)
    return ShelfCell(sure, max(likely, sure))


def _together(one: ShelfCell, other: ShelfCell) -> ShelfCell:
    return ShelfCell(one.promisable + other.promisable, one.expected + other.expected)


def draw_shelf(picture: ShelfPicture, width: int = style.WIDTH, height: int = style.HEIGHT) -> bytes:
    """The picture as a PNG, `width` pixels wide and at least `height` high: it grows with its strains."""
    return style.png(shelf_figure(picture, width, height))


def shelf_figure(picture: ShelfPicture, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    rows, months = picture.rows[:MOST_ROWS], picture.months[:MOST_MONTHS]
    figure = style.paper(width, max(height, 260 + ROW * len(rows)))
    left_out = len(picture.rows) - len(rows)
    top = style.heading(figure, picture.title, f"and {left_out} more strains" if left_out else "")
    names = [style.wrapped(row.name, width * 0.34, style.TEXT, at_most=2) for row in rows]
    left = style.MARGIN + 16 + max((style.text_width(line, style.TEXT) for lines in names for line in lines), default=0)
    axes = style.panel(figure, left=left, bottom=84, right=30, top=top + 56)
    _frame(axes, ["\n".join(lines) for lines in names], months)
    most = max((max(cell.expected, cell.promisable) for row in rows for cell in row.cells), default=1) or 1
    for number, row in enumerate(rows):
        for column, cell in enumerate(row.cells[: len(months)]):
            _cell(axes, cell, column, number, most)
    style.legend(figure, _handles(), columns=2)
    return figure


def _frame(axes: Axes, names: list[str], months: tuple[date, ...]) -> None:
    axes.set_xlim(-0.5, max(len(months), 1) - 0.5)
    axes.set_ylim(max(len(names), 1) - 0.45, -0.55)
    axes.set_yticks(range(len(names)), names, parse_math=False)
    axes.set_xticks(range(len(months)), [month(on) for on in months])
    axes.xaxis.tick_top()
    axes.tick_params(length=0)
    axes.grid(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_visible(False)
    for line in range(len(names) + 1):
        axes.axhline(line - 0.5, color=style.FAINT, linewidth=2)


def _cell(axes: Axes, cell: ShelfCell, column: int, row: int, most: int) -> None:
    if not cell.promisable and not cell.expected:
        style.write(axes, column, row, "–", ha="center", va="center", color=style.GRAVEL)
        return
    foot, full = row + 0.42, 0.42
    for count, fill, edge, hatch in (
        (cell.expected, style.PAPER, style.WATER, "//"),
        (cell.promisable, style.DEEP, style.INK, ""),
    ):
        if count:
            axes.bar(
                column, -full * count / most, bottom=foot, width=0.72, zorder=3, facecolor=fill, edgecolor=edge, hatch=hatch,
                linewidth=2,
            )  # fmt: skip
    axes.annotate(
        _words(cell), (column, foot - full * max(cell.expected, cell.promisable) / most), xytext=(0, 6),
        textcoords="offset points", ha="center", va="bottom", fontsize=style.TEXT, fontfamily=style.FONT,
        fontweight="bold" if cell.promisable else "normal", color=style.INK, zorder=4,
    )  # fmt: skip


def _words(cell: ShelfCell) -> str:
    if cell.promisable:
        return str(cell.promisable)
    return f"~{cell.expected}"


def _handles() -> list[object]:
    from matplotlib.patches import Patch

    return [
        Patch(facecolor=style.DEEP, edgecolor=style.INK, linewidth=2, label="can be promised"),
        Patch(facecolor=style.PAPER, edgecolor=style.WATER, hatch="//", linewidth=2, label="likely, not yet sure"),
    ]
