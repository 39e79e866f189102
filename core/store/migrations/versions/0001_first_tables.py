"""The first tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

LONG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
MOMENT = sa.DateTime(timezone=True).with_variant(sa.String(), "sqlite")
DAY = sa.Date().with_variant(sa.String(), "sqlite")
ID = sa.String(collation="C").with_variant(sa.String(), "sqlite")


def upgrade() -> None:
    """Makes every lasting table."""
    op.create_table(
        "buttons",
        sa.Column("token", ID, nullable=False),
        sa.Column("person", ID, nullable=True),
        sa.Column("club", ID, nullable=True),
        sa.Column("action", sa.JSON(), nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("repeatable", sa.Boolean(), nullable=False),
        sa.Column("used_door", ID, nullable=True),
        sa.Column("used_message", ID, nullable=True),
        sa.Column("used_by", ID, nullable=True),
        sa.PrimaryKeyConstraint("token", name="buttons_pk"),
    )
    op.create_index("buttons_expires_ix", "buttons", ["expires"], unique=False)
    op.create_index("buttons_person_ix", "buttons", ["person"], unique=False)
    op.create_table(
        "clubs",
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("units", sa.String(), nullable=False),
        sa.Column("date_order", sa.String(), nullable=False),
        sa.Column("prefs", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="clubs_pk"),
    )
    op.create_table(
        "counters",
        sa.Column("club", ID, nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", LONG, nullable=False),
        sa.PrimaryKeyConstraint("club", "name", name="counters_pk"),
    )
    op.create_table(
        "deliveries",
        sa.Column("id", LONG, autoincrement=True, nullable=False),
        sa.Column("key", ID, nullable=False),
        sa.Column("person", ID, nullable=True),
        sa.Column("door", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("precedence", sa.Integer(), nullable=False),
        sa.Column("payload", sa.JSON(), nullable=True),
        sa.Column("due_at", MOMENT, nullable=False),
        sa.Column("hold_until", MOMENT, nullable=True),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("may_repeat", sa.Boolean(), nullable=False),
        sa.Column("worker", ID, nullable=True),
        sa.Column("lease_until", MOMENT, nullable=True),
        sa.Column("message", ID, nullable=True),
        sa.Column("error", sa.Text(), nullable=True),
        sa.Column("changed", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="deliveries_pk"),
        sa.UniqueConstraint("key", name="deliveries_key_uq"),
    )
    op.create_index("deliveries_chat", "deliveries", ["door", "chat"], unique=False)
    op.create_index("deliveries_person_ix", "deliveries", ["person"], unique=False)
    op.create_index("deliveries_waiting", "deliveries", ["state", "precedence", "due_at", "id"], unique=False)
    op.create_table(
        "drafts",
        sa.Column("id", LONG, autoincrement=True, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("door", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("room", ID, nullable=True),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("draft", sa.JSON(), nullable=False),
        sa.Column("words", sa.Text(), nullable=True),
        sa.Column("written", sa.DateTime(), nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="drafts_pk"),
    )
    op.create_index("drafts_open", "drafts", ["person", "state"], unique=False)
    op.create_table(
        "guesses",
        sa.Column("who", ID, nullable=False),
        sa.Column("since", MOMENT, nullable=False),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("who", name="guesses_pk"),
    )
    op.create_table(
        "inbox",
        sa.Column("id", LONG, autoincrement=True, nullable=False),
        sa.Column("door", ID, nullable=False),
        sa.Column("external", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("payload", sa.JSON(), nullable=True),
        sa.Column("received", MOMENT, nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("lease_until", MOMENT, nullable=True),
        sa.Column("error", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="inbox_pk"),
        sa.UniqueConstraint("door", "external", name="inbox_door_external_uq"),
    )
    op.create_index("inbox_waiting", "inbox", ["door", "state", "chat", "id"], unique=False)
    op.create_table(
        "journal",
        sa.Column("stream", ID, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("event", sa.JSON(), nullable=False),
        sa.Column("target", sa.Integer(), nullable=True),
        sa.Column("on_day", DAY, nullable=False),
        sa.Column("at_time", sa.Time(), nullable=True),
        sa.Column("told", MOMENT, nullable=False),
        sa.Column("by_person", ID, nullable=False),
        sa.Column("door", ID, nullable=True),
        sa.Column("message", ID, nullable=True),
        sa.Column("revision", sa.Integer(), nullable=True),
        sa.Column("part", sa.Integer(), nullable=True),
        sa.Column("day_order", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("stream", "number", name="journal_pk"),
        sa.UniqueConstraint("door", "message", "revision", "part", name="journal_source"),
    )
    op.create_index("journal_target", "journal", ["stream", "target"], unique=False)
    op.create_index("journal_teller", "journal", ["by_person", "told"], unique=False)
    op.create_table(
        "kept",
        sa.Column("key", ID, nullable=False),
        sa.Column("value", sa.JSON(), nullable=True),
        sa.PrimaryKeyConstraint("key", name="kept_pk"),
    )
    op.create_table(
        "memory",
        sa.Column("person", ID, nullable=False),
        sa.Column("door", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("person", "door", "chat", name="memory_pk"),
    )
    op.create_table(
        "page_entries",
        sa.Column("person", ID, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("side", sa.String(), nullable=False),
        sa.Column("client", ID, nullable=True),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("words", sa.Text(), nullable=True),
        sa.Column("buttons", sa.JSON(), nullable=False),
        sa.Column("files", sa.JSON(), nullable=False),
        sa.Column("instead_of", sa.Integer(), nullable=True),
        sa.Column("about", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("person", "number", name="page_entries_pk"),
        sa.UniqueConstraint("person", "client", "part", name="page_entries_person_client_part_uq"),
    )
    op.create_table(
        "page_files",
        sa.Column("id", ID, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("made", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="page_files_pk"),
    )
    op.create_index("page_files_age", "page_files", ["made"], unique=False)
    op.create_index("page_files_person", "page_files", ["person"], unique=False)
    op.create_table(
        "persons",
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=True),
        sa.Column("zone", sa.String(), nullable=True),
        sa.Column("units", sa.String(), nullable=True),
        sa.Column("date_order", sa.String(), nullable=True),
        sa.Column("digest_time", sa.Time(), nullable=True),
        sa.Column("quiet_from", sa.Time(), nullable=True),
        sa.Column("quiet_to", sa.Time(), nullable=True),
        sa.Column("prefs", sa.JSON(), nullable=False),
        sa.Column("joined", MOMENT, nullable=False),
        sa.Column("forgotten", MOMENT, nullable=True),
        sa.PrimaryKeyConstraint("id", name="persons_pk"),
    )
    op.create_table(
        "photos",
        sa.Column("id", ID, nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("by_person", ID, nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="photos_pk"),
    )
    op.create_index("photos_by_person_ix", "photos", ["by_person"], unique=False)
    op.create_index("photos_sha256_ix", "photos", ["sha256"], unique=False)
    op.create_table(
        "read_schema",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.PrimaryKeyConstraint("number", name="read_schema_pk"),
    )
    op.create_table(
        "rooms",
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("prefs", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="rooms_pk"),
    )
    op.create_table(
        "streams",
        sa.Column("stream", ID, nullable=False),
        sa.Column("head", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("stream", name="streams_pk"),
    )
    op.create_table(
        "texts",
        sa.Column("key", ID, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("words", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("key", name="texts_pk"),
    )
    op.create_index("texts_person_ix", "texts", ["person"], unique=False)
    op.create_table(
        "addressed",
        sa.Column("person", ID, nullable=False),
        sa.Column("club", ID, nullable=True),
        sa.Column("room", ID, nullable=True),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="addressed_person_fk"),
        sa.PrimaryKeyConstraint("person", name="addressed_pk"),
    )
    op.create_table(
        "club_rooms",
        sa.Column("club", ID, nullable=False),
        sa.Column("room", ID, nullable=False),
        sa.ForeignKeyConstraint(["club"], ["clubs.id"], name="club_rooms_club_fk"),
        sa.ForeignKeyConstraint(["room"], ["rooms.id"], name="club_rooms_room_fk"),
        sa.PrimaryKeyConstraint("club", "room", name="club_rooms_pk"),
    )
    op.create_index("club_rooms_room_ix", "club_rooms", ["room"], unique=False)
    op.create_table(
        "groups",
        sa.Column("door", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("club", ID, nullable=False),
        sa.ForeignKeyConstraint(["club"], ["clubs.id"], name="groups_club_fk"),
        sa.PrimaryKeyConstraint("door", "chat", name="groups_pk"),
    )
    op.create_index("groups_club_ix", "groups", ["club"], unique=False)
    op.create_table(
        "identities",
        sa.Column("door", ID, nullable=False),
        sa.Column("external", ID, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("blocked", MOMENT, nullable=True),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="identities_person_fk"),
        sa.PrimaryKeyConstraint("door", "external", name="identities_pk"),
    )
    op.create_index("identities_person_ix", "identities", ["person"], unique=False)
    op.create_table(
        "invitations",
        sa.Column("hash", ID, nullable=False),
        sa.Column("club", ID, nullable=False),
        sa.Column("roles", sa.JSON(), nullable=False),
        sa.Column("room", ID, nullable=True),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("by_person", ID, nullable=False),
        sa.Column("made", MOMENT, nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("used_by", ID, nullable=True),
        sa.Column("used_at", MOMENT, nullable=True),
        sa.ForeignKeyConstraint(["club"], ["clubs.id"], name="invitations_club_fk"),
        sa.PrimaryKeyConstraint("hash", name="invitations_pk"),
    )
    op.create_index("invitations_club_ix", "invitations", ["club"], unique=False)
    op.create_table(
        "keepers",
        sa.Column("room", ID, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="keepers_person_fk"),
        sa.ForeignKeyConstraint(["room"], ["rooms.id"], name="keepers_room_fk"),
        sa.PrimaryKeyConstraint("room", "person", name="keepers_pk"),
    )
    op.create_index("keepers_person_ix", "keepers", ["person"], unique=False)
    op.create_table(
        "memberships",
        sa.Column("club", ID, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("roles", sa.JSON(), nullable=False),
        sa.Column("joined", MOMENT, nullable=False),
        sa.ForeignKeyConstraint(["club"], ["clubs.id"], name="memberships_club_fk"),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="memberships_person_fk"),
        sa.PrimaryKeyConstraint("club", "person", name="memberships_pk"),
    )
    op.create_index("memberships_person_ix", "memberships", ["person"], unique=False)
    op.create_table(
        "mornings",
        sa.Column("person", ID, nullable=False),
        sa.Column("next_at", MOMENT, nullable=False),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="mornings_person_fk"),
        sa.PrimaryKeyConstraint("person", name="mornings_pk"),
    )
    op.create_index("mornings_next_at_ix", "mornings", ["next_at"], unique=False)
    op.create_table(
        "photo_files",
        sa.Column("photo", ID, nullable=False),
        sa.Column("door", ID, nullable=False),
        sa.Column("file", ID, nullable=False),
        sa.ForeignKeyConstraint(["photo"], ["photos.id"], name="photo_files_photo_fk"),
        sa.PrimaryKeyConstraint("photo", "door", name="photo_files_pk"),
    )
    op.create_table(
        "sessions",
        sa.Column("hash", ID, nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("used_at", MOMENT, nullable=True),
        sa.ForeignKeyConstraint(["person"], ["persons.id"], name="sessions_person_fk"),
        sa.PrimaryKeyConstraint("hash", name="sessions_pk"),
    )
    op.create_index("sessions_person_ix", "sessions", ["person"], unique=False)
