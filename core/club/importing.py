"""A keeper's own spreadsheet becomes events: which column says what is guessed, every row is read, and what cannot be is given with why.

Pure: nothing is recorded here. A row with a sex is one known fish, any other a batch. Either every row can be read and all of them are
recorded together, or none is.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from io import StringIO
from typing import Any, Literal

from core.club.recording import Proposal
from core.events import BatchJoined, Entry, Event, Joined, StrainAdded
from core.fishroom import names as naming
from core.fishroom.replay import apply
from core.fishroom.state import Fishroom, Strain
from core.species import names as species_names

Column = Literal["strain", "count", "place", "sex", "label", "batch", "born", "length", "origin"]
COLUMNS: Mapping[Column, tuple[str, ...]] = {
    "strain": ("strain", "species", "variety", "breed", "kind", "fish"),
    "count": ("count", "number", "quantity", "qty", "how many", "amount", "n"),
    "place": ("place", "tank", "location", "where", "tub", "box"),
    "sex": ("sex", "gender", "m/f"),
    "label": ("label", "tag", "id", "no"),
    "batch": ("batch", "letter", "group", "brood", "lot"),
    "born": ("born", "hatched", "hatch date", "birth", "date of birth", "spawned"),
    "length": ("length", "size", "mm", "cm", "inches"),
    "origin": ("origin", "from", "source", "breeder", "bought from"),
}
"""By what headings each column goes, the likeliest first."""
SEXES: Mapping[str, Literal["male", "female"]] = {"m": "male", "male": "male", "f": "female", "female": "female"}
MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4}
Why = Literal["no_strain", "unknown_strain", "no_count", "not_a_count", "unknown_place", "not_a_date", "not_a_length", "taken"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A spreadsheet: headings, rows of as many cells, and which column says what."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    mapping: Mapping[Column, int]


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row (2 for the first below the headings) that cannot be read: why, and the words that it is about."""

    row: int
    why: Why
    value: str


class _UnreadableError(Exception):
    def __init__(self, why: Why, value: str) -> None:
        super().__init__(why)
        self.why: Why = why
        self.value = value


def read_sheet(text: str) -> Sheet:
    """The sheet in a CSV file's text, whatever separates its cells. Raises ValueError for one without rows."""
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    separator = max(",;\t", key=first.count)
    cells = [tuple(cell.strip() for cell in row) for row in csv.reader(StringIO(text), delimiter=separator) if any(row)]
    if len(cells) < 2:
        raise ValueError("the file holds no rows below its headings")
    headings, *rows = cells
    width = len(headings)
    return Sheet(headings, tuple((*row, *[""] * width)[:width] for row in rows), guess(headings))


def guess(headings: Sequence[str]) -> dict[Column, int]:
    """Which column says what: a heading that is one of its names, else one that holds such a name as a word."""
    said = [" ".join(re.sub(r"[^\w/ ]", " ", heading.lower()).split()) for heading in headings]
    found: dict[Column, int] = {}
    tests: tuple[Callable[[str, str], bool], ...] = (str.__eq__, lambda heading, name: name in heading.split())
    for fits in tests:
        for column, names in COLUMNS.items():
            free = (place for name in names for place, heading in enumerate(said) if fits(heading, name))
            place = next((one for one in free if one not in found.values()), None)
            if column not in found and place is not None:
                found[column] = place
    return found


def proposals(
    room: Fishroom, sheet: Sheet, today: date, told: datetime, *, person: str, date_order: str = "DMY"
) -> list[Proposal] | list[BadRow]:
    """What the rows say as events of the fishroom, told today; where any cannot be read, those rows instead."""
    scratch, made, bad = room.fork(), list[Proposal](), list[BadRow]()
    for number, row in enumerate(sheet.rows, start=2):
        cells = {column: row[place] for column, place in sheet.mapping.items()}
        try:
            events = _events(scratch, cells, sheet.headings[sheet.mapping.get("length", 0)], date_order)
        except _UnreadableError as problem:
            bad.append(BadRow(number, problem.why, problem.value))
            continue
        for event in events:
            made.append(Proposal(f"fishroom:{room.id}", event, today))
            place = scratch.number + 1
            apply(scratch, Entry(f"fishroom:{room.id}", place, event, today, told, person, None, None, place))
    return bad or made


def _events(room: Fishroom, cells: Mapping[Column, str], length_heading: str, date_order: str) -> list[Event]:
    strain, added = _strain(room, cells.get("strain", ""))
    place = _place(room, cells.get("place", ""))
    born = _date(cells.get("born", ""), date_order)
    origin = cells.get("origin") or None
    sex = SEXES.get(cells.get("sex", "").lower().strip("."))
    if sex is not None:
        label = cells.get("label") or naming.next_label(room, sex)
        if naming.find_fish(room, sex, label) is not None:
            raise _UnreadableError("taken", label)
        return [*added, Joined(naming.fish_id(room, sex, label), sex, label, strain, place, origin, born=born)]
    wanted = cells.get("batch", "")
    batch = naming.batch_id(room, wanted) if wanted else naming.next_batch(room)
    if batch is None:
        raise _UnreadableError("taken", wanted)
    length = _length(cells.get("length", ""), length_heading)
    return [*added, BatchJoined(batch, strain, _count(cells.get("count", "")), False, place, origin, length, born)]


def _strain(room: Fishroom, said: str) -> tuple[str, list[Event]]:
    """The strain's key, and the event that adds it where it is the species profiles' and not yet kept here."""
    wanted = " ".join(said.lower().split())
    if not wanted:
        raise _UnreadableError("no_strain", said)
    forms = {wanted, wanted.removesuffix("s"), re.sub(r"ies$", "y", wanted)}
    known: Strain | None = next(
        (one for one in room.strains.values() if forms & {one.key, one.name.lower(), *(name.lower() for name in one.names)}), None
    )
    if known is not None:
        return known.key, []
    profile: Any = next((key for name, key in species_names().items() if name.lower() in forms), None)
    if profile is None:
        raise _UnreadableError("unknown_strain", said)
    return profile, [] if profile in room.strains else [StrainAdded(profile, wanted, profile)]


def _place(room: Fishroom, said: str) -> str | None:
    wanted = " ".join(said.lower().split())
    if wanted and (wanted not in room.places or room.places[wanted].retired):
        raise _UnreadableError("unknown_place", said)
    return wanted or None


def _count(said: str) -> int:
    if not said:
        raise _UnreadableError("no_count", said)
    if not re.fullmatch(r"\d{1,6}", said) or int(said) == 0:
        raise _UnreadableError("not_a_count", said)
    return int(said)


def _date(said: str, order: str) -> date | None:
    if not said:
        return None
    forms = ("%Y-%m-%d", *(("%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y") if order == "DMY" else ("%m/%d/%Y", "%m-%d-%Y")), "%d %b %Y")
    for form in forms:
        try:
            return datetime.strptime(said, form).date()  # noqa: DTZ007 - a day of the keeper's, no moment
        except ValueError:
            continue
    raise _UnreadableError("not_a_date", said)


def _length(said: str, heading: str) -> float | None:
    """In mm: the unit stands in the cell, else in the heading, else it is mm."""
    if not said:
        return None
    found = re.fullmatch(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>[a-z\"]*)", said.lower())
    named = next((word for word in re.findall(r"[a-z]+", heading.lower()) if word in MM), "mm")
    if found is None or (found["unit"] or named) not in MM:
        raise _UnreadableError("not_a_length", said)
    return round(float(found["number"].replace(",", ".")) * MM[found["unit"] or named], 1)
