"""The shelf: what the club has and what is coming, as rows that a visitor can sift by strain and by day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """A batch on the shelf, worded: `facts` are (term, words); `say` is the message that reserves of it (or asks for some)."""

    key: str
    strain_key: str
    strain: str
    batch: str
    keeper: str
    facts: tuple[tuple[str, str], ...]
    say: str
    does: str = "Reserve"
    ready: date | None = None
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class Sieve:
    """What a visitor chose: a strain's key, a day."""

    strain: str = ""
    day: date | None = None


def sift(rows: Iterable[ShelfRow], sieve: Sieve) -> list[ShelfRow]:
    """The rows of the strain that are ready by the day; the soonest first, those without a day last."""
    kept = [row for row in rows if sieve.strain in ("", row.strain_key)]
    if sieve.day is not None:
        kept = [row for row in kept if row.ready is not None and row.ready <= sieve.day]
    return sorted(kept, key=lambda row: (row.ready is None, row.ready or date.max, row.strain, row.key))


def strains_of(rows: Sequence[ShelfRow]) -> list[tuple[str, str]]:
    """The strains on the shelf, by name."""
    return sorted({(row.strain_key, row.strain) for row in rows}, key=lambda each: each[1].lower())


def read_sieve(strain: str, day: str) -> tuple[Sieve, str]:
    """The sieve from a form, and a sentence where the day is none."""
    try:
        return Sieve(strain[:120], date.fromisoformat(day) if day else None), ""
    except ValueError:
        return Sieve(strain[:120]), f"“{day[:20]}” is not a day like 2026-04-18, so all days are shown."
