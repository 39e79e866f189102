"""The shelf's rows, from what the fishrooms of the club can promise and expect."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import groupby

from bot.page.shelf import ShelfRow
from bot.replies import naming
from bot.replies.words import Style, by_sex, capital, counted, listed
from core.biology.growth import Range, mixed_fish_mm
from core.club import Visit
from core.fishroom.choices import level_of
from core.fishroom.state import Batch, Fishroom
from core.planning.batch_outlook import HALF, MOST
from core.planning.outlook import DayWindow, parts
from core.planning.promises import Now
from core.planning.shelf import OnShelf, shelf_rows

GOOD_FOR = timedelta(minutes=5)
"""A hold may lapse in the meantime: for so long at most that is not seen on the page."""
MOST_KEPT = 200
LATER = timedelta(weeks=6)
"""How far ahead a size is foretold on the shelf."""


@dataclass(slots=True)
class ShelfRows:
    """The rows of a club, reckoned again when something was recorded in it, or after a while: forecasts move by the day."""

    kept: dict[tuple[str, Style], tuple[tuple[tuple[str, int], ...], datetime, list[ShelfRow]]] = field(default_factory=dict)

    def of(self, visit: Visit, club: str, style: Style, moment: datetime) -> list[ShelfRow]:
        """Every batch on offer in the club, as this style words it."""
        stamp = tuple((room.id, room.number) for room in visit.rooms_of_club(club))
        known = self.kept.get((club, style))
        if known and known[0] == stamp and timedelta() <= moment - known[1] < GOOD_FOR:
            return known[2]
        if len(self.kept) >= MOST_KEPT:
            self.kept.clear()
        rows = rows_of(visit, club, style, moment)
        self.kept[club, style] = stamp, moment, rows
        return rows


def rows_of(visit: Visit, club: str, style: Style, moment: datetime) -> list[ShelfRow]:
    """Every batch on offer in the club."""
    now = Now(style.today, moment, level_of(visit.club(club)))
    found = []
    for room in visit.rooms_of_club(club):
        keeper = visit.keeper_name(room.id)
        for batch, rows in groupby(shelf_rows(room, now), key=lambda row: row.batch):
            found.append(_row(room, room.batches[batch], list(rows), keeper, style))
    return found


def photos_on(visit: Visit, club: str) -> set[str]:
    """The photos that the shelf shows."""
    offered = ((room, batch) for room in visit.rooms_of_club(club) for batch in room.live_batches() if batch.offer)
    return {photo for room, batch in offered if (photo := newest_photo(room, batch))}


def newest_photo(room: Fishroom, batch: Batch) -> str | None:
    """The newest photo of the batch."""
    return next((note.photo for note in reversed(room.notes) if note.photo and note.batch == batch.id), None)


def _row(room: Fishroom, batch: Batch, rows: list[OnShelf], keeper: str, style: Style) -> ShelfRow:
    whole, free = rows[-1], max(row.promisable for row in rows)
    named = naming.kind_of_batch(room, batch)
    wish = f"reserve {min(free, 6)} of {keeper}'s {batch.label}" if free else f"wanted 6 {named}"
    return ShelfRow(
        key=f"{room.id}/{batch.id}",
        strain_key="" if batch.hybrid else batch.strain,
        strain=capital(named),
        batch=batch.label,
        keeper=keeper,
        facts=tuple(_facts(room, batch, rows, style)),
        say=wish,
        does="Reserve" if free else "Ask for some",
        ready=style.today if whole.ready_now(style.today) else whole.ready_on,
        photo=newest_photo(room, batch),
    )


def _facts(room: Fishroom, batch: Batch, rows: list[OnShelf], style: Style) -> Iterator[tuple[str, str]]:
    whole = rows[-1]
    yield "Free", _free(rows)
    yield "Sexes", by_sex(*(batch.count_of(sex) for sex in ("male", "female", "unsexed")))
    yield "Now", size(Range(*whole.mm), style)
    yield "In 6 weeks", size(mixed_fish_mm(parts(room, batch, style.today, at=style.today + LATER)), style)
    yield from _ready(whole, style)
    prices = {row.sex: row.price for row in rows if row.price is not None}
    if prices:
        each = [f"{style.money(price)}{f' a {sex}' if sex else ' each'}" for sex, price in prices.items()]
        yield (
            "Price",
            listed(dict.fromkeys(each)) if len(set(prices.values())) > 1 else f"{style.money(next(iter(prices.values())))} each",
        )


def _free(rows: list[OnShelf]) -> str:
    """Fish of a sex are among those of any sex, not beside them."""
    whole = max(row.promisable for row in rows)
    sexed = [counted(row.promisable, row.sex) for row in rows if row.sex in ("male", "female") and row.promisable]
    if not whole:
        return "all spoken for"
    return f"{whole}, of them up to {listed(sexed, 'or')}" if sexed else str(whole)


def size(length: Range, style: Style) -> str:
    """ "about 3.2 cm (2.8–3.7 cm)": nine fish in ten lie between."""
    return f"about {tight(style.length(length.likely))} ({tight(style.lengths(length.low, length.high))})"


def tight(text: str) -> str:
    """The text on one line: a length keeps its unit, a day its month."""
    return text.replace(" ", "\N{NO-BREAK SPACE}").replace("–", "\N{WORD JOINER}–\N{WORD JOINER}")


def _ready(row: OnShelf, style: Style) -> Iterator[tuple[str, str]]:
    if row.from_day and row.from_day > style.today:
        yield "Offered", f"from {style.day(row.from_day)}"
    if row.ready.share_now >= MOST:
        yield "Ready", "now"
        return
    yield "Half ready", "now" if row.ready.share_now >= HALF else window(row.ready.half, style)
    yield "9 in 10 ready", window(row.ready.most, style)


def window(span: DayWindow, style: Style) -> str:
    """ "about Sat 18 Apr (Fri 10 Apr to Sun 26 Apr)": nine times in ten it is between, as far as that is in sight."""
    if span.likely is None:
        return "not in sight"
    if span.earliest is None or span.latest is None or span.earliest == span.latest:
        return f"about {tight(style.day(span.likely))}"
    first, last = max(span.earliest, style.today), span.latest
    return f"about {tight(style.day(span.likely))} ({tight(style.day(first))} to {tight(style.day(last))})"
