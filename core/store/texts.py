"""Free texts and captions beside the journal: they can hold names, so each can be blanked while the journal stays whole."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import select, update

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import texts

_AT_ONCE = 500


class Texts(Subject):
    """The side table of free texts within a transaction."""

    def put(self, key: str, person: PersonId, words: str) -> None:
        """Keeps `words` of `person` under `key`; again, it replaces them."""
        self._keep(texts, {"key": key, "person": person, "words": words})

    def get(self, key: str) -> str | None:
        """The words, or None where they were blanked or never kept."""
        return self.connection.execute(select(texts.c.words).where(texts.c.key == key)).scalar_one_or_none()

    def get_all(self, keys: Iterable[str]) -> dict[str, str]:
        """The words that are there, by key."""
        wanted = sorted(set(keys))
        found: dict[str, str] = {}
        for start in range(0, len(wanted), _AT_ONCE):
            query = select(texts.c.key, texts.c.words).where(texts.c.key.in_(wanted[start : start + _AT_ONCE]))
            found.update((row.key, row.words) for row in self.connection.execute(query) if row.words is not None)
        return found

    def of(self, person: PersonId) -> dict[str, str]:
        """Everything the person wrote that is kept, by key."""
        query = select(texts.c.key, texts.c.words).where(texts.c.person == person, texts.c.words.is_not(None))
        return {row.key: row.words for row in self.connection.execute(query.order_by(texts.c.key))}

    def blank(self, person: PersonId) -> int:
        """Blanks everything the person wrote; how many texts that were."""
        mine = texts.c.person == person
        return self.connection.execute(update(texts).where(mine, texts.c.words.is_not(None)).values(words=None)).rowcount
