"""Puts a message among the deliveries, due now."""

from __future__ import annotations

from bot.clock import WallClock
from bot.conversation.message import Reply
from bot.conversation.plain import to_plain
from core.store import Store
from core.store.deliveries import Delivery, Kind
from tests.telegram.world import Chat


def put(store: Store, chat: Chat, kind: Kind, said: str | Reply, *, key: str | None = None, person: str | None = None) -> str:
    """The key of the delivery."""
    reply = said if isinstance(said, Reply) else Reply(said)
    key = key or f"{kind}:{chat.id}:{reply.text}"
    now = WallClock().now()
    with store.write() as tx:
        tx.deliveries.put(
            key, door="telegram", chat=str(chat.id), kind=kind, payload=to_plain(reply), due_at=now, now=now, person=person
        )
    return key


def row(store: Store, key: str) -> Delivery:
    """How the delivery stands."""
    with store.read() as tx:
        found = tx.deliveries.by_key(key)
    assert found
    return found
