"""Many at once: writers of one stream, claims, counters and invitations, by threads with a store each, and by killed processes."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import partial
from random import Random
from typing import Any, TypeVar

import pytest

from core.store import AlreadyTold, Busy, NewEntry, Store, Transaction
from core.store.invitations import Invitation
from tests.databases import on_a_server
from tests.store.writer import ROOMS

WORKERS = 8
Result = TypeVar("Result")
MINUTE = timedelta(minutes=1)
Tell = Callable[..., NewEntry]


@contextmanager
def workers(url: str, count: int = WORKERS) -> Iterator[list[Store]]:
    """As many workers as separate processes would be: each with a store of its own."""
    stores = [Store.open(url) for _ in range(count)]
    try:
        yield stores
    finally:
        for store in stores:
            store.close()


def all_at_once(work: Callable[[int], Result], count: int = WORKERS) -> list[Result]:
    """The work of each worker, begun together; raises what any of them raised."""
    start = threading.Barrier(count)

    def begin(number: int) -> Result:
        start.wait()
        return work(number)

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(begin, range(count)))


def test_eight_writers_number_one_stream_without_gaps(shared: str, holding: Tell) -> None:
    with workers(shared) as stores:

        def write(worker: int) -> None:
            for number in range(15):
                with stores[worker].write() as tx:
                    tx.journal.lock([ROOMS[0]])
                    tx.journal.append(ROOMS[0], [holding(f"{worker}-{number}")], {})

        all_at_once(write)
        with stores[0].read() as tx:
            entries = tx.journal.entries(ROOMS[0])
    assert [entry.number for entry in entries] == list(range(1, WORKERS * 15 + 1))
    assert len({entry.source for entry in entries}) == WORKERS * 15


def test_the_last_six_go_once(shared: str, holding: Tell) -> None:
    """Each buyer looks how many are left under the lock, and takes one: no more than six get one."""
    with workers(shared) as stores:

        def take(worker: int) -> int:
            taken = 0
            for number in range(3):
                with stores[worker].write() as tx:
                    if tx.journal.lock([ROOMS[0]])[ROOMS[0]] < 6:
                        tx.journal.append(ROOMS[0], [holding(f"{worker}-{number}")], {})
                        taken += 1
            return taken

        assert sum(all_at_once(take)) == 6
        with stores[0].read() as tx:
            assert tx.journal.streams() == {ROOMS[0]: 6}


def test_two_streams_locked_in_opposite_order_do_not_stop_each_other(shared: str, holding: Tell) -> None:
    with workers(shared, 2) as stores:

        def write(worker: int) -> None:
            order = ROOMS if worker else ROOMS[::-1]
            for number in range(20):
                with stores[worker].write() as tx:
                    tx.journal.lock(order)
                    for room in order:
                        tx.journal.append(room, [holding(f"{worker}-{number}")], {})

        all_at_once(write, 2)
        with stores[0].read() as tx:
            assert tx.journal.streams() == dict.fromkeys(ROOMS, 40)


def test_a_stream_asked_for_out_of_order_is_busy_rather_than_a_standstill(shared: str, holding: Tell) -> None:
    with workers(shared, 2) as stores:
        with stores[0].write() as tx:
            tx.journal.lock(ROOMS)

        def write(worker: int) -> None:
            for number in range(20):
                stores[worker].run(partial(one_by_one, worker, number), tries=200)

        def one_by_one(worker: int, number: int, tx: Transaction) -> None:
            for room in ROOMS if worker else ROOMS[::-1]:
                tx.journal.lock([room])
                tx.journal.append(room, [holding(f"{worker}-{number}")], {})

        all_at_once(write, 2)
        with stores[0].read() as tx:
            assert tx.journal.streams() == dict.fromkeys(ROOMS, 40)


@on_a_server
def test_out_of_order_the_second_is_told_at_once(shared: str) -> None:
    with workers(shared, 2) as stores:
        with stores[0].write() as tx:
            tx.journal.lock(ROOMS)

        def ask_out_of_order(tx: Transaction) -> None:
            tx.journal.lock([ROOMS[1]])
            tx.journal.lock([ROOMS[0]])

        started = time.perf_counter()
        with stores[0].write() as first:
            first.journal.lock([ROOMS[0]])
            with pytest.raises(Busy):
                stores[1].run(ask_out_of_order, tries=1)
        assert time.perf_counter() - started < 5


def test_one_message_brought_to_eight_workers_is_recorded_once(shared: str, holding: Tell) -> None:
    with workers(shared) as stores:

        def write(worker: int) -> bool:
            try:
                with stores[worker].write() as tx:
                    tx.journal.lock([ROOMS[worker % 2]])
                    tx.journal.append(ROOMS[worker % 2], [holding("7")], {})
            except AlreadyTold:
                return False
            return True

        assert all_at_once(write).count(True) == 1
        with stores[0].read() as tx:
            assert len(tx.journal.of_message("telegram:1", "7")) == 1


def test_numbers_of_reservations_are_given_once(shared: str) -> None:
    with workers(shared) as stores:

        def take(worker: int) -> list[int]:
            taken = []
            for _ in range(5):
                with stores[worker].write() as tx:
                    taken.append(tx.journal.counter("c1", "reservation"))
            return taken

        taken = [number for numbers in all_at_once(take) for number in numbers]
    assert sorted(taken) == list(range(1, WORKERS * 5 + 1))


def test_each_delivery_is_claimed_by_one_worker(shared: str, now: datetime) -> None:
    with workers(shared) as stores:
        with stores[0].write() as tx:
            for number in range(60):
                about: dict[str, Any] = {"door": "telegram", "chat": "7", "kind": "alert", "payload": {}}
                tx.deliveries.put(str(number), due_at=now, now=now, **about)

        def claim(worker: int) -> list[str]:
            claimed: list[str] = []
            for _ in range(10):
                with stores[worker].write() as tx:
                    claimed += [each.key for each in tx.deliveries.claim(now, 3, MINUTE, worker=str(worker))]
            return claimed

        claimed = [key for keys in all_at_once(claim) for key in keys]
    assert sorted(claimed, key=int) == [str(number) for number in range(60)]


def test_workers_keep_each_chats_order_and_leave_nothing_between_them(shared: str, now: datetime) -> None:
    """Four chats, messages brought to eight workers anyhow: each is handled once, and no chat's are turned round that came one after another."""
    handled: dict[str, list[str]] = {f"chat{number}": [] for number in range(4)}
    with workers(shared) as stores:

        def work(worker: int) -> None:
            me, chance = f"worker {worker}", Random(worker)
            for number in range(20):
                chat = chance.choice(list(handled))
                with stores[worker].write() as tx:
                    tx.inbox.keep("telegram", f"{worker}-{number}", chat, {}, now)
                    mine = tx.holds.take("telegram", chat, me, now) is not None
                while mine:
                    with stores[worker].write() as tx:
                        waiting = tx.inbox.pending_of("telegram", chat)
                        handled[chat] += [arrived.external for arrived in waiting]
                        for arrived in waiting:
                            tx.inbox.done(arrived.id)
                    with stores[worker].write() as tx:
                        mine = not tx.holds.leave("telegram", chat, me)

        all_at_once(work)
        with stores[0].read() as tx:
            assert tx.inbox.pending("telegram") == []
    for said in handled.values():
        for worker in range(WORKERS):
            numbers = [int(each.partition("-")[2]) for each in said if each.startswith(f"{worker}-")]
            assert numbers == sorted(set(numbers))
    assert sum(map(len, handled.values())) == WORKERS * 20


def test_one_invitation_is_used_by_one_of_many(shared: str, now: datetime) -> None:
    with workers(shared) as stores:
        with stores[0].write() as tx:
            tx.clubs.add("Lakers", id="lakers")
            secret = tx.invitations.make("lakers", ["buyer"], "marit", now, now + MINUTE)

        def accept(worker: int) -> bool:
            with stores[worker].write() as tx:
                found = tx.invitations.open(secret, f"telegram:{worker}", now)
                return isinstance(found, Invitation) and tx.invitations.use(found, f"p{worker}", now)

        assert all_at_once(accept).count(True) == 1


def test_many_workers_may_open_an_empty_database_together(url: str) -> None:
    all_at_once(lambda _: Store.open(url).close(), 4)
    with workers(url, 1) as stores, stores[0].read() as tx:
        assert tx.journal.streams() == {}


def test_a_killed_writer_loses_nothing_committed_and_leaves_nothing_half(shared: str) -> None:
    chance, said = Random(6), 0
    for checks in (1, 2):  # each look takes a number of the counter too
        last = kill_after(shared, said + 1, acknowledged=chance.randint(3, 25))
        with workers(shared, 1) as stores, stores[0].write() as tx:
            heads = tx.journal.lock(ROOMS)
            found = [tx.journal.entries(room) for room in ROOMS]
            notes = tx.texts.of("marit")
            given = tx.journal.counter("c1", "reservation") - checks
        assert last <= heads[ROOMS[0]] <= last + 1, "what was acknowledged is there, and at most one commit more"
        for room, entries in zip(ROOMS, found, strict=True):
            assert [entry.number for entry in entries] == list(range(1, heads[ROOMS[0]] + 1))
            assert all(f"{room}{entry.number}" in notes for entry in entries)
        assert (len(notes), given) == (2 * heads[ROOMS[0]], heads[ROOMS[0]])
        said = heads[ROOMS[0]]


def kill_after(url: str, first: int, acknowledged: int) -> int:
    """Starts a writer, kills it at some point after it acknowledged so many; the last number it acknowledged."""
    command = [sys.executable, "-m", "tests.store.writer", url, str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for _ in range(acknowledged):
            assert process.stdout.readline()
        process.kill()
        rest = process.stdout.read().split("\n")
    complete = [int(line) for line in rest[:-1] if line]
    return max([first + acknowledged - 1, *complete])
