"""How the water of a place has been: un-ionised ammonia against its limit first, then whatever else was tested."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.pictures import style
from bot.pictures.measures import day, warmth_unit, warmth_value
from core.biology.ammonia import LIMIT_NH3, Kit, as_nitrogen, unionised_as_ammonia
from core.events import PlaceName
from core.fishroom.choices import kit_unit
from core.fishroom.history import since
from core.fishroom.state import Fishroom, WaterTest
from core.units import DateOrder, Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@dataclass(frozen=True, slots=True)
class WaterReading:
    """One set of readings; `nh3_mg_l` is un-ionised ammonia, worked out where pH, warmth and total ammonia are known."""

    on: date
    nh3_mg_l: float | None = None
    ph: float | None = None
    temp_c: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None


@dataclass(frozen=True, slots=True)
class WaterPicture:
    """Readings in order of days, the limit of un-ionised ammonia in the same unit, and the days of water changes."""

    title: str
    today: date
    readings: tuple[WaterReading, ...]
    limit_mg_l: float
    nh3_unit: str = "mg/L NH₃"
    changes: tuple[date, ...] = ()


def water_of(room: Fishroom, place: PlaceName, today: date, title: str, days: int = 90) -> WaterPicture:
    """The water of a place (of its tank, for a hanging box) over the last `days` days.

    Un-ionised ammonia is worked out where total ammonia and pH were told; the temperature may be the place's usual one.
    """
    water = room.water_of(place)
    first = today - timedelta(days=days)
    usual = room.places[water].temp_c if water in room.places else None
    kit = kit_unit(room) or Kit.NITROGEN
    tests = [test for test in since(room.water_tests.get(water, ()), first) if test.on <= today]
    changes = tuple(change.on for change in since(room.water_changes.get(water, ()), first) if change.on <= today)
    return WaterPicture(title, today, tuple(_reading(test, usual, kit) for test in tests), LIMIT_NH3, changes=changes)


def _reading(test: WaterTest, usual_c: float | None, kit: str) -> WaterReading:
    temp_c = test.temp_c if test.temp_c is not None else usual_c
    nh3 = None
    if test.tan_mg_l is not None and test.ph is not None and temp_c is not None:
        nh3 = unionised_as_ammonia(as_nitrogen(test.tan_mg_l, Kit(test.kit_unit or kit)), test.ph, temp_c)
    return WaterReading(test.on, nh3, test.ph, test.temp_c, test.nitrite_mg_l, test.nitrate_mg_l)


@dataclass(frozen=True, slots=True)
class _Strip:
    name: str
    marker: str
    value: Callable[[WaterReading, Units], float | None]


_STRIPS = (
    _Strip("un-ionised ammonia", "o", lambda reading, _: reading.nh3_mg_l),
    _Strip("nitrite (mg/L)", "s", lambda reading, _: reading.nitrite_mg_l),
    _Strip("pH", "D", lambda reading, _: reading.ph),
    _Strip("nitrate (mg/L)", "^", lambda reading, _: reading.nitrate_mg_l),
    _Strip(
        "temperature", "P", lambda reading, units: None if reading.temp_c is None else warmth_value(reading.temp_c, units)
    ),
)  # fmt: skip
MOST_STRIPS = 4
GAP = 70


def draw_water(
    picture: WaterPicture,
    units: Units = "metric",
    order: DateOrder = "DMY",
    width: int = style.WIDTH,
    height: int = style.HEIGHT,
) -> bytes:
    """The picture as a PNG, `width` pixels wide and at least `height` high: it grows with what was tested."""
    return style.png(water_figure(picture, units, order, width, height))


def water_figure(picture: WaterPicture, units: Units, order: DateOrder, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    strips = [strip for strip in _STRIPS if _values(strip, picture, units)][:MOST_STRIPS] or [_STRIPS[0]]
    figure = style.paper(width, max(height, 480 + 190 * (len(strips) - 1) + 120))
    top = style.heading(figure, picture.title, _line(picture, order)) + 62
    foot = 108 if picture.changes else 70
    small = 150
    large = style.sheet_height(figure) - top - foot - (small + GAP) * (len(strips) - 1)
    upper = top
    for strip in strips:
        tall = large if strip is strips[0] else small
        axes = style.panel(figure, left=132, right=60, top=upper, bottom=style.sheet_height(figure) - upper - tall)
        _strip(axes, strip, picture, units)
        _days(axes, picture, order, last=strip is strips[-1])
        upper += tall + GAP
    style.today_line(figure.axes[0], picture.today)
    _changes(figure.axes[0], picture)
    if picture.changes:
        style.legend(figure, _handles(), columns=1)
    return figure


def _values(strip: _Strip, picture: WaterPicture, units: Units) -> list[tuple[date, float]]:
    told = ((reading.on, strip.value(reading, units)) for reading in picture.readings)
    return [(on, value) for on, value in told if value is not None]


def _strip(axes: Axes, strip: _Strip, picture: WaterPicture, units: Units) -> None:
    values = _values(strip, picture, units)
    days = [style.day_number(on) for on, _ in values]
    axes.plot(
        days, [value for _, value in values], color=style.WATER, linewidth=4, marker=strip.marker, markersize=13, zorder=3,
        clip_on=False,
    )  # fmt: skip
    if strip is _STRIPS[0]:
        _limit(axes, values, picture)
    else:
        lowest, highest = min(value for _, value in values), max(value for _, value in values)
        spare = max((highest - lowest) * 0.3, highest * 0.05, 0.1)
        axes.set_ylim(max(lowest - spare, 0), highest + spare)
        axes.locator_params(axis="y", nbins=3)
    axes.annotate(
        _name(strip, picture, units), (0, 1), xycoords="axes fraction", xytext=(-96, 18), textcoords="offset points",
        fontsize=style.TEXT, fontfamily=style.FONT, fontweight="bold", color=style.INK, parse_math=False,
    )  # fmt: skip


def _name(strip: _Strip, picture: WaterPicture, units: Units) -> str:
    match strip.name:
        case "un-ionised ammonia":
            return f"un-ionised ammonia ({picture.nh3_unit})"
        case "temperature":
            return f"temperature ({warmth_unit(units)})"
        case name:
            return name


def _limit(axes: Axes, values: list[tuple[date, float]], picture: WaterPicture) -> None:
    highest = max((*(value for _, value in values), picture.limit_mg_l))
    axes.set_ylim(0, highest * 1.25)
    axes.axhspan(
        picture.limit_mg_l, highest * 1.25, facecolor=style.SAND, edgecolor=style.GRAVEL, hatch="\\", linewidth=0, alpha=0.5
    )
    axes.axhline(picture.limit_mg_l, color=style.CLAY, linewidth=4, linestyle=(0, (5, 2)))
    axes.annotate(
        f"limit {picture.limit_mg_l:g}", (0, picture.limit_mg_l), xycoords=("axes fraction", "data"), xytext=(14, 13),
        textcoords="offset points", fontsize=style.TEXT, fontfamily=style.FONT, fontweight="bold", color=style.CLAY,
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 3},
    )  # fmt: skip
    over = [(style.day_number(on), value) for on, value in values if value > picture.limit_mg_l]
    axes.plot(
        [on for on, _ in over], [value for _, value in over], linestyle="none", marker="X", markersize=24, color=style.CLAY,
        markeredgecolor=style.PAPER, markeredgewidth=2, zorder=5,
    )  # fmt: skip


def _days(axes: Axes, picture: WaterPicture, order: DateOrder, last: bool) -> None:
    first, end = _bounds(picture)
    style.day_axis(axes, first, end, order, at_most=6)
    if not last:
        axes.tick_params(axis="x", labelbottom=False)


def _bounds(picture: WaterPicture) -> tuple[date, date]:
    days = [picture.today, *(reading.on for reading in picture.readings)]
    spare = timedelta(days=max((max(days) - min(days)).days // 30, 1 if max(days) > min(days) else 3))
    return min(days) - spare, max(days) + spare


def _changes(axes: Axes, picture: WaterPicture) -> None:
    first, last = _bounds(picture)
    days = [style.day_number(change) for change in picture.changes if first <= change <= last]
    axes.plot(
        days, [0.06] * len(days), transform=axes.get_xaxis_transform(), marker="v", markersize=15, color=style.DEEP,
        linestyle="none", clip_on=False, zorder=4,
    )  # fmt: skip


def _line(picture: WaterPicture, order: DateOrder) -> str:
    known = [reading for reading in picture.readings if reading.nh3_mg_l is not None]
    if not known:
        return "pH, temperature and total ammonia are needed together to work out the un-ionised part"
    over = [reading for reading in known if (reading.nh3_mg_l or 0) > picture.limit_mg_l]
    if not over:
        return "un-ionised ammonia below its limit throughout"
    return f"un-ionised ammonia above its limit on {len(over)} of {len(known)} tests, last on {day(over[-1].on, order)}"


def _handles() -> list[object]:
    from matplotlib.lines import Line2D

    return [Line2D([], [], marker="v", markersize=15, color=style.DEEP, linestyle="none", label="water change")]
