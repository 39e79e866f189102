"""Where a fish or a batch comes from: parents, grandparents and beyond, who appears twice, and the inbreeding that follows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bot.pictures import style
from core.biology.kinship import Kinship
from core.biology.pedigree import Family, Pedigree
from core.fishroom.names import batch_pedigree_id, pedigree_id
from core.fishroom.state import UNKNOWN_PARENTS, Batch, Fish, Fishroom, Parentage

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LEAF = 100
BOX = 84
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
class Kin:
    """A fish or batch of the club, by its pedigree id elsewhere: how it is called and who its parents are."""

    name: str
    sex: Literal["male", "female"] | None = None
    note: str = ""
    parents: Parentage = UNKNOWN_PARENTS


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


def kin_of(room: Fishroom) -> dict[str, Kin]:
    """Everybody a fishroom knows, by pedigree id; the caller puts several fishrooms together."""
    fish = {pedigree_id(room, one): _kin_of_fish(room, one) for one in room.fish.values()}
    return fish | {batch_pedigree_id(room, one): _kin_of_batch(room, one) for one in room.batches.values()}


def _kin_of_fish(room: Fishroom, fish: Fish) -> Kin:
    name = f"{fish.id} “{fish.nickname}”" if fish.nickname else fish.id
    grown_from = room.batches.get(fish.from_batch) if fish.from_batch else None
    note = f"from {grown_from.label}" if grown_from else fish.origin or ""
    return Kin(name, fish.sex, note, fish.parentage)


def _kin_of_batch(room: Fishroom, batch: Batch) -> Kin:
    strain = room.strains.get(batch.strain)
    return Kin(f"batch {batch.label}", None, strain.name if strain else batch.strain, batch.parentage)


def pedigree_of(subject: str, kin: Mapping[str, Kin], title: str) -> PedigreePicture:
    """The picture of a fish or a batch by its pedigree id; where several pairs may be the parents, the likeliest is drawn."""
    parents = kin[subject].parents.pairs if subject in kin else ()
    known = [(pair, share) for pair, share in parents if pair != (None, None)]
    if not known:
        return PedigreePicture(title, _ancestor(subject, kin, 0))
    related = Kinship(Pedigree.of({key: [Family(*pair, share) for pair, share in one.parents.pairs] for key, one in kin.items()}))
    expected = related.inbreeding(subject)
    ranges = [related.of_brood(sire, dam) for (sire, dam), _ in known if sire is not None and dam is not None]
    low, high = min((one.low for one in ranges), default=0.0), max((one.high for one in ranges), default=0.0)
    if len(ranges) < len(parents):  # of a pair that is not fully known nothing more than "unrelated" can be said
        low = 0.0
    return PedigreePicture(title, _ancestor(subject, kin, 0), expected, (min(low, expected), max(high, expected)))


def _ancestor(key: str, kin: Mapping[str, Kin], generation: int, sex: Literal["male", "female"] | None = None) -> Ancestor:
    known = kin.get(key)
    if known is None:
        return Ancestor(key, key.rpartition("/")[2], sex)
    (sire, dam), share = max(known.parents.pairs, key=lambda pair: pair[1], default=((None, None), 1.0))
    deeper = generation + 1 < MOST_GENERATIONS
    return Ancestor(
        key,
        known.name,
        known.sex or sex,
        known.note,
        _ancestor(sire, kin, generation + 1, "male") if sire and deeper else None,
        _ancestor(dam, kin, generation + 1, "female") if dam and deeper else None,
        share,
    )


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
            edgecolor=style.CLAY if common else style.INK, linewidth=8 if common else 2,
            linestyle=":" if ancestor.key == UNKNOWN else "-",
        )
    )  # fmt: skip
    sign = {"male": "♂ ", "female": "♀ ", None: ""}[ancestor.sex]
    lines = style.wrapped(sign + ancestor.name, box - 30, 26, at_most=1 if ancestor.note or ancestor.share < 1 else 2)
    if len(lines) == 1:
        _line(figure, (x + box / 2, y + (16 if ancestor.note or ancestor.share < 1 else 0)), lines[0], style.TEXT + 2, box - 30)
    else:
        for line, lift in zip(lines, (17, -18), strict=True):
            _line(figure, (x + box / 2, y + lift), line, 26, box - 30)
    note = f"{ancestor.share:.0%} sure" if ancestor.share < 1 else ancestor.note
    if note:
        note, size = style.fit(note, box - 34, 26, 26)
        style.write(figure, x + box / 2, y - 21, note, fontsize=size, ha="center", va="center", zorder=3)


def _line(figure: Figure, where: tuple[float, float], text: str, size: float, room: float) -> None:
    text, size = style.fit(text, room, size, 26, bold=True)
    style.write(figure, *where, text, fontsize=size, fontweight="bold", ha="center", va="center", zorder=3)
