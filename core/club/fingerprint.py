"""Whether two databases hold the same: a short print of everything that their journals replay to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from hashlib import sha256

from core.fishroom.club import replay_club
from core.fishroom.history import History
from core.fishroom.replay import replay
from core.store import Store


def fingerprint(store: Store) -> str:
    """Twelve hexadecimal digits over the replayed state of every fishroom and club: equal where the journals replay alike."""
    digest = sha256()
    with store.read() as tx:
        for room in tx.clubs.all_rooms():
            digest.update(canonical(replay(room.id, tx.journal.entries(room.stream))).encode())
        for club in tx.clubs.all():
            digest.update(canonical(replay_club(club.id, tx.journal.entries(f"club:{club.id}"))).encode())
    return digest.hexdigest()[:12]


def canonical(value: object) -> str:
    """A value as a text that does not depend on the order in which sets were filled."""
    if is_dataclass(value) and not isinstance(value, type):
        return f"{type(value).__name__}({','.join(canonical(getattr(value, one.name)) for one in fields(value))})"
    match value:
        case Mapping():
            return "{" + ",".join(f"{canonical(key)}:{canonical(one)}" for key, one in value.items()) + "}"
        case set() | frozenset():
            return "{" + ",".join(sorted(map(canonical, value))) + "}"
        case list() | tuple() | History():
            return "[" + ",".join(map(canonical, value)) + "]"
        case _:
            return repr(value)
