"""What changes all over the store at once: a person who asks to be forgotten, a chat that gets a new id."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, and_, delete, or_, select, update

from core.events import PersonId
from core.store.page import Pages, page_entries
from core.store.roster import Edition
from core.store.subject import Subject
from core.store.tables import (
    addressed,
    buttons,
    deliveries,
    drafts,
    groups,
    guesses,
    identities,
    inbox,
    invitations,
    journal,
    keepers,
    memberships,
    memory,
    mornings,
    persons,
    photos,
    sessions,
    texts,
)
from core.store.texts import Texts

FORMER_NAME = "former member"
_GONE: tuple[tuple[Table, str], ...] = (
    (identities, "person"),
    (memberships, "person"),
    (keepers, "person"),
    (addressed, "person"),
    (mornings, "person"),
    (sessions, "person"),
    (memory, "person"),
    (drafts, "person"),
    (buttons, "person"),
)
"""Rows that are about a person and nothing else."""
_WITH_CHAT: tuple[Table, ...] = (identities, groups, memory, drafts, inbox, deliveries)


_BELONGINGS: tuple[tuple[Table, str, tuple[str, ...]], ...] = (
    (persons, "id", ()),
    (identities, "person", ()),
    (memberships, "person", ()),
    (keepers, "person", ()),
    (texts, "person", ()),
    (drafts, "person", ()),
    (memory, "person", ()),
    (journal, "by_person", ("part", "kind", "target")),
    (deliveries, "person", ("worker", "lease_until")),
    (photos, "by_person", ("content",)),
    (page_entries, "person", ("buttons", "client")),
)
"""What is a person's own: the table, its column that names them, and what is only housekeeping (or a file of its own)."""


class Leaving(Subject):
    """Forgetting and moving, within a transaction."""

    def __init__(self, connection: Connection, edition: Edition) -> None:
        super().__init__(connection)
        self._edition = edition

    def forget(self, person: PersonId, now: datetime) -> None:
        """The person becomes a former member: no name, contact, choices, words or ways to reach them are left.

        The journal stays whole, and with it the id, which then stands for nobody. Photos stay: they show fish.
        """
        chats = self.connection.execute(select(identities).where(identities.c.person == person)).all()
        for row in chats:
            self._empty_inbox(row.door, row.chat)
            self.connection.execute(delete(guesses).where(guesses.c.who == f"{row.door}:{row.external}"))
        for table, column in _GONE:
            self.connection.execute(delete(table).where(table.c[column] == person))
        self._empty_deliveries(person, [(row.door, row.chat) for row in chats], now)
        self.connection.execute(update(invitations).where(invitations.c.used_by == person).values(name=None))
        Texts(self.connection).blank(person)
        Pages(self.connection).forget(person)
        choices = ("contact", "zone", "units", "date_order", "digest_time", "quiet_from", "quiet_to")
        blank = dict.fromkeys(choices) | {"name": FORMER_NAME, "prefs": {}, "forgotten": now}
        self.connection.execute(update(persons).where(persons.c.id == person).values(blank))
        self._edition.rise()

    def belongings(self, person: PersonId) -> dict[str, list[dict[str, Any]]]:
        """Everything that is kept about the person or was written by them, by table; photos by their ids."""
        found: dict[str, list[dict[str, Any]]] = {}
        for table, column, left_out in _BELONGINGS:
            shown = [each for each in table.c if each.name not in left_out]
            query = select(*shown).where(table.c[column] == person).order_by(*table.primary_key.columns)
            found[table.name] = [dict(row._mapping) for row in self.connection.execute(query)]
        return found

    def move_chat(self, door: str, old: str, new: str) -> None:
        """The platform gave the chat a new id: everything that goes there goes to the new one."""
        for table in _WITH_CHAT:
            here = and_(table.c.door == door, table.c.chat == old)
            if "chat" in table.primary_key.columns:
                there = self._already_there(table, door, new)
                self.connection.execute(delete(table).where(here, there))
            self.connection.execute(update(table).where(here).values(chat=new))

    def _already_there(self, table: Table, door: str, new: str) -> ColumnElement[bool]:
        other = table.alias("other")
        same = [table.c[column.name] == other.c[column.name] for column in table.primary_key if column.name != "chat"]
        return select(other.c.door).where(other.c.door == door, other.c.chat == new, *same).exists()

    def _empty_inbox(self, door: str, chat: str) -> None:
        here = and_(inbox.c.door == door, inbox.c.chat == chat)
        self.connection.execute(update(inbox).where(here, inbox.c.state != "pending").values(payload={}, error=None))

    def _empty_deliveries(self, person: PersonId, chats: Iterable[tuple[str, str]], now: datetime) -> None:
        private = [and_(deliveries.c.door == door, deliveries.c.chat == chat) for door, chat in chats]
        theirs = or_(deliveries.c.person == person, *private)
        waiting = update(deliveries).where(theirs, deliveries.c.state.in_(("due", "sending", "uncertain")))
        self.connection.execute(waiting.values(state="given_up", lease_until=None, changed=now))
        self.connection.execute(update(deliveries).where(theirs).values(payload={}, error=None))
