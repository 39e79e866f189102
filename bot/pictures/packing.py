"""What goes along with fish that are fetched: a packing list for the keeper, and a label for each bag."""

from __future__ import annotations

from functools import partial
from io import BytesIO
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from bot.pictures import sheet
from bot.pictures.measures import clock, day, long_day, volume, warmth, warmth_step
from bot.pictures.parcels import Parcel, Pickup, bag_contents
from core.units import DateOrder, Units

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

LONGEST_FACT = 160
"""Letters of one fact: a row of the list cannot be taller than its page."""
MOST_DIFFERENCE_C = 3.0
MOST_DIFFERENCE_PH = 0.5

BEFORE = (
    "not fed since the day before",
    "caught early, waiting in clean water of the same warmth",
    "only fit fish, counted twice",
    "each bag one third water, two thirds air or oxygen, doubled and closed tight",
    "insulated box, lid on, dark, neither cold nor in the sun",
    "a label on every bag",
)
"""What the keeper ticks off. Common practice, no source."""

CAUTIONS = (
    "Never release fish, plants or their water outdoors: it harms wild life and is against the law in many places.",
    "Keep new fish in a tank of their own for about 30 days, with its own net; ask a vet if they look ill.",
    "Unplug heaters and pumps before hands go in. Cover cuts, wash hands after, keep bag water away from food.",
    "An oxygen cylinder stands upright and tied; no smoking, no oil or grease near it; air the car.",
    "This is hobbyists' guidance, not veterinary or legal advice: local rules on keeping, moving and selling fish come first.",
)


def acclimation(units: Units) -> tuple[str, ...]:
    """What the buyer does at home, in order. Common practice, no source; that bag water must not be aired or poured in comes from
    what happens to ammonia when carbon dioxide leaves it and the pH rises."""
    return (
        f"Before the day, bring your water near theirs: within {warmth_step(MOST_DIFFERENCE_C, units)} "
        f"and {MOST_DIFFERENCE_PH:g} of pH.",
        "Dim the lights. Float the closed bag for 15 to 20 minutes, until both waters are equally warm.",
        "Then open it and go on without a break: no airstone in the bag, no long drip.",
        "Lift the fish over with a soft net or a cup. No bag water into the tank: pour it down the drain.",
        "Keep it dark and quiet until the next day; a little food then.",
    )


def count_by_sex(males: int, females: int, unsexed: int) -> str:
    """ "1 male, 4 females", "6 unsexed"."""
    named = (("male", "males", males), ("female", "females", females), ("unsexed", "unsexed", unsexed))
    return ", ".join(f"{count} {one if count == 1 else many}" for one, many, count in named if count) or "none"


# --- the packing list -----------------------------------------------------------------------------------------------------


def draw_packing_list(pickup: Pickup, units: Units = "metric", order: DateOrder = "DMY") -> bytes:
    """A PDF, A4 or US Letter: who fetches what when, the fish of each reservation, what to tick off, what to tell."""
    from reportlab.platypus import SimpleDocTemplate

    sheet.faces()
    out = BytesIO()
    margin = 18 * sheet.MM
    document = SimpleDocTemplate(
        out, pagesize=sheet.page_size(units), leftMargin=margin, rightMargin=margin, topMargin=margin, bottomMargin=margin,
        title=f"Packing list, {day(pickup.day, order)}", author="Frywire", invariant=1, lang="en",
    )  # fmt: skip
    document.build(_story(pickup, units, order))
    return out.getvalue()


def _story(pickup: Pickup, units: Units, order: DateOrder) -> list[Any]:
    from reportlab.platypus import KeepTogether

    when = long_day(pickup.day, order) + (f", {clock(pickup.at, units)}" if pickup.at else ", time not yet agreed")
    bags = sum(max(parcel.bags, 1) for parcel in pickup.parcels)
    fish = sum(parcel.count for parcel in pickup.parcels)
    story = [
        _text("Packing list", 20, bold=True),
        _text(when, 13, bold=True),
        _text(f"{shortened(pickup.keeper)} hands over to {shortened(pickup.buyer)}; {shortened(pickup.club)}", 10.5),
        _text(f"{fish} fish in {bags} {'bag' if bags == 1 else 'bags'}", 10.5),
    ]
    story += [KeepTogether([_parcel(parcel, units, order)]) for parcel in pickup.parcels]
    for title, lines, mark in (
        ("To tick off", BEFORE, "☐"),
        ("At home, step by step", acclimation(units), ""),
        ("Please mind", CAUTIONS, "!"),
    ):
        story.append(KeepTogether([_text(title, 12, bold=True, above=10), *_list(lines, mark)]))
    story.append(_text("Counted by both: keeper ____________________ , buyer ____________________", 10, above=18))
    return story


def _parcel(parcel: Parcel, units: Units, order: DateOrder) -> Any:
    from reportlab.platypus import Table

    title = f"Reservation {parcel.reservation}: {count_by_sex(parcel.males, parcel.females, parcel.unsexed)}"
    told = [(_text(name, 9, color="#7a6245"), _text(shortened(value), 10)) for name, value in facts(parcel, units, order)]
    rows = [[*left, *right] for left, right in zip(told[::2], told[1::2], strict=True)]
    table = Table(
        [[_text(title, 12, bold=True), "", "", ""], *rows], colWidths=["13%", "42%", "13%", "32%"], spaceBefore=10, spaceAfter=2
    )
    table.setStyle(
        [
            ("SPAN", (0, 0), (-1, 0)),
            ("LINEABOVE", (0, 0), (-1, 0), 1.5, "#3f8197"),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, "#cfc6b2"),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 6),
            ("TOPPADDING", (0, 0), (-1, -1), 2),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
        ]
    )
    return table


def facts(parcel: Parcel, units: Units, order: DateOrder) -> tuple[tuple[str, str], ...]:
    """What is told about the fish of a parcel, name and value; what is unknown says so."""
    bags = max(parcel.bags, 1)
    each = f" of about {volume(parcel.bag_litres, units)} of water" if parcel.bag_litres else ""
    strain = f"{parcel.strain} ({parcel.scientific})" if parcel.scientific else parcel.strain
    return (
        ("strain", strain),
        ("batch", parcel.batch),
        ("parents", parents_words(parcel)),
        ("hatched", _hatched(parcel, order)),
        ("their kinship", kinship_words(parcel.kinship)),
        ("bags", f"{bags}{each}"),
        ("food", parcel.food or "ask the keeper"),
        ("their water", water_words(parcel, units)),
    )


def parents_words(parcel: Parcel) -> str:
    """Sire × dam, as far as they are known."""
    if not parcel.sire and not parcel.dam:
        return "not known"
    return f"{parcel.sire or 'sire not known'} × {parcel.dam or 'dam not known'}"


def shortened(text: str) -> str:
    """The text, or its beginning with an ellipsis."""
    return text if len(text) <= LONGEST_FACT else text[: LONGEST_FACT - 1].rstrip() + "…"


def kinship_words(kinship: float | None) -> str:
    """The parents' kinship as a number and what it amounts to."""
    if kinship is None:
        return "not known"
    near = next(words for above, words in _KIN if kinship >= above)
    return f"{kinship:.3f} ({near})"


_KIN = (
    (0.2, "as close as full siblings, or closer"),
    (0.1, "about as close as half siblings"),
    (0.05, "about as close as first cousins"),
    (0.001, "distant kin"),
    (0.0, "no kinship on record"),
)
"""Kinship of full siblings 1/4, half siblings 1/8, first cousins 1/16 (from memory: any textbook of quantitative genetics)."""


def _hatched(parcel: Parcel, order: DateOrder) -> str:
    if parcel.hatched is None:
        return "not known"
    return f"{'about ' if parcel.hatched_about else ''}{day(parcel.hatched, order)}"


def water_words(parcel: Parcel, units: Units) -> str:
    """Temperature and pH the fish are used to."""
    known = [warmth(parcel.temp_c, units)] if parcel.temp_c is not None else []
    known += [f"pH {parcel.ph:.1f}"] if parcel.ph is not None else []
    return ", ".join(known) or "not measured: ask the keeper"


def _list(lines: tuple[str, ...], mark: str) -> list[Any]:
    signs = [mark or f"{number}." for number in range(1, len(lines) + 1)]
    return [_text(line, 10, sign=sign) for sign, line in zip(signs, lines, strict=True)]


def _text(words: str, size: float, bold: bool = False, above: float = 0, sign: str = "", color: str = "#1f2d33") -> Any:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    look = ParagraphStyle(
        "text", fontName=sheet.BOLD if bold else sheet.SANS, fontSize=size, leading=size * 1.3, spaceBefore=above,
        textColor=color, leftIndent=15 if sign else 0, bulletFontName=sheet.SANS, bulletFontSize=size, splitLongWords=1,
    )  # fmt: skip
    return Paragraph(escape(sheet.printable(words)), look, bulletText=sign or None)


# --- a label for each bag -------------------------------------------------------------------------------------------------


def draw_bag_labels(pickup: Pickup, units: Units = "metric", order: DateOrder = "DMY") -> bytes:
    """A PDF of labels to cut, six on A4 or US Letter, one for each bag."""
    canvas, out = sheet.new_canvas(f"Bag labels, {day(pickup.day, order)}", units)
    grid = sheet.Grid(sheet.page_size(units), 12 * sheet.MM, columns=2, rows=3)
    bags = [
        (parcel, number, content) for parcel in pickup.parcels for number, content in enumerate(bag_contents(parcel), start=1)
    ]
    draw = [partial(_bag, canvas, pickup, bag, units, order) for bag in bags]
    sheet.draw_grid(canvas, grid, draw, f"{CAUTIONS[-1]} · {pickup.club}")
    canvas.save()
    return out.getvalue()


def _bag(
    canvas: Canvas,
    pickup: Pickup,
    bag: tuple[Parcel, int, tuple[int, int, int]],
    units: Units,
    order: DateOrder,
    x: float,
    y: float,
    width: float,
    height: float,
) -> None:
    parcel, number, content = bag
    inner = 5 * sheet.MM
    room = width - 2 * inner
    top = y + height - inner
    for words, size, smallest, at_most, bold, ink in (
        (f"LIVE FISH · {count_by_sex(*content)}", 13, 9, 2, True, sheet.INK),
        (f"{parcel.strain} · batch {parcel.batch}", 12, 8, 2, True, sheet.WATER),
        (
            f"for {pickup.buyer}, reservation {parcel.reservation}, bag {number} of {max(parcel.bags, 1)}, "
            f"{day(pickup.day, order)}", 9, 7, 2, False, sheet.INK,
        ),
        (f"Hatched: {_hatched(parcel, order)}. Parents: {parents_words(parcel)}", 9, 6.5, 2, False, sheet.INK),
        (f"Parents' kinship: {kinship_words(parcel.kinship)}", 9, 6.5, 1, False, sheet.INK),
        (f"Water: {water_words(parcel, units)}. Food: {parcel.food or 'ask the keeper'}", 9, 6.5, 2, False, sheet.INK),
    ):  # fmt: skip
        canvas.setFillColorRGB(*ink)
        lines, fitted = sheet.lines_that_fit(words, room, size, smallest, at_most, bold)
        top = sheet.write_lines(canvas, lines, x + inner, top, fitted, bold) - 2
    _steps(canvas, units, (x + inner, top - 4), room)


BAG_STEPS = (
    "Float the closed bag 15 to 20 minutes, dim light.",
    "Open, then at once: lift the fish over; no airstone, no bag water into the tank.",
    "Own tank for about 30 days. Never release outdoors. Ask a vet if ill; local rules come first.",
)


def _steps(canvas: Canvas, units: Units, corner: tuple[float, float], room: float) -> None:
    x, top = corner
    canvas.setStrokeColorRGB(*sheet.WATER)
    canvas.setLineWidth(1.2)
    canvas.line(x, top, x + room, top)
    canvas.setFillColorRGB(*sheet.INK)
    warm = f"Your water: within {warmth_step(MOST_DIFFERENCE_C, units)} and {MOST_DIFFERENCE_PH:g} pH of theirs."
    top -= 3
    for number, step in enumerate((warm, *BAG_STEPS), start=1):
        lines, size = sheet.lines_that_fit(f"{number}. {step}", room, 9, 6.5, at_most=2)
        top = sheet.write_lines(canvas, lines, x, top, size) - 1
