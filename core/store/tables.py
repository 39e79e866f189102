"""The tables: what lasts (journal, people, clubs, photos, messages in and out) and what is only a cache (the snapshots).

A change of a lasting table needs a migration in `migrations/versions` and the new number in `HEAD`; a change of the cache's table
needs only a new `CACHE_NUMBER`, upon which it is dropped and filled again from the journal.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    DateTime,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Time,
    UniqueConstraint,
)

from core.store.columns import ID, LONG, PLAIN, Day, Moment, Words, Zone

HEAD = "0002"
"""The newest migration of the lasting tables."""
CACHE_NUMBER = 2
"""The number of the cache's shape; 1 was tables of shelf, tasks and pedigree."""

_NAMES = {
    "pk": "%(table_name)s_pk",
    "fk": "%(table_name)s_%(column_0_N_name)s_fk",
    "uq": "%(table_name)s_%(column_0_N_name)s_uq",
    "ix": "%(table_name)s_%(column_0_N_name)s_ix",
}
LASTING = MetaData(naming_convention=_NAMES)
CACHE = MetaData(naming_convention=_NAMES)

# --- the journal -----------------------------------------------------------------------------------------------------

streams = Table("streams", LASTING, Column("stream", ID, primary_key=True), Column("head", Integer, nullable=False))

journal = Table(
    "journal",
    LASTING,
    Column("stream", ID, nullable=False),
    Column("number", Integer, nullable=False),
    Column("kind", String, nullable=False),
    Column("event", PLAIN, nullable=False),
    Column("target", Integer),
    Column("on_day", Day, nullable=False),
    Column("at_time", Time),
    Column("told", Moment, nullable=False),
    Column("by_person", ID, nullable=False),
    Column("door", ID),
    Column("message", ID),
    Column("revision", Integer),
    Column("part", Integer),
    Column("day_order", Integer, nullable=False),
    PrimaryKeyConstraint("stream", "number"),
    UniqueConstraint("door", "message", "revision", "part", name="journal_source"),
    Index("journal_teller", "by_person", "told"),
    Index("journal_target", "stream", "target"),
)

counters = Table(
    "counters",
    LASTING,
    Column("club", ID, primary_key=True),
    Column("name", String, primary_key=True),
    Column("value", LONG, nullable=False),
)

texts = Table(
    "texts",
    LASTING,
    Column("key", ID, primary_key=True),
    Column("person", ID, nullable=False, index=True),
    Column("words", Words),
)

# --- people ----------------------------------------------------------------------------------------------------------

persons = Table(
    "persons",
    LASTING,
    Column("id", ID, primary_key=True),
    Column("name", Words, nullable=False),
    Column("contact", Words),
    Column("zone", Zone(None)),
    Column("units", String),
    Column("date_order", String),
    Column("digest_time", Time),
    Column("quiet_from", Time),
    Column("quiet_to", Time),
    Column("prefs", PLAIN, nullable=False),
    Column("joined", Moment, nullable=False),
    Column("forgotten", Moment),
)

identities = Table(
    "identities",
    LASTING,
    Column("door", ID, primary_key=True),
    Column("external", ID, primary_key=True),
    Column("person", ID, ForeignKey("persons.id"), nullable=False, index=True),
    Column("chat", ID, nullable=False),
    Column("blocked", Moment),
)

clubs = Table(
    "clubs",
    LASTING,
    Column("id", ID, primary_key=True),
    Column("name", Words, nullable=False),
    Column("zone", Zone("UTC"), nullable=False),
    Column("units", String, nullable=False),
    Column("date_order", String, nullable=False),
    Column("prefs", PLAIN, nullable=False),
)

memberships = Table(
    "memberships",
    LASTING,
    Column("club", ID, ForeignKey("clubs.id"), primary_key=True),
    Column("person", ID, ForeignKey("persons.id"), primary_key=True, index=True),
    Column("roles", PLAIN, nullable=False),
    Column("joined", Moment, nullable=False),
)

groups = Table(
    "groups",
    LASTING,
    Column("door", ID, primary_key=True),
    Column("chat", ID, primary_key=True),
    Column("club", ID, ForeignKey("clubs.id"), nullable=False, index=True),
)

rooms = Table(
    "rooms",
    LASTING,
    Column("id", ID, primary_key=True),
    Column("name", Words, nullable=False),
    Column("prefs", PLAIN, nullable=False),
)

club_rooms = Table(
    "club_rooms",
    LASTING,
    Column("club", ID, ForeignKey("clubs.id"), primary_key=True),
    Column("room", ID, ForeignKey("rooms.id"), primary_key=True, index=True),
)

keepers = Table(
    "keepers",
    LASTING,
    Column("room", ID, ForeignKey("rooms.id"), primary_key=True),
    Column("person", ID, ForeignKey("persons.id"), primary_key=True, index=True),
)

addressed = Table(
    "addressed",
    LASTING,
    Column("person", ID, ForeignKey("persons.id"), primary_key=True),
    Column("club", ID),
    Column("room", ID),
)

invitations = Table(
    "invitations",
    LASTING,
    Column("hash", ID, primary_key=True),
    Column("club", ID, ForeignKey("clubs.id"), nullable=False, index=True),
    Column("roles", PLAIN, nullable=False),
    Column("room", ID),
    Column("name", Words),
    Column("by_person", ID, nullable=False),
    Column("made", Moment, nullable=False),
    Column("expires", Moment, nullable=False),
    Column("used_by", ID),
    Column("used_at", Moment),
)

guesses = Table(
    "guesses",
    LASTING,
    Column("who", ID, primary_key=True),
    Column("since", Moment, nullable=False),
    Column("wrong", Integer, nullable=False),
)

sessions = Table(
    "sessions",
    LASTING,
    Column("hash", ID, primary_key=True),
    Column("kind", String, nullable=False),
    Column("person", ID, ForeignKey("persons.id"), nullable=False, index=True),
    Column("expires", Moment, nullable=False),
    Column("used_at", Moment),
)

# --- messages in and out ---------------------------------------------------------------------------------------------

inbox = Table(
    "inbox",
    LASTING,
    Column("id", LONG, primary_key=True, autoincrement=True),
    Column("door", ID, nullable=False),
    Column("external", ID, nullable=False),
    Column("chat", ID, nullable=False),
    Column("payload", PLAIN),
    Column("received", Moment, nullable=False),
    Column("state", String, nullable=False),
    Column("tries", Integer, nullable=False),
    Column("error", Words),
    UniqueConstraint("door", "external"),
    Index("inbox_waiting", "door", "state", "chat", "id"),
)

chat_holds = Table(
    "chat_holds",
    LASTING,
    Column("door", ID, primary_key=True),
    Column("chat", ID, primary_key=True),
    Column("worker", ID, nullable=False),
    Column("lease_until", Moment, nullable=False),
)

deliveries = Table(
    "deliveries",
    LASTING,
    Column("id", LONG, primary_key=True, autoincrement=True),
    Column("key", ID, nullable=False, unique=True),
    Column("person", ID, index=True),
    Column("door", ID, nullable=False),
    Column("chat", ID, nullable=False),
    Column("kind", String, nullable=False),
    Column("precedence", Integer, nullable=False),
    Column("payload", PLAIN),
    Column("due_at", Moment, nullable=False),
    Column("hold_until", Moment),
    Column("state", String, nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("may_repeat", Boolean, nullable=False),
    Column("worker", ID),
    Column("lease_until", Moment),
    Column("message", ID),
    Column("error", Words),
    Column("changed", Moment, nullable=False),
    Index("deliveries_waiting", "state", "precedence", "due_at", "id"),
    Index("deliveries_chat", "door", "chat"),
)

buttons = Table(
    "buttons",
    LASTING,
    Column("token", ID, primary_key=True),
    Column("person", ID, index=True),
    Column("club", ID),
    Column("action", PLAIN, nullable=False),
    Column("expires", Moment, nullable=False, index=True),
    Column("repeatable", Boolean, nullable=False),
    Column("used_door", ID),
    Column("used_message", ID),
    Column("used_by", ID),
)

drafts = Table(
    "drafts",
    LASTING,
    Column("id", LONG, primary_key=True, autoincrement=True),
    Column("person", ID, nullable=False),
    Column("door", ID, nullable=False),
    Column("chat", ID, nullable=False),
    Column("room", ID),
    Column("about", String, nullable=False),
    Column("draft", PLAIN, nullable=False),
    Column("words", Words),
    Column("written", DateTime, nullable=False),
    Column("expires", Moment, nullable=False),
    Column("state", String, nullable=False),
    Index("drafts_open", "person", "state"),
)

memory = Table(
    "memory",
    LASTING,
    Column("person", ID, primary_key=True),
    Column("door", ID, primary_key=True),
    Column("chat", ID, primary_key=True),
    Column("value", PLAIN, nullable=False),
)

kept = Table("kept", LASTING, Column("key", ID, primary_key=True), Column("value", PLAIN))

mornings = Table(
    "mornings",
    LASTING,
    Column("person", ID, ForeignKey("persons.id"), primary_key=True),
    Column("next_at", Moment, nullable=False, index=True),
)

photos = Table(
    "photos",
    LASTING,
    Column("id", ID, primary_key=True),
    Column("media_type", String, nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("sha256", String, nullable=False, index=True),
    Column("by_person", ID, nullable=False, index=True),
    Column("content", LargeBinary, nullable=False),
)

photo_files = Table(
    "photo_files",
    LASTING,
    Column("photo", ID, ForeignKey("photos.id"), primary_key=True),
    Column("door", ID, primary_key=True),
    Column("file", ID, nullable=False),
)

# --- a cache -------------------------------------------------------------------------------------------

read_schema = Table("read_schema", LASTING, Column("number", Integer, primary_key=True, autoincrement=False))

snapshots = Table(
    "snapshots",
    CACHE,
    Column("room", ID, primary_key=True),
    Column("upto", Integer, nullable=False),
    Column("mark", String, nullable=False),
    Column("entry", String, nullable=False),
    Column("sum", String, nullable=False),
    Column("state", LargeBinary, nullable=False),
)
