"""Chats are held by workers; single messages are leased no more."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

MOMENT = sa.DateTime(timezone=True).with_variant(sa.String(), "sqlite")
ID = sa.String(collation="C").with_variant(sa.String(), "sqlite")


def upgrade() -> None:
    """Makes the holds' table, and drops the leases of messages."""
    op.create_table(
        "chat_holds",
        sa.Column("door", ID, nullable=False),
        sa.Column("chat", ID, nullable=False),
        sa.Column("worker", ID, nullable=False),
        sa.Column("lease_until", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("door", "chat", name="chat_holds_pk"),
    )
    op.drop_column("inbox", "lease_until")
