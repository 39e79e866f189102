"""The journal: numbered entries per stream, appended under the stream's lock and never changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, bindparam, select, update

from core.codec import UnreadableEventError, decode, encode, kind_of
from core.events import Entry, Event, PersonId, Source, StreamId, Voided
from core.store.subject import Subject
from core.store.tables import counters, journal, streams
from core.store.texts import Texts
from core.store.trouble import Unreadable

_PAGE = 50
_AT_ONCE = 1_000
_VOIDED = kind_of(Voided(target=0))


@dataclass(frozen=True, slots=True)
class NewEntry:
    """An entry before it has its number. `order` places it among entries of its day; None: by its own number."""

    event: Event
    on: date
    told: datetime
    by: PersonId
    at: time | None = None
    source: Source | None = None
    order: int | None = None


@dataclass(frozen=True, slots=True)
class ToldMessage:
    """What is left standing of one message: its live entries (of all its revisions), without those that only take back."""

    door: str
    message: str
    entries: tuple[Entry, ...]


class Journal(Subject):
    """The journal within a transaction."""

    def __init__(self, connection: Connection, texts: Texts) -> None:
        super().__init__(connection)
        self._texts = texts
        self._locked: set[StreamId] = set()
        self._parts: dict[Source, int] = {}

    def lock(self, names: Iterable[StreamId]) -> dict[StreamId, int]:
        """Locks the heads of the streams until the transaction ends, in id order, and gives each its last number (0: empty).

        Streams that do not exist yet begin here. A stream that is asked for out of order, after one that sorts behind it, is not
        waited for (two transactions could wait for each other): where another holds it, `Busy` is raised at once.
        """
        heads: dict[StreamId, int] = {}
        for name in sorted(set(names)):
            behind = any(held > name for held in self._locked)
            heads[name] = self._lock(name, nowait=behind and name not in self._locked)
            self._locked.add(name)
        return heads

    def _lock(self, name: StreamId, *, nowait: bool) -> int:
        query, named = _LOCKING[nowait], {"stream": name}
        head = self.connection.execute(query, named).scalar_one_or_none()
        if head is None:
            self._add_new(streams, {"stream": name, "head": 0})
            head = self.connection.execute(query, named).scalar_one()
        return int(head)

    def append(
        self, stream: StreamId, drafts: Sequence[NewEntry], texts: Mapping[str, str] | None = None
    ) -> list[Entry]:
        """Numbers the entries, writes them after the stream's last, and keeps the free texts they name under their keys.

        The stream has to be locked (`RuntimeError`). Entries of one source are its parts 0, 1, 2 … over all streams of this
        transaction: a message that was already recorded raises `AlreadyTold`.
        """
        if stream not in self._locked:
            raise RuntimeError(f"{stream} is appended to without being locked")
        if not drafts:
            return []
        last = int(self.connection.execute(_GROWING, {"name": stream, "by": len(drafts)}).scalar_one())
        numbered = [
            _numbered(stream, last - len(drafts) + place, draft) for place, draft in enumerate(drafts, start=1)
        ]
        self._add_all(journal, [self._row(entry) for entry in numbered])
        for key, words in (texts or {}).items():
            self._texts.put(key, drafts[0].by, words)
        return numbered

    def _row(self, entry: Entry) -> dict[str, Any]:
        source = entry.source
        return {
            "stream": entry.stream,
            "number": entry.number,
            "kind": kind_of(entry.event),
            "event": encode(entry.event),
            "target": entry.event.target if isinstance(entry.event, Voided) else None,
            "on_day": entry.on,
            "at_time": entry.at,
            "told": entry.told,
            "by_person": entry.by,
            "door": source.door if source else None,
            "message": source.message if source else None,
            "revision": source.revision if source else None,
            "part": self._next_part(source) if source else None,
            "day_order": entry.order,
        }

    def _next_part(self, source: Source) -> int:
        part = self._parts.get(source, 0)
        self._parts[source] = part + 1
        return part

    def entries(self, stream: StreamId, after: int = 0) -> list[Entry]:
        """The stream's entries with a number above `after`, in order."""
        return self._entries(_AFTER, stream=stream, after=after)

    def each(self, stream: StreamId) -> Iterator[Entry]:
        """The stream's entries in order, read some at a time: for a look through a journal of any length."""
        rows = self.connection.execute(_AFTER.execution_options(yield_per=_AT_ONCE), {"stream": stream, "after": 0})
        return map(_entry, rows)

    def entry(self, stream: StreamId, number: int) -> Entry:
        """One entry of the stream; a KeyError where there is none of that number."""
        found = self._entries(_ONE, stream=stream, number=number)
        if not found:
            raise KeyError((stream, number))
        return found[0]

    def told_since(self, stream: StreamId, moment: datetime, after: int = 0) -> list[Entry]:
        """The stream's entries with a number above `after` that were told at the moment or later, in order."""
        return self._entries(_TOLD_SINCE, stream=stream, after=after, moment=moment)

    def of_message(self, door: str, message: str, revision: int | None = None) -> list[Entry]:
        """What a message (one revision of it, or all) put into any stream, by stream and number."""
        found = self._entries(_OF_MESSAGE, door=door, message=message)
        return [entry for entry in found if revision is None or (entry.source and entry.source.revision == revision)]

    def live_of_message(self, door: str, message: str) -> list[Entry]:
        """What still stands of a message: its entries that are not voided and do not only take back."""
        return [entry for entry in self.of_message(door, message) if not _takes_back(entry) and self.is_live(entry)]

    def last_of(self, person: PersonId, of_streams: Iterable[StreamId] | None = None) -> ToldMessage | None:
        """The newest message of the person of which something still stands, in any stream or those given."""
        condition: list[ColumnElement[bool]] = [journal.c.by_person == person, journal.c.door.is_not(None)]
        condition.append(journal.c.kind != _VOIDED)
        if of_streams is not None:
            condition.append(journal.c.stream.in_(sorted(of_streams)))
        newest = (journal.c.told.desc(), journal.c.stream.desc(), journal.c.number.desc())
        seen: set[tuple[str, str]] = set()
        for page in range(0, 100 * _PAGE, _PAGE):
            found = self._entries(_rows().where(*condition).order_by(*newest).limit(_PAGE).offset(page))
            for entry in found:
                assert entry.source is not None  # noqa: S101 - the query asked for entries with a source
                told = (entry.source.door, entry.source.message)
                if told not in seen and (live := self.live_of_message(*told)):
                    return ToldMessage(*told, tuple(live))
                seen.add(told)
            if len(found) < _PAGE:
                break
        return None

    def is_live(self, entry: Entry) -> bool:
        """Whether no live `Voided` aims at the entry."""
        return self._stands(entry.stream, entry.number)

    def _stands(self, stream: StreamId, number: int) -> bool:
        aimed = select(journal.c.number).where(journal.c.stream == stream, journal.c.target == number)
        return not any(self._stands(stream, voiding) for voiding in self.connection.execute(aimed).scalars())

    def streams(self) -> dict[StreamId, int]:
        """Every stream with the number of its last entry."""
        rows = self.connection.execute(select(streams.c.stream, streams.c.head).order_by(streams.c.stream))
        return {row.stream: row.head for row in rows}

    def head(self, stream: StreamId) -> int:
        """The number of the stream's last entry, without locking; 0 for an empty or unknown one."""
        return self.connection.execute(select(streams.c.head).where(streams.c.stream == stream)).scalar_one_or_none() or 0

    def counter(self, club: str, name: str) -> int:
        """The next number (1, 2, 3 …) of the club's counter; taken back with the transaction, so none is left out."""
        return self._count(club, name)

    def give_back(self, club: str, name: str, number: int) -> None:
        """`number` and those after it were taken from the club's counter in this transaction, and came to nothing: they are next again."""
        here = (counters.c.club == club) & (counters.c.name == name)
        self.connection.execute(update(counters).where(here).values(value=number - 1))

    def _entries(self, query: Select[Any], **values: object) -> list[Entry]:
        return [_entry(row) for row in self.connection.execute(query, values)]


_LOCKING = {
    nowait: select(streams.c.head).where(streams.c.stream == bindparam("stream")).with_for_update(nowait=nowait)
    for nowait in (False, True)
}
_GROWING = (
    update(streams)
    .where(streams.c.stream == bindparam("name"))
    .values(head=streams.c.head + bindparam("by"))
    .returning(streams.c.head)
)
_COLUMNS = (
    journal.c.stream,
    journal.c.number,
    journal.c.event,
    journal.c.on_day,
    journal.c.told,
    journal.c.by_person,
    journal.c.at_time,
    journal.c.door,
    journal.c.message,
    journal.c.revision,
    journal.c.day_order,
)


def _rows() -> Select[Any]:
    return select(*_COLUMNS)


_AFTER = (
    _rows().where(journal.c.stream == bindparam("stream"), journal.c.number > bindparam("after")).order_by(journal.c.number)
)
_ONE = _rows().where(journal.c.stream == bindparam("stream"), journal.c.number == bindparam("number"))
_TOLD_SINCE = _AFTER.where(journal.c.told >= bindparam("moment"))
_OF_MESSAGE = (
    _rows()
    .where(journal.c.door == bindparam("door"), journal.c.message == bindparam("message"))
    .order_by(journal.c.stream, journal.c.number)
)


def _numbered(stream: StreamId, number: int, draft: NewEntry) -> Entry:
    return Entry(
        stream=stream,
        number=number,
        event=draft.event,
        on=draft.on,
        told=draft.told,
        by=draft.by,
        at=draft.at,
        source=draft.source,
        order=number if draft.order is None else draft.order,
    )


def _entry(row: Sequence[Any]) -> Entry:
    # Taken apart by position: a hundred thousand of these are read at a start.
    stream, number, event, on, told, by, at, door, message, revision, order = row
    source = None if door is None else Source(door, message, revision)
    try:
        happened = decode(event)
    except UnreadableEventError as trouble:
        raise Unreadable(f"{stream}, entry {number}") from trouble
    return Entry(stream, number, happened, on, told, by, at, source, order)


def _takes_back(entry: Entry) -> bool:
    return isinstance(entry.event, Voided)
