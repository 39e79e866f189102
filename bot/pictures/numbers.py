"""Where a batch's fish went: from the first count to now, one bar for each kind of gain and loss."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import accumulate, groupby
from typing import TYPE_CHECKING

from bot.pictures import style
from bot.pictures.measures import short_day
from core.fishroom.state import Batch, Change, ChangeKind
from core.units import DateOrder

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WORDS: dict[ChangeKind, str] = {
    "stripped": "stripped",
    "released": "released",
    "bought": "came in",
    "died": "died",
    "assigned_death": "died (settled by count)",
    "culled": "culled",
    "unexplained": "missing at a count",
    "found": "found at a count",
    "sold": "sold",
    "collected": "collected",
    "bred_on": "became breeders",
    "split_off": "split off",
    "split_in": "split in",
    "merged_away": "went into another",
    "merged_in": "merged in",
}
ROW = 74


@dataclass(frozen=True, slots=True)
class Step:
    """All changes of one kind together: signed number, first and last day."""

    kind: ChangeKind
    count: int
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class NumbersPicture:
    """The steps in order, from nothing to `now`, which is their sum."""

    title: str
    steps: tuple[Step, ...]
    now: int


def numbers_of(batch: Batch, title: str) -> NumbersPicture:
    """The picture of a batch: its changes gathered by kind, in the order in which each kind first happened."""
    first_seen = {change.kind: number for number, change in reversed(list(enumerate(batch.changes)))}
    ordered = sorted(batch.changes, key=lambda change: first_seen[change.kind])
    steps = tuple(_step(kind, list(group)) for kind, group in groupby(ordered, key=lambda change: change.kind))
    return NumbersPicture(title, tuple(step for step in steps if step.count), batch.count)


def _step(kind: ChangeKind, changes: list[Change]) -> Step:
    days = [change.on for change in changes]
    return Step(kind, sum(change.count for change in changes), min(days), max(days))


def draw_numbers(
    picture: NumbersPicture, order: DateOrder = "DMY", width: int = style.WIDTH, height: int = style.HEIGHT
) -> bytes:
    """The picture as a PNG, `width` pixels wide and at least `height` high: it grows with its rows."""
    return style.png(numbers_figure(picture, order, width, height))


def numbers_figure(picture: NumbersPicture, order: DateOrder, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    rows = len(picture.steps) + 1
    figure = style.paper(width, max(height, 230 + ROW * rows))
    top = style.heading(figure, picture.title, _line(picture))
    names = [_name(step, order) for step in picture.steps]
    names = [style.shortened(name, width * 0.52, style.TEXT) for name in [*names, "now"]]
    left = style.MARGIN + 14 + max(style.text_width(name, style.TEXT) for name in names)
    axes = style.panel(figure, left=left, bottom=104, right=60, top=top + 10)
    _bars(axes, picture)
    axes.set_yticks(range(rows), names, parse_math=False)
    axes.tick_params(axis="y", length=0)
    axes.grid(False, axis="y")
    axes.set_xlabel("fish", fontsize=style.TEXT, fontfamily=style.FONT, color=style.INK, labelpad=4)
    return figure


def _name(step: Step, order: DateOrder) -> str:
    days = short_day(step.first, order)
    days += "" if step.first == step.last else f" – {short_day(step.last, order)}"
    return f"{WORDS[step.kind]}, {days}"


def _bars(axes: Axes, picture: NumbersPicture) -> None:
    levels = [0, *accumulate(step.count for step in picture.steps)]
    top = max(*levels, picture.now, 1)
    for number, step in enumerate(picture.steps):
        gain = step.count > 0
        axes.barh(
            number, abs(step.count), left=min(levels[number], levels[number + 1]), height=0.6, linewidth=2, zorder=3,
            facecolor=style.WATER if gain else style.SAND, hatch="" if gain else "//", edgecolor=style.INK,
        )  # fmt: skip
        axes.plot([levels[number + 1]] * 2, [number - 0.3, number + 1.3], color=style.INK, linewidth=2, linestyle=":", zorder=2)
        _number(axes, f"{step.count:+d}".replace("-", "−"), max(levels[number], levels[number + 1]), number)
    rows = len(picture.steps)
    axes.barh(rows, picture.now, height=0.6, linewidth=2, facecolor=style.DEEP, edgecolor=style.INK, zorder=3)
    _number(axes, str(picture.now), picture.now, rows)
    axes.set_xlim(0, top * 1.16)
    axes.set_ylim(rows + 0.6, -0.6)
    axes.locator_params(axis="x", integer=True, nbins=5)


def _number(axes: Axes, text: str, where: float, row: float) -> None:
    axes.annotate(
        text, (where, row), xytext=(10, 0), textcoords="offset points", va="center", fontsize=style.TEXT + 2,
        fontfamily=style.FONT, fontweight="bold", color=style.INK, zorder=6,
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 2},
    )  # fmt: skip


def _line(picture: NumbersPicture) -> str:
    came = sum(step.count for step in picture.steps if step.count > 0)
    return f"{picture.now} of {came} are here" if came else "no fish recorded"
