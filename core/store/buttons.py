"""Buttons: what each does stands here, under a token that cannot be guessed and that only its member can use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, delete, select, update

from core.events import PersonId, Source
from core.store.secret import token
from core.store.subject import Subject
from core.store.tables import buttons

_VERSION = "1"
_RANDOM = 16


@dataclass(frozen=True, slots=True)
class Found:
    """The button's action, for the member who pressed it now (or pressed it before, in this very press)."""

    action: Mapping[str, Any]
    club: str | None


@dataclass(frozen=True, slots=True)
class Foreign:
    """The button is another member's."""


@dataclass(frozen=True, slots=True)
class Expired:
    """The button is too old; `action` is what it did, so that a fresh one can be offered."""

    action: Mapping[str, Any]
    club: str | None


@dataclass(frozen=True, slots=True)
class Used:
    """The button did its work already."""

    action: Mapping[str, Any]
    club: str | None


@dataclass(frozen=True, slots=True)
class Unknown:
    """There is no such button: forged, or forgotten long ago."""


Pressed = Found | Foreign | Expired | Used | Unknown


class Buttons(Subject):
    """Buttons within a transaction. New ones are written together, at its end or before one is looked for."""

    def __init__(self, connection: Connection) -> None:
        super().__init__(connection)
        self._made: list[dict[str, Any]] = []

    def make(
        self,
        person: PersonId | None,
        club: str | None,
        action: Mapping[str, Any],
        expires: datetime,
        *,
        kind: str = "a",
        repeatable: bool = False,
    ) -> str:
        """A button's token of 18 url-safe characters: version, kind, 16 at random. Without a person, anybody may press it."""
        if len(kind) != 1:
            raise ValueError(f"a button's kind is one character, not {kind!r}")
        made = f"{_VERSION}{kind}{token(_RANDOM)}"
        row = {"token": made, "person": person, "club": club, "action": dict(action), "expires": expires}
        self._made.append(row | {"repeatable": repeatable})
        return made

    def finish(self) -> None:
        """Writes what was made."""
        made, self._made = self._made, []
        self._add_all(buttons, made)

    def press(self, pressed: str, person: PersonId, source: Source, now: datetime) -> Pressed:
        """What the token stands for. It works once, unless it is repeatable; the same press (`source`) finds it again."""
        self.finish()
        row = self.connection.execute(select(buttons).where(buttons.c.token == pressed).with_for_update()).one_or_none()
        if row is None:
            return Unknown()
        if row.person is not None and row.person != person:
            return Foreign()
        if _same_press(row, person, source):
            return Found(row.action, row.club)
        if row.used_door is not None and not row.repeatable:
            return Used(row.action, row.club)
        if row.expires <= now:
            return Expired(row.action, row.club)
        used = {"used_door": source.door, "used_message": source.message, "used_by": person}
        self.connection.execute(update(buttons).where(buttons.c.token == pressed).values(**used))
        return Found(row.action, row.club)

    def release(self, pressed: str) -> None:
        """The press had no effect after all (refused, asked back): the button works again."""
        free = {"used_door": None, "used_message": None, "used_by": None}
        self.connection.execute(update(buttons).where(buttons.c.token == pressed).values(**free))

    def prune(self, before: datetime) -> int:
        """Removes buttons that expired before a moment; how many."""
        return self.connection.execute(delete(buttons).where(buttons.c.expires < before)).rowcount


def _same_press(row: Row[Any], person: PersonId, source: Source) -> bool:
    return (row.used_door, row.used_message, row.used_by) == (source.door, source.message, person)
