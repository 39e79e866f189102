"""The season at a glance: one line per brood, from the mouth to the day its fish can go."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Literal

from bot.pictures import style
from core.fishroom.state import Batch, Brood, Fishroom
from core.planning.outlook import batch_outlook, brood_outlook
from core.units import DateOrder

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Stage = Literal["holding", "box", "grow_out"]
WindowKind = Literal["strip", "ready"]

DAY = timedelta(days=1)
ROW = 62
MOST_ROWS = 20


@dataclass(frozen=True, slots=True)
class StageSpan:
    """A stage from `since` up to (not including) `until`; `expected` where it lies ahead."""

    stage: Stage
    since: date
    until: date
    expected: bool = False


@dataclass(frozen=True, slots=True)
class WindowSpan:
    """Days on which something is best done or first becomes so: stripping, or fish being ready. Half-open."""

    kind: WindowKind
    since: date
    until: date


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One brood or batch. `ended` marks a brood that was lost."""

    name: str
    spans: tuple[StageSpan, ...]
    windows: tuple[WindowSpan, ...] = ()
    ended: date | None = None


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """The rows from top to bottom."""

    title: str
    today: date
    rows: tuple[SeasonRow, ...]


LOOK_BACK = timedelta(days=183)
LONGEST_VIEW = timedelta(days=366)


def season_of(room: Fishroom, today: date, title: str) -> SeasonPicture:
    """All broods and batches that were alive in the last half year, as known today, in the order of their beginning."""
    broods = {brood.batch: brood for brood in room.broods.values() if brood.batch}
    rows = [_row_of(room, broods.get(batch.id), batch, today) for batch in room.batches.values()]
    rows += [_row_of(room, brood, None, today) for brood in room.broods.values() if brood.batch not in room.batches]
    recent = [row for row in rows if row.spans and max(span.until for span in row.spans) >= today - LOOK_BACK]
    return SeasonPicture(title, today, tuple(sorted(recent, key=lambda row: row.spans[0].since)))


def _row_of(room: Fishroom, brood: Brood | None, batch: Batch | None, today: date) -> SeasonRow:
    held, strip = _held(room, brood, today) if brood else ((), ())
    grown, ready = _grown(room, batch, today) if batch else ((), ())
    lost = brood.ended if brood and brood.outcome == "lost" else None
    return SeasonRow(_name(room, brood, batch), held + grown, strip + ready, ended=lost)


def _name(room: Fishroom, brood: Brood | None, batch: Batch | None) -> str:
    strain = batch.strain if batch else brood.strain if brood else ""
    known = room.strains.get(strain)
    letters = " → ".join([*([brood.female] if brood else []), *([batch.label] if batch else [])])
    return f"{letters} · {known.name if known else strain}"


def _held(room: Fishroom, brood: Brood, today: date) -> tuple[tuple[StageSpan, ...], tuple[WindowSpan, ...]]:
    since = brood.since
    if since is None:
        return (), ()
    if brood.ended is not None:
        return (StageSpan("holding", since, max(brood.ended, since + DAY)),), ()
    outlook = brood_outlook(room, brood, today)
    spans: tuple[StageSpan, ...] = (StageSpan("holding", since, max(today, since + DAY)),)
    windows: tuple[WindowSpan, ...] = ()
    if outlook and outlook.release and outlook.release.likely and outlook.release.likely > today:
        spans += (StageSpan("holding", today, outlook.release.likely, expected=True),)
    if outlook and outlook.strip_opens and outlook.strip_closes:
        windows = (WindowSpan("strip", outlook.strip_opens, outlook.strip_closes + DAY),)
    return spans, windows


def _grown(room: Fishroom, batch: Batch, today: date) -> tuple[tuple[StageSpan, ...], tuple[WindowSpan, ...]]:
    alive = batch.merged_into is None and batch.count > 0
    end = today if alive else max((change.on for change in batch.changes), default=batch.began)
    lived = _lived(room, batch, max(end, batch.began + DAY))
    return (*lived, *_ahead(room, batch, today, lived[-1].stage)) if alive else lived, _ready(room, batch, today) if alive else ()


def _lived(room: Fishroom, batch: Batch, end: date) -> tuple[StageSpan, ...]:
    """Its stages so far, by the kind of place it was in; stays of one kind are one span."""
    spans: list[StageSpan] = []
    stays = [stay for stay in batch.stays if stay.since < end]
    for stay, until in zip(stays, [*(later.since for later in stays[1:]), end], strict=True):
        place = room.places.get(stay.place) if stay.place else None
        stage: Stage = "box" if place is not None and place.type == "box" else "grow_out"
        if spans and spans[-1].stage == stage:
            spans[-1] = StageSpan(stage, spans[-1].since, until)
        else:
            spans.append(StageSpan(stage, stay.since, until))
    return tuple(spans) or (StageSpan("grow_out", batch.began, end),)


def _ahead(room: Fishroom, batch: Batch, today: date, stage: Stage) -> tuple[StageSpan, ...]:
    outlook = batch_outlook(room, batch, today)
    out, sold = outlook.ready["out_of_box"].half.likely, outlook.ready["saleable"].most.likely
    leaves = min(out, today + LONGEST_VIEW) if stage == "box" and out and out > today else today
    end = min(sold, today + LONGEST_VIEW) if sold else today
    boxed = (StageSpan("box", today, leaves, expected=True),) if leaves > today else ()
    return (*boxed, StageSpan("grow_out", leaves, end, expected=True)) if end > leaves else boxed


def _ready(room: Fishroom, batch: Batch, today: date) -> tuple[WindowSpan, ...]:
    """From the day on which half of them are likely ready to the one on which nine in ten are."""
    ready = batch_outlook(room, batch, today).ready["saleable"]
    first, last = ready.half.likely, ready.most.likely
    if first is None or first > today + LONGEST_VIEW:
        return ()
    return (WindowSpan("ready", first, max(min(last or first, today + LONGEST_VIEW), first) + DAY),)


LOOKS: dict[Stage, tuple[str, str, str, str]] = {
    "holding": (style.SAND, style.GRAVEL, "..", "in the mouth"),
    "box": (style.SHALLOW, style.WATER, "///", "in a box"),
    "grow_out": (style.WATER, style.DEEP, "", "growing on"),
}
"""Fill, edge (while it is expected), hatch and name of each stage."""


def draw_season(picture: SeasonPicture, order: DateOrder = "DMY", width: int = style.WIDTH, height: int = style.HEIGHT) -> bytes:
    """The picture as a PNG, `width` pixels wide and at least `height` high: it grows with its rows."""
    return style.png(season_figure(picture, order, width, height))


def season_figure(picture: SeasonPicture, order: DateOrder, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    rows = picture.rows[:MOST_ROWS]
    lost = any(row.ended is not None for row in rows)
    foot = 176 + (41 if lost else 0)  # the legend has one line more
    figure = style.paper(width, max(height, 154 + foot + ROW * len(rows)))
    left_out = len(picture.rows) - len(rows)
    top = style.heading(figure, picture.title, f"and {left_out} more that do not fit here" if left_out else "")
    names = [style.shortened(row.name, width * 0.36, style.TEXT) for row in rows]
    left = style.MARGIN + 14 + max((style.text_width(name, style.TEXT) for name in names), default=0)
    axes = style.panel(figure, left=left, bottom=foot, right=36, top=top + 30)
    for number, row in enumerate(rows):
        _row(axes, row, number)
    _frame(axes, picture, names, order)
    style.today_line(axes, picture.today)
    style.legend(figure, _handles(lost), columns=3)
    return figure


def _row(axes: Axes, row: SeasonRow, number: int) -> None:
    for span in row.spans:
        fill, edge, hatch, _ = LOOKS[span.stage]
        axes.barh(
            number, max((span.until - span.since).days, 1), left=style.day_number(span.since), height=0.52,
            facecolor=style.PAPER if span.expected else fill, hatch=hatch, edgecolor=edge if span.expected else style.INK,
            linewidth=3 if span.expected else 1.5, linestyle="--" if span.expected else "-", zorder=3,
        )  # fmt: skip
    for window in row.windows:
        _window(axes, window, number)
    if row.ended is not None:
        where = style.day_number(row.ended)
        axes.plot([where], [number], marker="x", markersize=20, markeredgewidth=5, color=style.CLAY, zorder=5)


def _window(axes: Axes, window: WindowSpan, number: int) -> None:
    ends = [style.day_number(window.since), style.day_number(window.until)]
    above = window.kind == "ready"
    axes.plot(
        ends, [number + (-0.37 if above else 0.37)] * 2, color=style.CLAY if above else style.INK, linewidth=5, zorder=4,
        marker="^" if above else "v", markersize=12, solid_capstyle="butt", linestyle="-" if above else (0, (2, 1)),
    )  # fmt: skip


def _frame(axes: Axes, picture: SeasonPicture, names: list[str], order: DateOrder) -> None:
    first, last = season_bounds(picture)
    style.day_axis(axes, first, last, order, at_most=6)
    axes.set_ylim(max(len(names), 1) - 0.4, -0.6)
    axes.set_yticks(range(len(names)), [style.printable(name) for name in names], parse_math=False)
    axes.tick_params(axis="y", length=0)
    axes.grid(False, axis="y")


def season_bounds(picture: SeasonPicture) -> tuple[date, date]:
    """First and last day of the picture: all that is in it, and today."""
    days = [picture.today]
    for row in picture.rows:
        days += [day for span in row.spans for day in (span.since, span.until)]
        days += [day for window in row.windows for day in (window.since, window.until)]
    first, last = min(days), max(days)
    spare = timedelta(days=max((last - first).days // 40, 3))
    return first - spare, last + spare


def _handles(lost: bool) -> list[object]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    stages: list[object] = [
        Patch(facecolor=fill, hatch=hatch, edgecolor=style.INK, linewidth=1.5, label=name)
        for fill, _, hatch, name in LOOKS.values()
    ]
    return [
        *stages,
        Line2D([], [], color=style.INK, linewidth=5, linestyle=(0, (2, 1)), marker="v", markersize=12, label="strip"),
        Line2D([], [], color=style.CLAY, linewidth=5, marker="^", markersize=12, label="ready"),
        Patch(facecolor=style.PAPER, edgecolor=style.GRAVEL, linewidth=3, linestyle="--", label="expected"),
        *([Line2D([], [], color=style.CLAY, linewidth=0, marker="x", markersize=16, markeredgewidth=5, label="brood lost")] if lost else []),
    ]
