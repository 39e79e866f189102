"""The rows of a keeper's own spreadsheet become events: every row is read, and what cannot be is given with why.

Pure: nothing is recorded here. A row with a sex is known fish, any other a batch. Either every row can be read and all of them are
recorded together, or none is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal

from core.club.recording import Proposal
from core.club.sheets import Column, Sheet
from core.events import BatchJoined, Entry, Event, Joined, Noted, Parents, StrainAdded
from core.fishroom import names as naming
from core.fishroom.replay import apply
from core.fishroom.state import Fishroom, Strain
from core.species import names as species_names
from core.units import MM_PER_INCH, DateOrder

Gender = Literal["male", "female"]
SEXES: Mapping[str, Gender] = {
    **dict.fromkeys(("m", "male", "males", "♂", "boy", "boys"), "male"),
    **dict.fromkeys(("f", "female", "females", "♀", "girl", "girls"), "female"),
}  # fmt: skip
MM = {"mm": 1.0, "cm": 10.0, **dict.fromkeys(("in", "inch", "inches", '"', "″"), MM_PER_INCH)}
DAYS = ("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y", "%d %b %y", "%b %d %y")
"""Days whose form leaves no doubt."""
BY_ORDER = {"DMY": ("%d/%m/%Y", "%d/%m/%y"), "MDY": ("%m/%d/%Y", "%m/%d/%y")}
"""Days of numbers alone, by what the club writes first; dots and dashes are read as strokes."""
MOST_OF_A_SEX = 200
"""Known fish that one row may bring; more is a batch."""
Why = Literal[
    "no_strain", "unknown_strain", "no_count", "not_a_count", "unknown_place", "not_a_date", "future", "not_a_length", "no_unit", "taken",
    "not_a_sex", "not_letters", "unknown_parent",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row (2 for the first below the headings) that cannot be read: why, and the words that it is about."""

    row: int
    why: Why
    value: str


@dataclass(slots=True)
class Brought:
    """What a sheet brings: events in the order of its rows, and the free texts that they name."""

    proposals: list[Proposal] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)


class _UnreadableError(Exception):
    def __init__(self, why: Why, value: str) -> None:
        super().__init__(why)
        self.why: Why = why
        self.value = value


def brought(room: Fishroom, sheet: Sheet, today: date, told: datetime, *, person: str, date_order: DateOrder = "DMY") -> Brought | list[BadRow]:
    """What the rows say as events of the fishroom, told today; where any cannot be read, those rows instead."""
    scratch, made, bad = room.fork(), Brought(), list[BadRow]()
    for number, cells in enumerate(sheet.rows, start=2):
        row = _Row(scratch, {column: cells[place] for column, place in sheet.mapping.items()}, sheet, date_order, today)
        try:
            for event in row.events(f"import {told.isoformat()}:{number}", made.texts):
                made.proposals.append(Proposal(f"fishroom:{room.id}", event, today))
                place = scratch.number + 1
                apply(scratch, Entry(f"fishroom:{room.id}", place, event, today, told, person, None, None, place))
        except _UnreadableError as problem:
            bad.append(BadRow(number, problem.why, problem.value))
    return bad or made


@dataclass(frozen=True, slots=True)
class _Row:
    """One row, read against the fishroom as the rows above it leave it."""

    room: Fishroom
    cells: Mapping[Column, str]
    sheet: Sheet
    date_order: DateOrder
    today: date

    def events(self, key: str, texts: dict[str, str]) -> Iterator[Event]:
        """What the row says; each is given when those before it have been applied. A note's text goes into `texts`, under the key."""
        strain, added = self._strain()
        place, born, origin, sex = self._place(), self._born(), self._cell("origin") or None, self._sex()
        sire, dam = self._parent("father", "male"), self._parent("mother", "female")
        yield from added
        subjects: list[str] = []
        if sex is None:
            batch = self._batch()
            count, approx = self._count(self._cell("count"))
            yield BatchJoined(batch, strain, count, approx, place, origin, self._length(), born)
            subjects.append(batch)
        else:
            nickname = self._cell("name") if self._cell("label") or self._cell("count") in ("", "1") else None
            for label in self._labels(sex):
                fish = naming.fish_id(self.room, sex, label)
                yield Joined(fish, sex, label, strain, place, origin, nickname=nickname or None, born=born)
                subjects.append(fish)
        for subject in subjects:
            if sire or dam:
                yield Parents(subject, sire, dam)
            if note := self._cell("note"):
                texts[f"{key}:{subject}"] = note
                yield Noted(f"{key}:{subject}", fish=None if sex is None else subject, batch=subject if sex is None else None)

    def _cell(self, column: Column) -> str:
        return self.cells.get(column, "")

    def _strain(self) -> tuple[str, list[Event]]:
        """The strain's key, and the event that adds it where it is the species profiles' and not yet kept here."""
        said = self._cell("strain")
        wanted = " ".join(said.lower().split())
        if not wanted:
            raise _UnreadableError("no_strain", said)
        forms = {wanted, wanted.removesuffix("s"), re.sub(r"ies$", "y", wanted)}
        known: Strain | None = next(
            (one for one in self.room.strains.values() if forms & {one.key, one.name.lower(), *(name.lower() for name in one.names)}), None
        )
        if known is not None:
            return known.key, []
        profile: Any = next((key for name, key in species_names().items() if name.lower() in forms), None)
        if profile is None:
            raise _UnreadableError("unknown_strain", said)
        return profile, [] if profile in self.room.strains else [StrainAdded(profile, wanted, profile)]

    def _place(self) -> str | None:
        wanted = " ".join(self._cell("place").lower().split())
        if wanted and (wanted not in self.room.places or self.room.places[wanted].retired):
            raise _UnreadableError("unknown_place", self._cell("place"))
        return wanted or None

    def _sex(self) -> Gender | None:
        """None for a row of young fish: no sex, or one that says so."""
        said = self._cell("sex")
        word = said.lower().strip(" .")
        if word in SEXES:
            return SEXES[word]
        if word in ("", "-", "?", "u", "unsexed", "unknown", "mixed", "both", "fry", "young", "juvenile", "juveniles"):
            return None
        raise _UnreadableError("not_a_sex", said)

    def _labels(self, sex: Gender) -> Iterator[str]:
        """The label that was written, or the next free ones for as many fish as the row counts; each asked for when it is needed."""
        wanted = self._cell("label")
        if wanted:
            if naming.find_fish(self.room, sex, wanted) is not None:
                raise _UnreadableError("taken", wanted)
            yield wanted
            return
        count, approx = self._count(self._cell("count") or "1")
        if approx or count > MOST_OF_A_SEX:
            raise _UnreadableError("not_a_count", self._cell("count"))
        for _ in range(count):
            yield naming.next_label(self.room, sex)

    def _batch(self) -> str:
        wanted = self._cell("batch")
        if not wanted:
            return naming.next_batch(self.room)
        if not re.fullmatch(r"[A-Za-z]{1,3}", wanted):
            raise _UnreadableError("not_letters", wanted)
        batch = naming.batch_id(self.room, wanted)
        if batch is None:
            raise _UnreadableError("taken", wanted)
        return batch

    def _parent(self, column: Column, sex: Gender) -> str | None:
        """A breeder of the fishroom, by label or nickname."""
        said = self._cell(column)
        if not said:
            return None
        wanted = re.sub(rf"^(?:{sex}|{sex[0]})\s*(?=\d)", "", said.casefold())
        known = (fish for fish in self.room.fish.values() if fish.sex == sex)
        found = next((fish.id for fish in known if wanted in (fish.label.casefold(), (fish.nickname or "").casefold())), None)
        if found is None:
            raise _UnreadableError("unknown_parent", f"{sex} {said}")
        return found

    def _count(self, said: str) -> tuple[int, bool]:
        """How many, and whether that is about so many."""
        if not said:
            raise _UnreadableError("no_count", said)
        found = re.fullmatch(r"(?P<about>~|ca\.?|about|approx\.?)?\s*(?P<number>\d{1,6})(?:\s*(?:fish|fry|young|pcs?\.?))?", said.lower())
        if found is None or int(found["number"]) == 0:
            raise _UnreadableError("not_a_count", said)
        return int(found["number"]), found["about"] is not None

    def _born(self) -> date | None:
        said = self._cell("born")
        if not said:
            return None
        plain = " ".join(said.replace(",", " ").replace(". ", " ").split())
        strokes = re.sub(r"[.-]", "/", plain)
        tried = [(plain, form) for form in DAYS] + [(strokes, form) for form in BY_ORDER[self.date_order]]
        found = next((day for text, form in tried if (day := _day(text, form)) is not None), None)
        if found is None:
            raise _UnreadableError("not_a_date", said)
        if found > self.today:
            raise _UnreadableError("future", said)
        return found

    def _length(self) -> float | None:
        """In mm: the unit stands in the cell, else in the heading; a number without one is not guessed at."""
        said = self._cell("length")
        if not said:
            return None
        found = re.fullmatch(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>[a-z\"″]*)", said.lower())
        if found is None:
            raise _UnreadableError("not_a_length", said)
        heading = self.sheet.headings[self.sheet.mapping["length"]].lower()
        unit = found["unit"] or next((word for word in re.findall(r"[a-z]+|[\"″]", heading) if word in MM), "")
        if unit not in MM:
            raise _UnreadableError("not_a_length" if unit else "no_unit", said)
        return round(float(found["number"].replace(",", ".")) * MM[unit], 1)


def _day(text: str, form: str) -> date | None:
    try:
        return datetime.strptime(text, form).date()  # noqa: DTZ007 - a day of the keeper's, no moment
    except ValueError:
        return None
