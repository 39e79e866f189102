"""Everything a keeper owns, as CSV tables that open safely in a spreadsheet.

RFC 4180 with a header line. A cell that a spreadsheet would take for a formula gets an apostrophe in front; numbers are written
as they are.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from datetime import time
from decimal import Decimal
from io import StringIO
from typing import Any

from core.fishroom.state import Fishroom

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What makes a spreadsheet read a cell as a formula (the list of OWASP's page on CSV injection, with their full-width forms)."""

Table = tuple[Sequence[str], Iterable[Sequence[Any]]]
"""The header, and the rows."""


def csv_tables(room: Fishroom, names: Mapping[str, str], texts: Mapping[str, str]) -> dict[str, str]:
    """File name to CSV text. `names`: people by id; `texts`: free texts by key, as far as they were not blanked."""
    made: dict[str, Table] = {
        "places": _places(room),
        "breeders": _breeders(room),
        "broods": _broods(room),
        "batches": _batches(room),
        "changes": _changes(room, names),
        "measurements": _measurements(room),
        "reservations": _reservations(room, names),
        "water_tests": _water_tests(room),
        "water_changes": _water_changes(room),
        "feedings": _feedings(room),
        "notes": _notes(room, texts),
    }
    return {f"{name}.csv": csv_text(*table) for name, table in made.items()}


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """One table as CSV text."""
    out = StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(header)
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return out.getvalue()


def safe(cell: object) -> object:
    """The cell, so that no spreadsheet takes words for a formula."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float | Decimal):
        return cell
    if isinstance(cell, time):
        return f"{cell:%H:%M}"
    return no_formula(str(cell))


def no_formula(text: str) -> str:
    """The words with an apostrophe before them where a spreadsheet would reckon with them."""
    text = text.replace("\x00", "")
    return f"'{text}" if text.lstrip(" \u00a0\ufeff").startswith(FORMULA_SIGNS) else text


def _places(room: Fishroom) -> Table:
    header = ("place", "type", "litres", "usual_temp_c", "hangs_in", "hard_to_catch", "retired")
    return header, ((p.name, p.type, p.litres, p.temp_c, p.hangs_in, p.hard_to_catch, p.retired) for p in room.places.values())


def _breeders(room: Fishroom) -> Table:
    header = ("sex", "label", "nickname", "strain", "place", "origin", "from_batch", "born", "joined", "gone", "gone_how")
    return header, (
        (f.sex, f.label, f.nickname, f.strain, f.place, f.origin, f.from_batch, f.born, f.joined, f.gone, f.gone_how)
        for f in room.fish.values()
    )


def _broods(room: Fishroom) -> Table:
    header = ("brood", "female", "male", "strain", "spawned", "first_seen", "ended", "outcome", "fry", "eggs", "dead", "batch")
    return header, (
        (b.id, b.female, b.male, b.strain, b.spawned, b.first_seen, b.ended, b.outcome, b.count, b.eggs, b.dead, b.batch)
        for b in room.broods.values()
    )


def _batches(room: Fishroom) -> Table:
    header = ("batch", "strain", "began", "spawned", "brood", "origin", "males", "females", "unsexed", "held_back", "places",
              "hybrid_of", "merged_into", "price_each")  # fmt: skip
    return header, (
        (b.id, b.strain, b.began, b.spawned, b.brood, b.origin, b.count_of("male"), b.count_of("female"), b.count_of("unsexed"),
         b.held_back_count, "; ".join(b.places), "; ".join(b.hybrid), b.merged_into, b.offer.price if b.offer else None)
        for b in room.batches.values()
    )  # fmt: skip


def _changes(room: Fishroom, names: Mapping[str, str]) -> Table:
    header = ("batch", "on", "kind", "count", "sex", "approximate", "to", "price_of_lot", "reservation")
    return header, (
        (b.id, c.on, c.kind, c.count, c.sex, c.approx, names.get(c.to or "", c.to), c.price, c.reservation)
        for b in room.batches.values()
        for c in b.changes
    )


def _measurements(room: Fishroom) -> Table:
    header = ("batch", "on", "lengths_mm", "mean_mm", "fish")
    return header, (
        (b.id, m.on, " ".join(f"{mm:g}" for mm in m.lengths), m.mean_mm, len(m.lengths) or m.n)
        for b in room.batches.values()
        for m in b.measurements
    )


def _reservations(room: Fishroom, names: Mapping[str, str]) -> Table:
    header = ("reservation", "member", "batch", "count", "sex", "males", "females", "from_mm", "status", "made_utc", "pickup", "at",
              "collected", "deposit")  # fmt: skip
    return header, (
        (r.number, names.get(r.member, r.member), r.batch, r.count, r.sex, r.males, r.females, r.min_mm, r.status,
         f"{r.made:%Y-%m-%d %H:%M}", r.pickup, r.at, r.collected, r.deposit)
        for r in room.reservations.values()
    )  # fmt: skip


def _water_tests(room: Fishroom) -> Table:
    header = ("place", "on", "at", "ph", "tan_mg_l", "kit_unit", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")
    return header, (
        (place, t.on, t.at, t.ph, t.tan_mg_l, t.kit_unit, t.nitrite_mg_l, t.nitrate_mg_l, t.temp_c, t.kh_dkh, t.gh_dgh)
        for place, tests in room.water_tests.items()
        for t in tests
    )


def _water_changes(room: Fishroom) -> Table:
    changes = ((place, c.on, c.percent, c.litres) for place, found in room.water_changes.items() for c in found)
    return ("place", "on", "percent", "litres"), changes


def _feedings(room: Fishroom) -> Table:
    return ("on", "at", "place", "batch", "grams"), ((f.on, f.at, f.place, f.batch, f.grams) for f in room.feedings)


def _notes(room: Fishroom, texts: Mapping[str, str]) -> Table:
    header = ("on", "about", "text", "photo")
    return header, ((n.on, n.fish or n.batch or n.place, texts.get(n.text or ""), n.photo) for n in room.notes)
