"""How a batch grows: what was measured, what is expected between which bounds, and when it is ready."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.pictures import style
from bot.pictures.measures import day, length, length_unit, length_value, short_day
from core.biology.growth import mixed_fish_mm
from core.fishroom.state import Batch, Fishroom, Measurement
from core.planning.outlook import DayWindow, ready_days, size_for, strands
from core.species import profile
from core.units import DateOrder, Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@dataclass(frozen=True, slots=True)
class MeasuredLength:
    """Fish measured on a day: their mean, with the shortest and the longest where single lengths were told (mm)."""

    on: date
    mean_mm: float
    shortest_mm: float | None = None
    longest_mm: float | None = None
    n: int | None = None


@dataclass(frozen=True, slots=True)
class ForecastLength:
    """What is expected of a day (mm): the middle, and the bounds that nine in ten keep within."""

    on: date
    low_mm: float
    median_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class GrowthPicture:
    """A batch's growth. `forecast` is in order of days; `half` and `most` are the days on which so many are ready."""

    title: str
    today: date
    measured: tuple[MeasuredLength, ...] = ()
    forecast: tuple[ForecastLength, ...] = ()
    ready_mm: float | None = None
    half: DayWindow | None = None
    most: DayWindow | None = None


LONGEST_VIEW = timedelta(days=540)
SHORTEST_VIEW = timedelta(days=42)
POINTS = 32
FAR = timedelta(days=300)


def growth_of(room: Fishroom, batch: Batch, today: date, title: str, ready_mm: float | None = None) -> GrowthPicture:
    """The picture of a batch as known today, from its first day to some weeks after it is ready.

    `ready_mm` is the length asked for; left out, the one at which its species is sold.
    """
    mm = ready_mm or size_for(profile(room.species_of(batch.strain)), "saleable")
    ready = ready_days(room, batch, today, mm)
    first = min(batch.began, today)
    last = min((ready.most.likely or today) + SHORTEST_VIEW / 2, today + LONGEST_VIEW)
    return GrowthPicture(
        title,
        today,
        tuple(point for told in batch.measurements if told.on <= today and (point := _measurement(told))),
        _expected(room, batch, today, first, max(last, today + SHORTEST_VIEW)),
        mm,
        ready.half,
        ready.most,
    )


def _measurement(told: Measurement) -> MeasuredLength | None:
    if told.lengths:
        mean = sum(told.lengths) / len(told.lengths)
        return MeasuredLength(told.on, mean, min(told.lengths), max(told.lengths), len(told.lengths))
    return MeasuredLength(told.on, told.mean_mm, n=told.n) if told.mean_mm else None


def _expected(room: Fishroom, batch: Batch, today: date, first: date, last: date) -> tuple[ForecastLength, ...]:
    found = strands(room, batch, today)
    step = timedelta(days=max((last - first).days // POINTS, 1))
    days = (first + number * step for number in range((last - first) // step + 1))
    ranges = ((on, mixed_fish_mm([strand.part(on) for strand in found])) for on in days)
    return tuple(ForecastLength(on, mm.low, mm.likely, mm.high) for on, mm in ranges)


def draw_growth(
    picture: GrowthPicture,
    units: Units = "metric",
    order: DateOrder = "DMY",
    width: int = style.WIDTH,
    height: int = style.HEIGHT,
) -> bytes:
    """The picture as a PNG of `width` × `height` pixels."""
    return style.png(growth_figure(picture, units, order, width, height))


def growth_figure(picture: GrowthPicture, units: Units, order: DateOrder, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    figure = style.paper(width, height)
    top = style.heading(figure, picture.title, ready_line(picture, order))
    axes = style.panel(figure, left=118, bottom=134, right=36, top=top + 30)
    _forecast(axes, picture, units)
    _measured(axes, picture, units)
    _frame(axes, picture, units, order)
    _ready(axes, picture, units)
    style.today_line(axes, picture.today)
    style.legend(figure, _handles(picture), columns=3)
    return figure


def _frame(axes: Axes, picture: GrowthPicture, units: Units, order: DateOrder) -> None:
    days = [*(point.on for point in picture.measured), *(point.on for point in picture.forecast), picture.today]
    first, last = min(days), max(days)
    spare = timedelta(days=max((last - first).days // 40, 2))
    style.day_axis(axes, first - spare, last + spare, order)
    highest = max(
        (
            *(point.longest_mm or point.mean_mm for point in picture.measured),
            *(point.high_mm for point in picture.forecast),
            picture.ready_mm or 0,
            10,
        )
    )
    axes.set_ylim(0, length_value(highest, units) * 1.12)
    style.name_axis(axes, f"total length ({length_unit(units)})")


def _forecast(axes: Axes, picture: GrowthPicture, units: Units) -> None:
    days = [style.day_number(point.on) for point in picture.forecast]
    low, middle, high = (
        [length_value(value, units) for value in values]
        for values in (
            [point.low_mm for point in picture.forecast],
            [point.median_mm for point in picture.forecast],
            [point.high_mm for point in picture.forecast],
        )
    )
    axes.fill_between(days, low, high, facecolor=style.SHALLOW, edgecolor=style.WATER, hatch="//", linewidth=0, alpha=0.75)
    for edge in (low, high):
        axes.plot(days, edge, color=style.WATER, linewidth=2, linestyle=(0, (4, 3)))
    axes.plot(days, middle, color=style.DEEP, linewidth=5)


def _measured(axes: Axes, picture: GrowthPicture, units: Units) -> None:
    for point in picture.measured:
        where = style.day_number(point.on)
        if point.shortest_mm is not None and point.longest_mm is not None:
            ends = [length_value(point.shortest_mm, units), length_value(point.longest_mm, units)]
            axes.plot([where, where], ends, color=style.INK, linewidth=4, marker="_", markersize=18, markeredgewidth=4)
        axes.plot(
            [where], [length_value(point.mean_mm, units)], marker="D", markersize=17, color=style.CLAY,
            markeredgecolor=style.PAPER, markeredgewidth=2.5, zorder=5,
        )  # fmt: skip


def _ready(axes: Axes, picture: GrowthPicture, units: Units) -> None:
    if picture.ready_mm is None:
        return
    where = length_value(picture.ready_mm, units)
    axes.axhline(where, color=style.GRAVEL, linewidth=4, linestyle=(0, (1, 1.6)))
    axes.annotate(
        f"ready: {length(picture.ready_mm, units)}", (0, where), xycoords=("axes fraction", "data"), xytext=(14, 10),
        textcoords="offset points", fontsize=style.TEXT, fontfamily=style.FONT, color=style.GRAVEL, fontweight="bold",
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 2}, zorder=4,
    )  # fmt: skip


def _handles(picture: GrowthPicture) -> list[object]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[object] = []
    if picture.measured:
        handles.append(Line2D([], [], marker="D", markersize=17, color=style.CLAY, linestyle="none", label="measured"))
    if picture.forecast:
        handles.append(Line2D([], [], color=style.DEEP, linewidth=5, label="expected"))
        handles.append(Patch(facecolor=style.SHALLOW, edgecolor=style.WATER, hatch="//", label="nine in ten fish"))
    return handles


def ready_line(picture: GrowthPicture, order: DateOrder) -> str:
    """When half and when nine in ten of them are ready, for under the title; empty where nothing is known."""
    if picture.half is None:
        return ""
    half = _days(picture.half, picture.today, order)
    if half is None:
        return "not ready within this forecast"
    most = _days(picture.most, picture.today, order) if picture.most else None
    return f"half ready {half}" + (f"; nine in ten {most}" if most else "")


def _days(window: DayWindow, today: date, order: DateOrder) -> str | None:
    if window.likely is None:
        return None
    if window.likely <= today:
        return f"since about {day(window.likely, order)}"
    if window.likely - today > FAR or window.latest is None:
        return f"not before {day(window.earliest or window.likely, order)}"
    early = short_day(max(window.earliest or today, today), order)
    return f"about {day(window.likely, order)} ({early} – {short_day(window.latest, order)})"
