"""What can go wrong with the machine under the store, each with the sentence that people read.

Trouble that a member can cause is never one of these: it comes back as a value.
"""

from __future__ import annotations

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError, IntegrityError


class StoreTrouble(Exception):  # noqa: N818 - a kind of trouble, named as people say it
    """The database could not do what was asked of it."""

    def __init__(self, detail: str = "") -> None:
        self.detail = detail
        super().__init__(f"{self.sentence} ({detail})" if detail else self.sentence)

    @property
    def sentence(self) -> str:
        """What people read."""
        return " ".join((type(self).__doc__ or "").split())


class DiskFull(StoreTrouble):
    """The disk is full, so nothing more can be recorded. Make room; what was recorded before is safe."""


class ReadOnly(StoreTrouble):
    """The database cannot be written to. Check who owns the file and its folder, and whether the disk is mounted read-only."""


class Busy(StoreTrouble):
    """The database was busy with something else for too long, and nothing was recorded. Try again in a moment."""


class Damaged(StoreTrouble):
    """The database is damaged or not one of Frywire's. Put it aside and restore the last backup; do not write to it again."""


class Unreadable(StoreTrouble):
    """The book of this fishroom or club holds an entry that cannot be read. Install the version that wrote it, or restore a backup."""


class DiskFailed(StoreTrouble):
    """The disk under the database reports errors, or has no room left. Look at the disk, and keep the last backup safe."""


class Unreachable(StoreTrouble):
    """The database could not be opened or reached. Check its address, that it is running, and that the folder exists."""


class NewerSchema(StoreTrouble):
    """The database was last used by a newer version of Frywire. Install that version or a later one; nothing was changed."""


class UnusableAddress(StoreTrouble):
    """The database address is not one Frywire knows. Use sqlite:///PATH or postgresql://USER@HOST/DATABASE."""


class UnsuitableArchive(StoreTrouble):
    """The archive cannot be restored: it is incomplete, was changed, or is not one of Frywire's. Nothing was written."""


class NotEmpty(StoreTrouble):
    """A backup is restored only into an empty database, and this one already holds a club. Nothing was written."""


class AlreadyTold(StoreTrouble):
    """This message was already recorded, perhaps a moment ago by another worker. Nothing was recorded twice."""


_SQLITE: dict[int, type[StoreTrouble]] = {
    sqlite3.SQLITE_FULL: DiskFull,
    sqlite3.SQLITE_READONLY: ReadOnly,
    sqlite3.SQLITE_PERM: ReadOnly,
    sqlite3.SQLITE_BUSY: Busy,
    sqlite3.SQLITE_LOCKED: Busy,
    sqlite3.SQLITE_IOERR: DiskFailed,
    sqlite3.SQLITE_CORRUPT: Damaged,
    sqlite3.SQLITE_NOTADB: Damaged,
    sqlite3.SQLITE_CANTOPEN: Unreachable,
}
"""By SQLite's primary result code."""
_POSTGRESQL: dict[str, type[StoreTrouble]] = {
    "53100": DiskFull,
    "58030": DiskFailed,
    "25006": ReadOnly,
    "42501": ReadOnly,
    "40001": Busy,
    "40P01": Busy,
    "55P03": Busy,
    "57014": Busy,
    "53300": Busy,
    "XX001": Damaged,
    "XX002": Damaged,
    "57P01": Unreachable,
    "57P02": Unreachable,
    "57P03": Unreachable,
    "3D000": Unreachable,
    "28P01": Unreachable,
    "28000": Unreachable,
}
"""By SQLSTATE (PostgreSQL documentation, appendix A, "PostgreSQL Error Codes")."""


def trouble_of(error: DBAPIError) -> StoreTrouble:
    """The trouble that a database error stands for. Its detail is the code only: the text may quote what members wrote."""
    cause = error.orig
    if isinstance(error, IntegrityError) and _about_source(str(cause)):
        return AlreadyTold()
    if isinstance(cause, sqlite3.Error):
        return trouble_of_sqlite(cause)
    state = getattr(cause, "sqlstate", None)
    if isinstance(state, str):
        kind = _POSTGRESQL.get(state) or (Unreachable if state.startswith("08") else StoreTrouble)
        return kind(f"SQLSTATE {state}")
    return Unreachable() if error.connection_invalidated or type(cause).__name__ == "OperationalError" else StoreTrouble()


def trouble_of_sqlite(error: sqlite3.Error) -> StoreTrouble:
    """The trouble that SQLite's own error stands for."""
    code = getattr(error, "sqlite_errorcode", None)
    if not isinstance(code, int):
        return StoreTrouble(type(error).__name__)
    return _SQLITE.get(code & 0xFF, StoreTrouble)(getattr(error, "sqlite_errorname", str(code)))


_ERRNO: dict[int, type[StoreTrouble]] = {
    errno.ENOSPC: DiskFull,
    errno.EDQUOT: DiskFull,
    errno.EFBIG: DiskFull,
    errno.EACCES: ReadOnly,
    errno.EPERM: ReadOnly,
    errno.EROFS: ReadOnly,
    errno.EIO: DiskFailed,
}


def trouble_of_file(error: OSError) -> StoreTrouble:
    """The trouble that a failure to open or write a file stands for."""
    return _ERRNO.get(error.errno or 0, Unreachable)(f"{error.filename or ''} {error.strerror or ''}".strip())


def _about_source(text: str) -> bool:
    """Whether the rule that was broken is "a message is recorded once"."""
    return "journal_source" in text or "journal.door, journal.message, journal.revision, journal.part" in text
