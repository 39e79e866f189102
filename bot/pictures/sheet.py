"""What printed sheets have in common: paper sizes, faces that hold every member's name, lines that fit, square codes.

The faces come with matplotlib; reportlab's own know only western European letters. Sheets carry no time of printing, so that the
same values always give the same bytes.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from core.units import Units

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

MM = 72 / 25.4
"""Points in a millimetre."""
SANS, BOLD = "FrywireSans", "FrywireSans-Bold"
INK = (0.12, 0.18, 0.2)
WATER = (0.25, 0.51, 0.59)
GRAVEL = (0.48, 0.38, 0.27)
FAINT = (0.7, 0.67, 0.6)
QUIET_MODULES = 4
"""Blank modules around a code (ISO/IEC 18004 asks for four)."""
MOST_LETTERS = 500
"""More of a text never fits anywhere on a label."""
_registering = Lock()


class FontsMissingError(Exception):
    """The typefaces that come with matplotlib are not there. Install Frywire again."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Labels on a page: page size, margins and cells in points."""

    page: tuple[float, float]
    margin: float
    columns: int
    rows: int

    @property
    def cell(self) -> tuple[float, float]:
        """Width and height of one label."""
        width, height = self.page
        return (width - 2 * self.margin) / self.columns, (height - 2 * self.margin) / self.rows

    def corner(self, number: int) -> tuple[float, float]:
        """Lower left corner of the label with that number on its page: from the upper left, row by row."""
        width, height = self.cell
        row, column = divmod(number, self.columns)
        return self.margin + column * width, self.page[1] - self.margin - (row + 1) * height


def page_size(units: Units) -> tuple[float, float]:
    """A4, or US Letter, upright, in points."""
    return (595.2756, 841.8898) if units == "metric" else (612.0, 792.0)


@lru_cache(maxsize=1)
def faces() -> tuple[str, str]:
    """Names of our upright and bold face, known to reportlab from now on."""
    from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily
    from reportlab.pdfbase.ttfonts import TTFont

    with _registering:
        registerFont(TTFont(SANS, str(_font_file("DejaVuSans.ttf"))))
        registerFont(TTFont(BOLD, str(_font_file("DejaVuSans-Bold.ttf"))))
        registerFontFamily(SANS, normal=SANS, bold=BOLD, italic=SANS, boldItalic=BOLD)
    return SANS, BOLD


def _font_file(name: str) -> Path:
    spec = find_spec("matplotlib")
    for place in (spec.submodule_search_locations if spec else None) or []:
        path = Path(place) / "mpl-data" / "fonts" / "ttf" / name
        if path.exists():
            return path
    raise FontsMissingError(name)


@lru_cache(maxsize=1)
def _glyphs() -> frozenset[int]:
    from reportlab.pdfbase.pdfmetrics import getFont

    faces()
    return frozenset(getFont(SANS).face.charToGlyph) & frozenset(getFont(BOLD).face.charToGlyph)


def printable(text: str) -> str:
    """The text on one line, with a small square where our face has no glyph."""
    known = _glyphs()
    return "".join(letter if ord(letter) in known else "□" for letter in " ".join(text.split()))


def new_canvas(title: str, units: Units) -> tuple[Canvas, BytesIO]:
    """An empty document of the right paper, and where its bytes will be."""
    from reportlab.pdfgen.canvas import Canvas

    faces()
    out = BytesIO()
    canvas = Canvas(out, pagesize=page_size(units), invariant=1, lang="en")
    canvas.setTitle(title)
    canvas.setAuthor("Frywire")
    return canvas, out


def text_width(text: str, size: float, bold: bool = False) -> float:
    """How many points a line takes."""
    return _ems(text, bold) * size


@lru_cache(maxsize=2_000)
def _ems(text: str, bold: bool) -> float:
    """The line's width in units of its size, kept since the same words are tried at one size after the other."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(text, faces()[bold], 1))


def lines_that_fit(
    text: str, room: float, size: float, smallest: float, at_most: int, bold: bool = False
) -> tuple[list[str], float]:
    """The text in at most so many lines of `room` points at the largest size that does it.

    Words stay whole where a smaller size allows it, else they are broken; what does not fit even at the smallest size ends in an
    ellipsis.
    """
    text = printable(text)[:MOST_LETTERS]
    longest = max(text.split(), key=len, default="")
    whole = text_width(longest, smallest, bold) <= room
    while True:
        lines = list(_broken(text, room, size, bold))
        if len(lines) <= at_most and (not whole or text_width(longest, size, bold) <= room):
            return lines, size
        if size <= smallest:
            return [*lines[: at_most - 1], _cut(" ".join(lines[at_most - 1 :]), room, size, bold)], size
        size = max(size - 1, smallest)


def _broken(text: str, room: float, size: float, bold: bool) -> Iterator[str]:
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if text_width(joined, size, bold) <= room:
            line = joined
            continue
        if line:
            yield line
        while text_width(word, size, bold) > room and len(word) > 1:
            keep = max(_longest_start(word, "", room, size, bold), 1)
            yield word[:keep]
            word = word[keep:]
        line = word
    if line:
        yield line


def _cut(text: str, room: float, size: float, bold: bool) -> str:
    keep = max(_longest_start(text, "…", room, size, bold), 1)
    return text[:keep].rstrip() + "…"


def _longest_start(text: str, end: str, room: float, size: float, bold: bool) -> int:
    """How many letters of the text's beginning, with `end` after them, go into the room (fewer than all of them)."""
    return bisect_right(range(1, len(text)), room, key=lambda kept: text_width(text[:kept].rstrip() + end, size, bold))


def write_lines(canvas: Canvas, lines: list[str], x: float, top: float, size: float, bold: bool = False) -> float:
    """Put lines below each other, the first just below `top`; returns where the next would begin."""
    canvas.setFont(faces()[bold], size)
    for line in lines:
        top -= size * 1.18
        canvas.drawString(x, top + size * 0.22, line)
    return top


def draw_code(canvas: Canvas, link: str, x: float, y: float, side: float) -> None:
    """A QR code of the link in a square of `side` points, quiet zone included, as black rectangles (sharp at any size)."""
    import segno

    rows = [bytearray(row) for row in segno.make_qr(link, error="m").matrix]
    module = side / (len(rows) + 2 * QUIET_MODULES)
    path = canvas.beginPath()
    for number, row in enumerate(rows):
        bottom = y + side - (QUIET_MODULES + number + 1) * module
        for start, length in _runs(row):
            path.rect(x + (QUIET_MODULES + start) * module, bottom, length * module, module)
    canvas.setFillColorRGB(0, 0, 0)
    canvas.drawPath(path, stroke=0, fill=1)


def _runs(row: bytearray) -> Iterator[tuple[int, int]]:
    """Where dark modules begin in a row, and how many follow each other."""
    start: int | None = None
    for number, dark in enumerate([*row, 0]):
        if dark and start is None:
            start = number
        elif not dark and start is not None:
            yield start, number - start
            start = None


def draw_grid(canvas: Canvas, grid: Grid, draw: Sequence[Callable[[float, float, float, float], None]], foot: str) -> None:
    """Labels page by page, with lines to cut along and a line at the foot of each page."""
    on_page = grid.columns * grid.rows
    for first in range(0, max(len(draw), 1), on_page):
        page = draw[first : first + on_page]
        for number, one in enumerate(page):
            one(*grid.corner(number), *grid.cell)
        _cut_lines(canvas, grid, -(-len(page) // grid.columns))
        lines, size = lines_that_fit(foot, grid.page[0] - 2 * grid.margin, 7, 6, at_most=1)
        canvas.setFillColorRGB(*GRAVEL)
        write_lines(canvas, lines, grid.margin, grid.margin * 0.72, size)
        canvas.showPage()


def _cut_lines(canvas: Canvas, grid: Grid, rows: int) -> None:
    """Dashed hairlines between and around the rows in use, a little longer than the labels."""
    width, height = grid.cell
    canvas.saveState()
    canvas.setStrokeColorRGB(*FAINT)
    canvas.setLineWidth(0.5)
    canvas.setDash(3, 3)
    top = grid.page[1] - grid.margin
    for column in range(grid.columns + 1):
        x = grid.margin + column * width
        canvas.line(x, top + 8, x, top - rows * height - 8)
    for row in range(rows + 1):
        y = top - row * height
        canvas.line(grid.margin - 8, y, grid.page[0] - grid.margin + 8, y)
    canvas.restoreState()
