"""What is sent by itself: each message a row with a stable key, claimed before it is sent.

1. `put` adds the row (once per key), in the transaction that causes it.
2. `claim` marks due rows "sending", for one worker, before anything leaves the house.
3. `sent`, `failed` or `unsure` says how it went.
4. `recover` looks after rows left "sending" by a crash: a digest may have arrived, so it becomes "uncertain" and is never sent
   again; an alert must not be lost, so it is due again and marked `may_repeat`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

from sqlalchemy import ColumnElement, Row, Select, and_, bindparam, delete, func, or_, select, update

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import deliveries

Kind = Literal["digest", "alert", "notice", "answer", "post"]
State = Literal["due", "sending", "sent", "uncertain", "failed", "given_up"]
REPEATED: frozenset[Kind] = frozenset({"alert", "notice", "answer"})
"""Kinds that are sent again where it is unknown whether they arrived; the others are not."""

PRECEDENCE: dict[Kind, int] = {"answer": 0, "alert": 1, "notice": 2, "post": 3, "digest": 4}
"""What goes first of that which is due: ten thousand digests take minutes to send, and an alert does not wait behind them."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """A message on its way. `may_repeat`: it may have arrived before, and should say so."""

    id: int
    key: str
    person: PersonId | None
    door: str
    chat: str
    kind: Kind
    payload: Mapping[str, Any]
    due_at: datetime
    state: State
    attempts: int
    may_repeat: bool
    hold_until: datetime | None = None
    message: str | None = None
    error: str | None = None


class Deliveries(Subject):
    """Messages to be sent, within a transaction."""

    def put(
        self,
        key: str,
        *,
        door: str,
        chat: str,
        kind: Kind,
        payload: Mapping[str, Any],
        due_at: datetime,
        now: datetime,
        person: PersonId | None = None,
        hold_until: datetime | None = None,
    ) -> bool:
        """Adds a message, to be sent at `due_at` and not before `hold_until`; False where the key is there already."""
        row = {"key": key, "person": person, "door": door, "chat": chat, "kind": kind, "payload": dict(payload)}
        times = {"due_at": due_at, "hold_until": hold_until, "changed": now}
        fresh = {"precedence": PRECEDENCE[kind], "state": "due", "attempts": 0, "may_repeat": False}
        return self._add_new(deliveries, row | times | fresh)

    def claim(
        self, now: datetime, limit: int, lease: timedelta, *, worker: str = "main", doors: Iterable[str] | None = None
    ) -> list[Delivery]:
        """Up to `limit` due messages, by `PRECEDENCE` and then the earliest; now "sending" for `worker` until `now + lease`."""
        due = _is_due(now) if doors is None else and_(_is_due(now), deliveries.c.door.in_(sorted(doors)))
        first = (deliveries.c.precedence, deliveries.c.due_at, deliveries.c.id)
        query = select(deliveries.c.id).where(due).order_by(*first).limit(limit)
        chosen = list(self.connection.execute(query.with_for_update(skip_locked=True)).scalars())
        if not chosen:
            return []
        claimed = update(deliveries).where(deliveries.c.id.in_(chosen), deliveries.c.state == "due")
        values = {"state": "sending", "worker": worker, "lease_until": now + lease, "changed": now}
        rows = self.connection.execute(
            claimed.values(**values, attempts=deliveries.c.attempts + 1).returning(*deliveries.c)
        ).all()
        return sorted((_delivery(row) for row in rows), key=lambda each: (PRECEDENCE[each.kind], each.due_at, each.id))

    def sent(self, delivery: int, now: datetime, message: str | None = None) -> None:
        """It arrived, as the platform's `message`."""
        self._end(delivery, now, state="sent", message=message)

    def failed(self, delivery: int, now: datetime, retry_at: datetime | None, error: str = "") -> None:
        """It certainly did not arrive: due again at `retry_at`, or (None) given over as failed."""
        if retry_at is None:
            self._end(delivery, now, state="failed", error=error)
        else:
            self._end(delivery, now, state="due", due_at=retry_at, error=error)

    def unsure(self, delivery: int, now: datetime, retry_at: datetime, error: str = "") -> None:
        """It may have arrived (the answer timed out): a kind that may repeat is due again, another is left "uncertain"."""
        repeated = deliveries.c.kind.in_(REPEATED)
        here = deliveries.c.id == delivery
        again = update(deliveries).where(here, repeated).values(state="due", due_at=retry_at, may_repeat=True)
        self.connection.execute(again.values(error=error, changed=now, lease_until=None))
        left = update(deliveries).where(here, ~repeated).values(state="uncertain", lease_until=None)
        self.connection.execute(left.values(error=error, changed=now))

    def recover(self, now: datetime, worker: str | None = None) -> int:
        """Looks after rows left "sending": those whose lease is over, and all of `worker`, which has just started. How many."""
        over = deliveries.c.lease_until <= now
        left = and_(deliveries.c.state == "sending", or_(over, deliveries.c.worker == worker) if worker else over)
        repeated = deliveries.c.kind.in_(REPEATED)
        values = {"lease_until": None, "changed": now}
        again = update(deliveries).where(left, repeated).values(state="due", may_repeat=True, **values)
        never = update(deliveries).where(left, ~repeated).values(state="uncertain", **values)
        return self.connection.execute(again).rowcount + self.connection.execute(never).rowcount

    def give_up(self, now: datetime, *, person: PersonId | None = None, door: str | None = None, chat: str | None = None) -> int:
        """Nothing more is sent to the person, or to the chat of a door (blocked, deleted); how many messages that ends."""
        if person is None and (door is None or chat is None):
            raise ValueError("give up on a person, or on a chat of a door")
        whom = deliveries.c.person == person if person else and_(deliveries.c.door == door, deliveries.c.chat == chat)
        waiting = update(deliveries).where(whom, deliveries.c.state.in_(("due", "sending")))
        return self.connection.execute(waiting.values(state="given_up", lease_until=None, changed=now)).rowcount

    def uncertain_of(self, person: PersonId) -> list[Delivery]:
        """Messages to the person that may or may not have arrived, oldest first; `settle` them once the person was told."""
        return [_delivery(row) for row in self._where(deliveries, ("due_at", "id"), person=person, state="uncertain")]

    def settle(self, delivery: int, now: datetime) -> None:
        """The person was told that this one was uncertain."""
        self._end(delivery, now, state="given_up")

    def waiting_for(self, person: PersonId, door: str, now: datetime) -> list[Delivery]:
        """What is due for the person at a door that fetches for itself (the page), oldest first. Mark each `sent`."""
        return self._deliveries(select(deliveries).where(_is_due(now), deliveries.c.person == person, deliveries.c.door == door))

    def to(self, person: PersonId, limit: int = 50) -> list[Delivery]:
        """The last messages to the person in any state, oldest first."""
        query = select(deliveries).where(deliveries.c.person == person).order_by(deliveries.c.id.desc()).limit(limit)
        return sorted((_delivery(row) for row in self.connection.execute(query)), key=lambda each: each.id)

    def by_key(self, key: str) -> Delivery | None:
        """The message with this key, or None."""
        row = self.connection.execute(select(deliveries).where(deliveries.c.key == key)).one_or_none()
        return _delivery(row) if row else None

    def withdraw(self, key: str, now: datetime) -> bool:
        """A message that is no longer true is not sent; False where it left already."""
        waiting = (deliveries.c.key == key) & (deliveries.c.state == "due")
        return self.connection.execute(update(deliveries).where(waiting).values(state="given_up", changed=now)).rowcount == 1

    def next_due(self, after: datetime) -> datetime | None:
        """When the next message falls due, or may be said, after a moment."""
        may_go = func.coalesce(deliveries.c.hold_until, deliveries.c.due_at)
        waiting = (deliveries.c.state == "due") & (may_go > after)
        query = select(may_go).where(waiting).order_by(may_go).limit(1)
        return self.connection.execute(query).scalar_one_or_none()

    def prune(self, before: datetime) -> int:
        """Removes what ended before a moment; how many rows. Keys older than that may then be put again."""
        ended = deliveries.c.state.in_(("sent", "failed", "given_up")) & (deliveries.c.changed < before)
        return self.connection.execute(delete(deliveries).where(ended)).rowcount

    def _end(self, delivery: int, now: datetime, **values: Any) -> None:
        self.connection.execute(_ENDED, {"ended": delivery, "lease_until": None, "changed": now, **values})

    def _deliveries(self, query: Select[Any]) -> list[Delivery]:
        return [_delivery(row) for row in self.connection.execute(query.order_by(deliveries.c.due_at, deliveries.c.id))]


_ENDED = update(deliveries).where(deliveries.c.id == bindparam("ended"))


def _is_due(now: datetime) -> ColumnElement[bool]:
    released = or_(deliveries.c.hold_until.is_(None), deliveries.c.hold_until <= now)
    return and_(deliveries.c.state == "due", deliveries.c.due_at <= now, released)


def _delivery(row: Row[Any]) -> Delivery:
    return Delivery(
        id=row.id,
        key=row.key,
        person=row.person,
        door=row.door,
        chat=row.chat,
        kind=row.kind,
        payload=row.payload or {},
        due_at=row.due_at,
        state=row.state,
        attempts=row.attempts,
        may_repeat=row.may_repeat,
        hold_until=row.hold_until,
        message=row.message,
        error=row.error,
    )
