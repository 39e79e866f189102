"""How a fishroom's state is written into a snapshot and read back: typed, so that what is read can only be what a state consists of.

Reading runs no code that stands in what is read, whoever wrote it. A history's pages are made out when somebody first looks into
them: of ten years of feedings, an answer needs the last few.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeVar, get_args

import msgspec

from core.fishroom.history import PAGE, History
from core.fishroom.state import Fishroom

T = TypeVar("T")
LARGEST = 100_000_000
LARGEST_PAGE = 1_000_000
"""Bytes of a state, and of a page: no real one comes near it, and nothing small can ask for a room full of memory."""
UNFIT = (msgspec.MsgspecError, zlib.error, ValueError, TypeError, OverflowError)
"""What is raised over bytes that are no state, and over a state that cannot be written (a number of more than 64 bits)."""
MEANING = ("core.codec", "core.events", "core.fishroom", "core.species", "core.store.snapshot_form")
"""The packages and modules that settle what a state is and what it means."""


def write(room: Fishroom) -> bytes:
    """The state as bytes."""
    return zlib.compress(msgspec.msgpack.encode(room, enc_hook=_plain), 1)


def read(written: bytes) -> Fishroom:
    """The state that was written; raises one of `UNFIT` for bytes that are none."""
    return _decoder().decode(_unzipped(written, LARGEST))


@cache
def mark() -> str:
    """A print of the code that makes states: a state that bears another one may mean something else today."""
    digest = sha256()
    for name, content in sorted(_sources()):
        digest.update(name.encode() + b"\0" + content + b"\0")
    return digest.hexdigest()[:32]


def _sources() -> Iterator[tuple[str, bytes]]:
    for name in MEANING:
        parent, _, module = name.rpartition(".")
        folder = files(parent) / module
        inside = _within(folder) if folder.is_dir() else [files(parent) / f"{module}.py"]
        yield from ((f"{name}/{file.name}", file.read_bytes()) for file in inside)


def _within(folder: Traversable) -> list[Traversable]:
    return [file for file in folder.iterdir() if file.is_file() and file.name.endswith((".py", ".yaml"))]


@cache
def _decoder() -> msgspec.msgpack.Decoder[Fishroom]:
    return msgspec.msgpack.Decoder(Fishroom, dec_hook=_made)


def _plain(value: object) -> Any:
    if not isinstance(value, History):
        raise NotImplementedError(type(value).__name__)
    pages = [page.written if isinstance(page, WrittenPage) else _packed(page) for page in value.pages]
    return [*pages, _packed(value.last)]


def _made(kind: Any, plain: Any) -> Any:
    reader = _reader(*get_args(kind))
    *pages, last = plain
    return History(_unpacked(last, reader), [WrittenPage(page, reader) for page in pages])


def _packed(lines: Sequence[Any]) -> bytes:
    return zlib.compress(msgspec.msgpack.encode(lines), 1)


def _unpacked(written: bytes, reader: Callable[[bytes], list[T]]) -> list[T]:
    return reader(_unzipped(written, LARGEST_PAGE))


def _unzipped(written: bytes, most: int) -> bytes:
    return zlib.decompressobj().decompress(written, most)


@cache
def _reader(line: Any) -> Callable[[bytes], list[Any]]:
    decoder: msgspec.msgpack.Decoder[list[Any]] = msgspec.msgpack.Decoder(list[line])
    return decoder.decode


class WrittenPage(Sequence[T]):
    """A full page of a history that is made out when it is first looked into."""

    __slots__ = ("_lines", "_reader", "written")

    def __init__(self, written: bytes, reader: Callable[[bytes], list[T]]) -> None:
        self.written = written
        self._reader = reader
        self._lines: tuple[T, ...] | None = None

    def _made_out(self) -> tuple[T, ...]:
        if self._lines is None:
            self._lines = tuple(_unpacked(self.written, self._reader))
        return self._lines

    def __len__(self) -> int:
        return PAGE

    def __getitem__(self, place: Any) -> Any:
        return self._made_out()[place]

    def __iter__(self) -> Iterator[T]:
        return iter(self._made_out())

    def __reversed__(self) -> Iterator[T]:
        return reversed(self._made_out())
