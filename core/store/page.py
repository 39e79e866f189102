"""What stands in a member's log on the page: every line with its number, and the files that belong to it.

A line is written once and never changed; one that takes the place of another says so (`instead_of`). The browser's own id of a
message is kept with the line, so that a message sent twice is heard once: `(person, client, part)` is unique, part 0 being what
the member sent and 1, 2 … what came back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import (
    Column,
    Index,
    Integer,
    LargeBinary,
    PrimaryKeyConstraint,
    Row,
    String,
    Table,
    UniqueConstraint,
    delete,
    func,
    select,
)

from core.events import PersonId
from core.store.columns import ID, PLAIN, Moment, Words
from core.store.subject import Subject
from core.store.tables import LASTING

page_entries = Table(
    "page_entries",
    LASTING,
    Column("person", ID, nullable=False),
    Column("number", Integer, nullable=False),
    Column("side", String, nullable=False),
    Column("client", ID),
    Column("part", Integer, nullable=False),
    Column("at", Moment, nullable=False),
    Column("words", Words),
    Column("buttons", PLAIN, nullable=False),
    Column("files", PLAIN, nullable=False),
    Column("instead_of", Integer),
    Column("about", Integer),
    PrimaryKeyConstraint("person", "number"),
    UniqueConstraint("person", "client", "part"),
)

page_files = Table(
    "page_files",
    LASTING,
    Column("id", ID, primary_key=True),
    Column("person", ID, nullable=False),
    Column("name", Words, nullable=False),
    Column("media_type", String, nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("made", Moment, nullable=False),
    Index("page_files_age", "made"),
    Index("page_files_person", "person"),
)


@dataclass(frozen=True, slots=True)
class PageFile:
    """A picture or document of a line. `id` cannot be guessed."""

    id: str
    name: str
    media_type: str
    content: bytes


@dataclass(frozen=True, slots=True)
class PageEntry:
    """One line of a member's log. `number` counts from 1 for each member; 0 is one that is not yet written.

    `instead_of` is the line whose place it takes; `about` the line whose button was pressed. `files` are
    `(id, name, media type, size in bytes)`.
    """

    side: Literal["member", "bot"]
    at: datetime
    words: str = ""
    number: int = 0
    client: str | None = None
    part: int = 0
    buttons: tuple[tuple[tuple[str, str], ...], ...] = ()
    files: tuple[tuple[str, str, str, int], ...] = ()
    instead_of: int | None = None
    about: int | None = None


class Pages(Subject):
    """Logs of the page within a transaction."""

    def write(self, person: PersonId, lines: Sequence[PageEntry], files: Sequence[PageFile] = ()) -> int:
        """Adds the lines to the end of the member's log, with their files; the number of its last line then."""
        last = self.last(person)
        self._add_all(page_entries, [_row(person, number, line) for number, line in enumerate(lines, last + 1)])
        made = lines[0].at if lines else None
        self._add_all(page_files, [{"person": person, "made": made, **_file_row(file)} for file in files])
        return last + len(lines)

    def heard(self, person: PersonId, client: str) -> bool:
        """Whether the message with the browser's id stands in the log, with what was answered."""
        mine = (page_entries.c.person == person, page_entries.c.client == client)
        return self.connection.execute(select(page_entries.c.number).where(*mine).limit(1)).first() is not None

    def last(self, person: PersonId) -> int:
        """The number of the log's last line; 0 while it is empty."""
        found = select(func.max(page_entries.c.number)).where(page_entries.c.person == person)
        return int(self.connection.execute(found).scalar() or 0)

    def after(self, person: PersonId, number: int, most: int) -> list[PageEntry]:
        """At most `most` lines with a higher number, the earliest first."""
        chosen = select(page_entries).where(page_entries.c.person == person, page_entries.c.number > number)
        return [_entry(row) for row in self.connection.execute(chosen.order_by(page_entries.c.number).limit(most))]

    def before(self, person: PersonId, number: int, most: int) -> list[PageEntry]:
        """The `most` lines just before a number, the earliest first."""
        chosen = select(page_entries).where(page_entries.c.person == person, page_entries.c.number < number)
        rows = self.connection.execute(chosen.order_by(page_entries.c.number.desc()).limit(most)).all()
        return [_entry(row) for row in reversed(rows)]

    def file(self, person: PersonId, file: str) -> PageFile | None:
        """A file of this member's own log, while it is kept."""
        chosen = select(page_files).where(page_files.c.id == file, page_files.c.person == person)
        row = self.connection.execute(chosen).one_or_none()
        return PageFile(row.id, row.name, row.media_type, row.content) if row else None

    def drop_files(self, before: datetime) -> int:
        """Lets go of files made before a moment (they can be asked for again); how many."""
        return self.connection.execute(delete(page_files).where(page_files.c.made < before)).rowcount

    def forget(self, person: PersonId) -> None:
        """Drops the member's whole log with its files."""
        self.connection.execute(delete(page_files).where(page_files.c.person == person))
        self.connection.execute(delete(page_entries).where(page_entries.c.person == person))


def _file_row(file: PageFile) -> dict[str, Any]:
    return {"id": file.id, "name": file.name, "media_type": file.media_type, "content": file.content}


def _row(person: PersonId, number: int, line: PageEntry) -> dict[str, Any]:
    return {
        "person": person,
        "number": number,
        "side": line.side,
        "client": line.client,
        "part": line.part,
        "at": line.at,
        "words": line.words,
        "buttons": [[list(button) for button in row] for row in line.buttons],
        "files": [list(file) for file in line.files],
        "instead_of": line.instead_of,
        "about": line.about,
    }


def _entry(row: Row[Any]) -> PageEntry:
    return PageEntry(
        side=row.side,
        at=row.at,
        words=row.words or "",
        number=row.number,
        client=row.client,
        part=row.part,
        buttons=tuple(tuple((label, token) for label, token in buttons) for buttons in row.buttons),
        files=tuple((id_, name, kind, size) for id_, name, kind, size in row.files),
        instead_of=row.instead_of,
        about=row.about,
    )
