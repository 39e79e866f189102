"""Whose digest is next: one row per person with the moment, so that ten thousand members cost one indexed look."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import delete, func, select, update

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import mornings


class Mornings(Subject):
    """When each person's next digest is due, within a transaction."""

    def set(self, person: PersonId, next_at: datetime) -> None:
        """The person's next digest is due then."""
        self._keep(mornings, {"person": person, "next_at": next_at})

    def clear(self, person: PersonId) -> None:
        """The person gets no digest."""
        self.connection.execute(delete(mornings).where(mornings.c.person == person))

    def due(self, now: datetime, limit: int = 1000) -> list[tuple[PersonId, datetime]]:
        """Whose digest is due, with the moment it was due at, the earliest first. Other workers skip them until commit."""
        query = select(mornings).where(mornings.c.next_at <= now).order_by(mornings.c.next_at, mornings.c.person).limit(limit)
        if not self._reading:
            query = query.with_for_update(skip_locked=True)
        return [(row.person, row.next_at) for row in self.connection.execute(query)]

    def bring_back(self, latest: datetime, now: datetime) -> int:
        """Digests that are due after `latest` are due now, and reckoned anew: the clock was wrong. How many."""
        late = update(mornings).where(mornings.c.next_at > latest).values(next_at=now)
        return self.connection.execute(late).rowcount

    def first(self) -> datetime | None:
        """When the very next digest is due, or None."""
        return self.connection.execute(select(func.min(mornings.c.next_at))).scalar_one_or_none()
