"""What was told over the years, in order: a list whose copies share all of it but the last few lines.

It grows at its end only. Full pages never change, so that a copy holds the same ones; a page may also be something that looks like
a tuple and is made out only when it is first looked into.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import chain, islice
from operator import attrgetter
from typing import Protocol, TypeVar, overload


class Dated(Protocol):
    """Whatever happened on a day."""

    @property
    def on(self) -> date:
        """The day."""


T = TypeVar("T")
D = TypeVar("D", bound=Dated)
PAGE = 256
"""Lines on a full page."""


class History(Sequence[T]):
    """Lines in the order in which they were added. Copying costs a thousandth of copying a list of as many lines."""

    __slots__ = ("_last", "_pages")

    def __init__(self, lines: Iterable[T] = (), pages: Iterable[Sequence[T]] = ()) -> None:
        """`pages` are full ones that come before the lines; `ValueError` for one that is not full."""
        self._pages: list[Sequence[T]] = list(pages)
        if any(len(page) != PAGE for page in self._pages):
            raise ValueError("a page that is not full")
        given = list(lines)
        full = len(given) - len(given) % PAGE
        self._pages += [tuple(given[first : first + PAGE]) for first in range(0, full, PAGE)]
        self._last: list[T] = given[full:]

    def append(self, line: T) -> None:
        """Adds a line at the end."""
        self._last.append(line)
        if len(self._last) == PAGE:
            self._pages.append(tuple(self._last))
            self._last = []

    def copy(self) -> History[T]:
        """An independent history of the same lines."""
        copy: History[T] = History.__new__(History)
        copy._pages = self._pages.copy()
        copy._last = self._last.copy()
        return copy

    @property
    def pages(self) -> Sequence[Sequence[T]]:
        """The full pages."""
        return self._pages

    @property
    def last(self) -> Sequence[T]:
        """The lines after the full pages."""
        return self._last

    def __len__(self) -> int:
        return PAGE * len(self._pages) + len(self._last)

    @overload
    def __getitem__(self, place: int) -> T: ...
    @overload
    def __getitem__(self, place: slice) -> list[T]: ...
    def __getitem__(self, place: int | slice) -> T | list[T]:
        if isinstance(place, slice):
            return self._cut(*place.indices(len(self)))
        page, line = divmod(range(len(self))[place], PAGE)
        return self._pages[page][line] if page < len(self._pages) else self._last[line]

    def _cut(self, first: int, end: int, step: int) -> list[T]:
        if step != 1:
            return [self[place] for place in range(first, end, step)]
        page = first // PAGE
        following = chain(chain.from_iterable(self._pages[page:]), self._last)
        return list(islice(following, first - PAGE * page, max(first, end) - PAGE * page))

    def __iter__(self) -> Iterator[T]:
        return chain(chain.from_iterable(self._pages), self._last)

    def __reversed__(self) -> Iterator[T]:
        pages = chain((self._last,), reversed(self._pages))
        return chain.from_iterable(reversed(page) for page in pages)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, History):
            return NotImplemented
        pages = zip(self._pages, other._pages, strict=False)
        same = len(self) == len(other) and self._last == other._last
        return same and all(mine is theirs or tuple(mine) == tuple(theirs) for mine, theirs in pages)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"History({list(self)!r})"


def since(lines: Sequence[D], day: date) -> Sequence[D]:
    """The lines of that day and later ones, of lines in the order of their days."""
    return lines[bisect_left(lines, day, key=_ON) :]


def newest_first(lines: Sequence[D], day: date) -> Iterator[D]:
    """The lines of that day and earlier ones, from the last back, of lines in the order of their days."""
    return (lines[place] for place in range(bisect_right(lines, day, key=_ON) - 1, -1, -1))


_ON = attrgetter("on")
