"""What a study hands in: lines for the page, and numbers for the last line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from statistics import median
from time import perf_counter
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Line:
    """One figure, with what it was held against in the same run."""

    what: str
    value: str
    beside: str = ""
    bound: str = ""
    """What bounds it."""


@dataclass(slots=True)
class Study:
    """The outcome of one study."""

    lines: list[Line] = field(default_factory=list)
    numbers: dict[str, float | int | None] = field(default_factory=dict)


def timed(deed: Callable[[], T]) -> tuple[float, T]:
    """Seconds that the deed took, and what it gave."""
    began = perf_counter()
    done = deed()
    return perf_counter() - began, done


def typical(deeds: Iterable[Callable[[], object]]) -> float:
    """The median of their seconds."""
    return median(timed(deed)[0] for deed in deeds)


def worst(seconds: Sequence[float], share: float = 0.99) -> float:
    """The time that all but the slowest (1 - share) stayed under."""
    return sorted(seconds)[min(len(seconds) - 1, int(share * len(seconds)))]


def page(lines: Iterable[Line]) -> str:
    """The page: what, how much, held against what, bounded by what."""
    found = list(lines)
    widths = [max((len(getattr(line, name)) for line in found), default=0) for name in ("what", "value", "beside")]
    rows = [
        f"{line.what:<{widths[0]}}  {line.value:>{widths[1]}}  {line.beside:<{widths[2]}}  {line.bound}".rstrip() for line in found
    ]
    return "\n".join(rows)
