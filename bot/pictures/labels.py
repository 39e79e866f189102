"""Labels for the room: each tank, box, tub and pond with its name, and a code that opens the conversation at that place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from bot.pictures import sheet
from bot.pictures.measures import full_weight, volume
from core.events import PlaceType
from core.fishroom.state import Fishroom, Place
from core.units import Units

if TYPE_CHECKING:
    from collections.abc import Callable

    from reportlab.pdfgen.canvas import Canvas

COLUMNS, ROWS = 2, 4
MARGIN = 12 * sheet.MM
CODE_SIDE = 42 * sheet.MM

UNPLUG = "Unplug heater, pump and lights before hands go in."
HANDS = "Cover cuts, wash hands after."
LID = "Keep it covered; never leave a child alone with it."
SCAN = "scan to write from here"
FOOT = (
    "Guidance only: local rules, the makers' instructions and your vet come first. Never release fish, plants or water outdoors."
)

CAUTIONS: dict[PlaceType, tuple[str, ...]] = {
    "tank": (UNPLUG, HANDS),
    "box": (UNPLUG, HANDS),
    "tub": (UNPLUG, LID, HANDS),
    "pond": (UNPLUG, LID, HANDS),
}
"""What stands on every label of a kind of place, most urgent first. Common practice, no source."""
HEAVY_LITRES = 20.0
"""From here on a label says what the water weighs (20 kg: heavier than many can lift well)."""


@dataclass(frozen=True, slots=True)
class PlaceLabel:
    """One label: the place and the link its code holds."""

    name: str
    type: PlaceType
    link: str
    litres: float | None = None
    hangs_in: str | None = None


def labels_of(room: Fishroom, link: Callable[[Place], str]) -> tuple[PlaceLabel, ...]:
    """A label for each place in use, in the order in which the places were added; `link` says where a place's code leads."""
    places = (place for place in room.places.values() if not place.retired)
    return tuple(PlaceLabel(place.name, place.type, link(place), place.litres, place.hangs_in) for place in places)


def draw_labels(labels: tuple[PlaceLabel, ...], room: str, units: Units = "metric") -> bytes:
    """A PDF to print and cut, eight labels on A4 or US Letter; the foot line ends with the fishroom, so that a long name cuts no caution."""
    canvas, out = sheet.new_canvas(f"Labels for {room}", units)
    grid = sheet.Grid(sheet.page_size(units), MARGIN, COLUMNS, ROWS)
    sheet.draw_grid(canvas, grid, [partial(_label, canvas, label, units) for label in labels], f"{FOOT} · {room}")
    canvas.save()
    return out.getvalue()


def cautions(label: PlaceLabel, units: Units) -> list[str]:
    """The sentences at the foot of a label."""
    said = list(CAUTIONS[label.type])
    if label.litres is not None and label.litres >= HEAVY_LITRES:
        said.insert(1, f"Full, it holds about {full_weight(label.litres, units)} of water: empty it before moving it.")
    return said


def _label(canvas: Canvas, label: PlaceLabel, units: Units, x: float, y: float, width: float, height: float) -> None:
    inner = 5 * sheet.MM
    top = y + height - inner
    code = min(CODE_SIDE, height - 24 * sheet.MM)
    sheet.draw_code(canvas, label.link, x + width - code - 1 * sheet.MM, y + height - code - 1 * sheet.MM, code)
    room = width - code - inner - 3 * sheet.MM
    canvas.setFillColorRGB(*sheet.INK)
    canvas.setFont(sheet.SANS, 7.5)
    canvas.drawCentredString(x + width - code / 2 - 1 * sheet.MM, y + height - code - 2 * sheet.MM, SCAN)
    lines, size = sheet.lines_that_fit(label.name, room, 30, 12, at_most=4, bold=True)
    below = sheet.write_lines(canvas, lines, x + inner, top, size, bold=True)
    canvas.setFillColorRGB(*sheet.GRAVEL)
    lines, size = sheet.lines_that_fit(_kind(label, units), room, 11, 8, at_most=2)
    sheet.write_lines(canvas, lines, x + inner, below - 4, size)
    _cautions(canvas, cautions(label, units), (x + inner, y + 4 * sheet.MM), width - 2 * inner)


def _kind(label: PlaceLabel, units: Units) -> str:
    parts = [f"{label.type} in {label.hangs_in}" if label.hangs_in else str(label.type)]
    if label.litres is not None:
        parts.append(volume(label.litres, units))
    return " · ".join(parts)


def _cautions(canvas: Canvas, said: list[str], corner: tuple[float, float], room: float) -> None:
    x, y = corner
    lines, size = sheet.lines_that_fit(" ".join(said), room, 8, 6.5, at_most=3)
    top = y + len(lines) * size * 1.18
    canvas.setStrokeColorRGB(*sheet.WATER)
    canvas.setLineWidth(1.2)
    canvas.line(x, top + 4, x + room, top + 4)
    canvas.setFillColorRGB(*sheet.INK)
    sheet.write_lines(canvas, lines, x, top, size)
