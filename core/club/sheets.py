"""A keeper's own spreadsheet as it is read: its cells, and which column is taken to say what.

The guess is shown before anything is recorded; what it got wrong the keeper puts right column by column (`renamed`).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from io import StringIO
from typing import Literal, cast, get_args

Column = Literal["strain", "count", "place", "sex", "label", "name", "batch", "born", "length", "mother", "father", "origin", "note"]
COLUMNS: Mapping[Column, tuple[str, ...]] = {
    "strain": ("strain", "species", "variety", "breed", "kind", "fish"),
    "count": ("count", "alive", "living", "left", "quantity", "qty", "how many", "amount", "number", "n", "fry", "young", "stock", "pieces"),
    "place": ("place", "tank", "location", "where", "tub", "box", "container"),
    "sex": ("sex", "gender", "m/f"),
    "label": ("label", "tag", "id", "no"),
    "name": ("name", "nickname"),
    "batch": ("batch", "letter", "group", "brood", "lot", "spawn"),
    "born": ("born", "hatched", "hatch date", "birth", "date of birth", "dob", "spawned", "stripped", "date"),
    "length": ("length", "size", "mm", "cm", "inches"),
    "mother": ("mother", "dam", "mum", "mom", "female"),
    "father": ("father", "sire", "dad", "male"),
    "origin": ("origin", "from", "source", "breeder", "bought from"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}
"""By what headings each column goes, the likeliest first."""
ENCODINGS = ("utf-8-sig", "utf-16", "cp1252")
"""How spreadsheet programs write text, in the order in which they are tried."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A spreadsheet: headings, rows of as many cells, and which column says what."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    mapping: Mapping[Column, int]


def decoded(content: bytes) -> str:
    """The text of a file. Raises ValueError for one that is no text."""
    for encoding in ENCODINGS:
        if encoding == "utf-16" and not content.startswith((b"\xff\xfe", b"\xfe\xff")):
            continue
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise ValueError("this is no text: save the spreadsheet as CSV")


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


def renamed(sheet: Sheet, heading: str, column: str) -> Sheet:
    """The sheet with one heading taken to say something else; an empty `column` leaves it out. Raises ValueError for what there is not."""
    wanted = " ".join(heading.lower().split())
    place = next((place for place, one in enumerate(sheet.headings) if " ".join(one.lower().split()) == wanted), None)
    if place is None:
        raise ValueError(f"there is no column headed “{heading.strip()}”")
    if column and column not in get_args(Column):
        raise ValueError(f"“{column}” is none of {', '.join(get_args(Column))}")
    kept = {name: at for name, at in sheet.mapping.items() if at != place and name != column}
    return replace(sheet, mapping=kept | ({cast(Column, column): place} if column else {}))
