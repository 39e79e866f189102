"""Where a fish or a batch comes from: parents, grandparents and beyond, who appears twice, and the inbreeding that follows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bot.pictures import style

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LEAF = 92
BOX = 76
MOST_GENERATIONS = 4


@dataclass(frozen=True, slots=True)
class Ancestor:
    """A fish, or a batch, in a pedigree. `key` tells individuals apart; `note` stands small below the name.

    `sire` and `dam` are None where nothing is known. `share` is below 1 where these parents are only one of several possible
    pairs (batches that were mixed).
    """

    key: str
    name: str
    sex: Literal["male", "female"] | None = None
    note: str = ""
    sire: Ancestor | None = None
    dam: Ancestor | None = None
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class PedigreePicture:
    """The subject with its ancestors; `inbreeding` is F (0–1), with its range where parentage is shared or partly unknown."""

    title: str
    subject: Ancestor
    inbreeding: float | None = None
    inbreeding_range: tuple[float, float] | None = None


@dataclass(frozen=True)
class _Spot:
    ancestor: Ancestor
    generation: int
    row: float
    parents: tuple[_Spot, ...] = ()


def draw_pedigree(picture: PedigreePicture, width: int = style.WIDTH, height: int = style.HEIGHT) -> bytes:
    """The picture as a PNG, `width` pixels wide and at least `height` high: it grows with the number of ancestors."""
    return style.png(pedigree_figure(picture, width, height))


def pedigree_figure(picture: PedigreePicture, width: int, height: int) -> Figure:
    """The picture before it becomes pixels."""
    spots = list(_places(picture.subject))
    leaves = 1 + max(spot.row for spot in spots)
    figure = style.paper(width, int(max(height, 250 + LEAF * leaves)))
    top = style.heading(figure, picture.title, inbreeding_line(picture))
    _draw(figure, spots, top, leaves)
    foot = "square: male · round: female · thick edge: a common ancestor"
    style.write(figure, style.MARGIN, 26, style.fit(foot, width - 2 * style.MARGIN, style.TEXT, 26)[0], color=style.GRAVEL)
    return figure


def inbreeding_line(picture: PedigreePicture) -> str:
    """F in words and per cent."""
    if picture.inbreeding is None:
        return "inbreeding unknown: parents not recorded"
    line = f"inbreeding F = {picture.inbreeding:.3f} ({picture.inbreeding:.1%})"
    if picture.inbreeding_range and picture.inbreeding_range[0] < picture.inbreeding_range[1]:
        line += ", between {:.3f} and {:.3f}".format(*picture.inbreeding_range)
    return line


UNKNOWN = "?"


def _places(subject: Ancestor) -> Iterator[_Spot]:
    """Where each ancestor stands: leaves on rows of their own, everybody else halfway between the parents."""
    next_row = 0.0

    def place(ancestor: Ancestor, generation: int) -> _Spot:
        nonlocal next_row
        parents = _parents(ancestor, generation)
        if not parents:
            next_row += 1
            return _Spot(ancestor, generation, next_row - 1)
        above = tuple(place(parent, generation + 1) for parent in parents)
        return _Spot(ancestor, generation, sum(spot.row for spot in above) / len(above), above)

    def walk(spot: _Spot) -> Iterator[_Spot]:
        yield spot
        for parent in spot.parents:
            yield from walk(parent)

    yield from walk(place(subject, 0))


def _parents(ancestor: Ancestor, generation: int) -> tuple[Ancestor, ...]:
    """Both parents where one is known (and always for the subject), as far back as the picture goes."""
    if generation + 1 >= MOST_GENERATIONS or (generation and ancestor.sire is None and ancestor.dam is None):
        return ()
    return (
        ancestor.sire or Ancestor(UNKNOWN, "unknown", "male"),
        ancestor.dam or Ancestor(UNKNOWN, "unknown", "female"),
    )


def common_ancestors(subject: Ancestor) -> frozenset[str]:
    """Keys of those who are a parent of two or more different fish of the pedigree that is drawn."""
    children: dict[str, set[str]] = defaultdict(set)
    for spot in _places(subject):
        for parent in spot.parents:
            children[parent.ancestor.key].add(spot.ancestor.key)
    return frozenset(key for key, of in children.items() if len(of) > 1 and key != UNKNOWN)


def _draw(figure: Figure, spots: list[_Spot], top: float, leaves: float) -> None:
    width, height = style.sheet_width(figure), style.sheet_height(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, width)
    axes.set_ylim(0, height)
    axes.set_axis_off()
    generations = 1 + max(spot.generation for spot in spots)
    gap = 36
    box = min((width - 2 * style.MARGIN - gap * (generations - 1)) / generations, 420)
    row = (height - top - 84) / leaves
    common = common_ancestors(spots[0].ancestor)
    for spot in spots:
        x = style.MARGIN + spot.generation * (box + gap)
        y = height - top - (spot.row + 0.5) * row
        ends = [height - top - (parent.row + 0.5) * row for parent in spot.parents]
        uncertain = spot.ancestor.share < 1
        for end in ends:
            axes.plot(
                [x + box, x + box + gap / 2, x + box + gap / 2, x + box + gap], [y, y, end, end], color=style.GRAVEL,
                linewidth=3, linestyle=(0, (3, 2)) if uncertain else "-", zorder=1,
            )  # fmt: skip
        _box(figure, spot.ancestor, (x, y, box), common=spot.ancestor.key in common)


def _box(figure: Figure, ancestor: Ancestor, where: tuple[float, float, float], common: bool) -> None:
    from matplotlib.patches import FancyBboxPatch

    x, y, box = where
    round_by = BOX / 2 if ancestor.sex == "female" else 4 if ancestor.sex == "male" else 16
    figure.axes[0].add_patch(
        FancyBboxPatch(
            (x, y - BOX / 2), box, BOX, boxstyle=f"round,pad=0,rounding_size={round_by}", zorder=2,
            facecolor=style.SHALLOW if ancestor.sex == "male" else style.SAND if ancestor.sex == "female" else style.PAPER,
            edgecolor=style.CLAY if common else style.INK, linewidth=7 if common else 2,
            linestyle=":" if ancestor.key == UNKNOWN else "-",
        )
    )  # fmt: skip
    sign = {"male": "♂ ", "female": "♀ ", None: ""}[ancestor.sex]
    lines = style.wrapped(sign + ancestor.name, box - 30, 26, at_most=1 if ancestor.note or ancestor.share < 1 else 2)
    if len(lines) == 1:
        _line(figure, (x + box / 2, y + (13 if ancestor.note or ancestor.share < 1 else 0)), lines[0], style.TEXT + 2, box - 30)
    else:
        for line, lift in zip(lines, (15, -17), strict=True):
            _line(figure, (x + box / 2, y + lift), line, 26, box - 30)
    note = f"parents {ancestor.share:.0%} sure" if ancestor.share < 1 else ancestor.note
    if note:
        note, size = style.fit(note, box - 34, 24, 20)
        style.write(figure, x + box / 2, y - 20, note, fontsize=size, ha="center", va="center", zorder=3)


def _line(figure: Figure, where: tuple[float, float], text: str, size: float, room: float) -> None:
    text, size = style.fit(text, room, size, 24, bold=True)
    style.write(figure, *where, text, fontsize=size, fontweight="bold", ha="center", va="center", zorder=3)
