"""What has served its time is removed, and nothing else."""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from core.store import NewEntry, Store
from core.store.tables import LASTING
from core.store.tidying import Look, look_through, odd_values, tidy
from tests.store.traces import settle_in

DAY = timedelta(days=1)
Tell = Callable[..., NewEntry]


def rows(store: Store, *names: str) -> dict[str, int]:
    with store.read() as tx:
        return {name: len(tx.connection.execute(LASTING.tables[name].select()).all()) for name in names}


def test_what_is_over_is_cleared_away_and_the_journal_stays(store: Store, now: datetime) -> None:
    person = settle_in(store, now)
    over = ("inbox", "deliveries", "buttons", "drafts", "sessions", "invitations", "guesses")
    with store.write() as tx:
        tx.deliveries.give_up(now, person=person.id)
        tx.deliveries.give_up(now, door="telegram", chat="chat7")
        for draft in tx.drafts.open_of(person.id):
            tx.drafts.close(draft.id)
        assert tidy(tx, now - DAY) == 0
    before = rows(store, *over, "journal", "texts", "persons", "photos")
    with store.write() as tx:
        assert tidy(tx, now + DAY) == sum(before[name] for name in over) > 7
    assert rows(store, *before) == before | dict.fromkeys(over, 0)


def test_what_still_waits_is_never_cleared_away(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.inbox.keep("telegram", "1", "7", {}, now)
        tx.deliveries.put("a", door="telegram", chat="7", kind="alert", payload={}, due_at=now, now=now)
        ask: dict[str, Any] = {"about": "count", "draft": {}, "text": "", "written": now.replace(tzinfo=None), "expires": now}
        tx.drafts.open("marit", "telegram", "7", **ask)
        assert tidy(tx, now + 100 * DAY) == 0


def test_a_whole_store_is_counted_through(store: Store, holding: Tell) -> None:
    with store.write() as tx:
        tx.journal.lock(["fishroom:r1", "fishroom:r2", "fishroom:r3"])
        tx.journal.append("fishroom:r1", [holding("1"), holding("2")], {})
        tx.journal.append("fishroom:r2", [holding("3")], {})
    assert look_through(store) == Look(3, 3, ())


@pytest.mark.parametrize("harm", ["DELETE FROM journal WHERE number = 1", "UPDATE streams SET head = 3", "DELETE FROM journal"])
def test_a_stream_with_a_gap_is_named(store: Store, holding: Tell, harm: str) -> None:
    with store.write() as tx:
        tx.journal.lock(["fishroom:r1"])
        tx.journal.append("fishroom:r1", [holding("1"), holding("2")], {})
        tx.connection.exec_driver_sql(harm)
    assert look_through(store).broken == ("fishroom:r1",)


def test_a_look_at_every_entry_takes_no_more_memory_for_a_longer_journal(store: Store, holding: Tell) -> None:
    def most(entries: int) -> int:
        with store.write() as tx:
            tx.journal.lock(["fishroom:r1"])
            tx.journal.append("fishroom:r1", [holding()] * entries, {})
        tracemalloc.start()
        assert odd_values(store) == []
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return peak

    assert most(1_000) * 1.5 > most(4_000)
