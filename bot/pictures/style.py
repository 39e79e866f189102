"""How our pictures look: water and gravel inks on paper, large type, and never colour alone.

One pixel is one point here (72 dots per inch), so sizes are pixels of the finished picture. Only figure objects and the Agg
canvas are used, never the global drawing state of pyplot, so that pictures can be drawn in any thread. matplotlib is loaded when
the first picture is asked for: it takes longer to load than the rest of the bot together.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from bot.pictures.measures import month, short_day
from core.units import DateOrder

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties

PAPER = "#f7f2e6"
INK = "#1f2d33"
FAINT = "#cfc6b2"
DEEP = "#1f5568"
WATER = "#3f8197"
SHALLOW = "#b5d3d6"
GRAVEL = "#7a6245"
SAND = "#ddcba6"
CLAY = "#9c3f27"

WIDTH, HEIGHT = 1080, 810
TEXT = 27
TITLE = 40
SMALLEST_TITLE = 30
MARGIN = 36
FONT = "DejaVu Sans"
MISSING = "□"


def paper(width: int = WIDTH, height: int = HEIGHT) -> Figure:
    """An empty sheet of so many pixels."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width / 72, height / 72), dpi=72, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def png(figure: Figure) -> bytes:
    """The finished picture."""
    out = BytesIO()
    figure.savefig(out, format="png", dpi=72, facecolor=PAPER, metadata={"Software": "Frywire"})
    return out.getvalue()


def sheet_width(figure: Figure) -> float:
    """Width in pixels."""
    return float(figure.get_figwidth() * 72)


def sheet_height(figure: Figure) -> float:
    """Height in pixels."""
    return float(figure.get_figheight() * 72)


def write(on: Figure | Axes, x: float, y: float, text: str, **look: Any) -> None:
    """Put plain text (no formulas) on a figure (in pixels from the lower left) or on axes (in data)."""
    from matplotlib.figure import Figure

    look = {"color": INK, "fontsize": TEXT, "fontfamily": FONT, "parse_math": False, **look}
    if isinstance(on, Figure):
        on.text(x / sheet_width(on), y / sheet_height(on), printable(text), **look)
    else:
        on.text(x, y, printable(text), **look)


def heading(figure: Figure, title: str, line: str = "") -> float:
    """The title, shrunk or shortened to one line, with a line below it; returns how many pixels both take."""
    room = sheet_width(figure) - 2 * MARGIN
    text, size = fit(title, room, TITLE, SMALLEST_TITLE, bold=True)
    top = sheet_height(figure) - MARGIN
    write(figure, MARGIN, top, text, fontsize=size, fontweight="bold", va="top")
    used = MARGIN + TITLE * 1.3
    for part in wrapped(line, room, TEXT, at_most=2):
        write(figure, MARGIN, sheet_height(figure) - used - 4, part, va="top", color=GRAVEL)
        used += TEXT * 1.35
    return used + 12


def panel(figure: Figure, left: float, bottom: float, right: float, top: float) -> Axes:
    """Axes with these margins, in pixels from the four edges of the sheet."""
    width, height = sheet_width(figure), sheet_height(figure)
    axes = figure.add_axes(
        (left / width, bottom / height, (width - left - right) / width, (height - bottom - top) / height), facecolor=PAPER
    )
    for side, spine in axes.spines.items():
        spine.set_visible(side in {"left", "bottom"})
        spine.set_color(INK)
        spine.set_linewidth(2)
    axes.tick_params(labelsize=TEXT, labelfontfamily=FONT, colors=INK, width=2, length=8, pad=6)
    axes.grid(True, color=FAINT, linewidth=1.5)
    axes.set_axisbelow(True)
    return axes


def name_axis(axes: Axes, text: str) -> None:
    """Name the upright axis."""
    axes.set_ylabel(printable(text), fontsize=TEXT, fontfamily=FONT, color=INK, labelpad=10, parse_math=False)


def legend(figure: Figure, handles: Sequence[Any], columns: int = 2) -> None:
    """Explain the lines and hatches in the strip at the foot of the sheet."""
    for handle in handles:
        handle.set_label(printable(str(handle.get_label())))
    figure.legend(
        handles=list(handles),
        loc="lower left",
        bbox_to_anchor=(MARGIN / sheet_width(figure) * 0.6, 10 / sheet_height(figure)),
        ncols=columns,
        frameon=False,
        handlelength=2.2,
        handleheight=0.9,
        columnspacing=1.6,
        borderaxespad=0,
        labelcolor=INK,
        prop=font(TEXT),
    )


def font(size: float, bold: bool = False) -> FontProperties:
    """Our face at a size."""
    from matplotlib.font_manager import FontProperties

    return FontProperties(family=FONT, size=size, weight="bold" if bold else "normal")


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """How many pixels a line of text takes."""
    from matplotlib.textpath import TextToPath

    width, _, _ = TextToPath().get_text_width_height_descent(printable(text), font(size, bold), ismath=False)
    return float(width)


def fit(text: str, room: float, size: float, smallest: float, bold: bool = False) -> tuple[str, float]:
    """The text at the largest size that goes into `room` pixels, shortened where even the smallest is too wide."""
    text = printable(text)
    if (width := text_width(text, size, bold)) > room:
        size = max(size * room / width, smallest)
    return shortened(text, room, size, bold), size


def shortened(text: str, room: float, size: float, bold: bool = False) -> str:
    """The text, or as much of its beginning as fits with an ellipsis."""
    if text_width(text, size, bold) <= room:
        return text
    keep = bisect_right(range(1, len(text)), room, key=lambda kept: text_width(text[:kept].rstrip() + "…", size, bold))
    return text[: max(keep, 1)].rstrip() + "…"


def wrapped(text: str, room: float, size: float, at_most: int) -> list[str]:
    """The text in lines of `room` pixels; what does not go into `at_most` lines ends in an ellipsis."""
    lines: list[str] = []
    for word in printable(text).split():
        if lines and text_width(f"{lines[-1]} {word}", size) <= room:
            lines[-1] += f" {word}"
        elif len(lines) < at_most:
            lines.append(word)
        else:
            lines[-1] += f" {word}"
    return [shortened(line, room, size) for line in lines]


def printable(text: str) -> str:
    """The text on one line, with a small square where our face has no glyph."""
    known = _glyphs()
    return "".join(letter if ord(letter) in known else MISSING for letter in " ".join(text.split()))


@lru_cache(maxsize=1)
def _glyphs() -> frozenset[int]:
    from matplotlib.font_manager import findfont, get_font

    return frozenset(get_font(findfont(font(TEXT))).get_charmap())


# --- days along the lower edge -----------------------------------------------------------------------------------------


def day_axis(axes: Axes, first: date, last: date, order: DateOrder, at_most: int = 6) -> None:
    """Days from `first` to `last` along the lower edge, marked at round days."""
    ticks = day_ticks(first, last, at_most)
    axes.set_xlim(day_number(first), day_number(last))
    axes.set_xticks([day_number(tick) for tick in ticks], day_names(ticks, order), parse_math=False)


def day_number(on: date | datetime) -> float:
    """A day (or a moment) as a number on the axis."""
    if isinstance(on, datetime):
        return on.toordinal() + (on - on.replace(hour=0, minute=0, second=0, microsecond=0)) / timedelta(days=1)
    return float(on.toordinal())


def day_ticks(first: date, last: date, at_most: int) -> list[date]:
    """Round days between two days: days, weeks (Mondays), months or years, the finest that are at most so many."""
    for step in (1, 2, 7, 14):
        ticks = _every_days(first, last, step)
        if len(ticks) <= at_most:
            return ticks
    months = 1
    while True:
        ticks = _every_months(first, last, months)
        if len(ticks) <= at_most:
            return ticks
        months = months * 2 if months not in {2, 6} else {2: 3, 6: 12}[months]


def _every_days(first: date, last: date, step: int) -> list[date]:
    start = first if step < 7 else first + timedelta(days=-first.weekday() % 7)
    return [start + timedelta(days=days) for days in range(0, (last - start).days + 1, step)]


def _every_months(first: date, last: date, step: int) -> list[date]:
    begin = first.year * 12 + first.month - 1 + (first.day > 1)
    begin += -begin % step
    numbers = range(begin, last.year * 12 + last.month, step)
    return [date(number // 12, number % 12 + 1, 1) for number in numbers if number // 12 <= date.max.year]


def day_names(ticks: Sequence[date], order: DateOrder) -> list[str]:
    """What stands at the marks: months where all are firsts of a month, else days."""
    if len(ticks) > 1 and all(tick.day == 1 for tick in ticks):
        if all(tick.month == 1 for tick in ticks):
            return [str(tick.year) for tick in ticks]
        return [month(tick) for tick in ticks]
    return [short_day(tick, order) for tick in ticks]


def today_line(axes: Axes, today: date) -> None:
    """An upright line at today, named at its top, where today is in the picture."""
    left, right = axes.get_xlim()
    where = day_number(today)
    if not left <= where <= right:
        return
    axes.axvline(where, color=INK, linewidth=2.5, linestyle=(0, (6, 4)), zorder=2)
    side = "right" if where > left + (right - left) * 0.85 else "left"
    shift = -8 if side == "right" else 8
    axes.annotate(
        "today", (where, 1), xycoords=("data", "axes fraction"), xytext=(shift, 2), textcoords="offset points",
        ha=side, va="bottom", fontsize=TEXT, fontfamily=FONT, color=INK,
    )  # fmt: skip
