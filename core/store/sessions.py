"""Who is signed in on the page: one-time links that become sessions; only hashes of both are kept."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import delete, select, update

from core.events import PersonId
from core.store.secret import hashed, token
from core.store.subject import Subject
from core.store.tables import sessions


class Sessions(Subject):
    """Sign-in links and sessions within a transaction."""

    def link(self, person: PersonId, expires: datetime) -> str:
        """A secret that signs the person in once."""
        return self._make("link", person, expires)

    def follow(self, link: str, now: datetime, expires: datetime) -> tuple[PersonId, str] | None:
        """The person and the secret of a new session, for a link that was not used and is not too old; else None."""
        fresh = (sessions.c.hash == hashed(link)) & (sessions.c.kind == "link") & (sessions.c.expires > now)
        used = update(sessions).where(fresh, sessions.c.used_at.is_(None)).values(used_at=now).returning(sessions.c.person)
        person = self.connection.execute(used).scalar_one_or_none()
        return None if person is None else (person, self._make("session", person, expires))

    def person(self, session: str, now: datetime) -> PersonId | None:
        """Whose session it is, or None where there is none (any more)."""
        here = (sessions.c.hash == hashed(session)) & (sessions.c.kind == "session") & (sessions.c.expires > now)
        return self.connection.execute(select(sessions.c.person).where(here)).scalar_one_or_none()

    def end(self, session: str) -> None:
        """Signs out."""
        self.connection.execute(delete(sessions).where(sessions.c.hash == hashed(session)))

    def end_all(self, person: PersonId) -> None:
        """Signs the person out everywhere, and voids their links."""
        self.connection.execute(delete(sessions).where(sessions.c.person == person))

    def _make(self, kind: str, person: PersonId, expires: datetime) -> str:
        secret = token(32)
        self._add_all(sessions, [{"hash": hashed(secret), "kind": kind, "person": person, "expires": expires}])
        return secret
