"""Kill -9 under load, thousands of times: what was acknowledged is there, and nothing is there by half.

`python -m tests.bench.store_faults [--kills 2000] [--server-kills 10] [--url postgresql://…]`

A writer is forked, records messages of two entries in two fishrooms (with a note and a counter in the same transaction), says
each number through a pipe once it is committed, and is killed at a random moment. Then the database is opened anew and looked
through.
With `--server-kills`, a PostgreSQL of its own (`.ci/postgresql`) is killed under eight writers instead, and started again.
The last line is one JSON object.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

from core.events import Holding, Source
from core.store import NewEntry, Store, StoreTrouble

ROOMS = ("fishroom:r1", "fishroom:r2")
TOLD = datetime(2026, 3, 2, 9, tzinfo=UTC)


@dataclass(slots=True)
class Tally:
    """What was found. `unacknowledged` commits were kept though their writer died before it could say so; that is no fault."""

    kills: int = 0
    committed: int = 0
    lost: int = 0
    half: int = 0
    unacknowledged: int = 0
    seconds: float = 0.0


def record(store: Store, number: int, rooms: tuple[str, ...] = ROOMS, door: str = "telegram:1") -> None:
    """One message with all it causes."""
    entry = NewEntry(Holding("F4", "3"), date(2026, 3, 2), TOLD, "marit", source=Source(door, str(number)))
    with store.write() as tx:
        tx.journal.lock(rooms)
        for room in rooms:
            tx.journal.append(room, [entry], {f"{room}/{door}/{number}": "a note"})
        tx.journal.counter("c1", "reservation")


def write_on(url: str, first: int, say: int) -> None:
    """The writer's life: it never ends by itself."""
    store = Store.open(url)
    number = first
    while True:
        record(store, number)
        os.write(say, number.to_bytes(8, "big"))
        number += 1


def kill_once(url: str, first: int, chance: Random) -> int:
    """Forks a writer and kills it a moment after it said some numbers; the last number it said, or `first - 1`."""
    listen, say = os.pipe()
    writer = os.fork()
    if writer == 0:
        os.close(listen)
        write_on(url, first, say)
    os.close(say)
    with os.fdopen(listen, "rb") as heard:
        said = heard.read(8 * chance.randint(0, 6))
        time.sleep(chance.uniform(0.0, 0.005))
        os.kill(writer, signal.SIGKILL)
        os.waitpid(writer, 0)
        said += heard.read()
    return int.from_bytes(said[-8:], "big") if said else first - 1


def look(url: str, said: int, before: int, tally: Tally) -> int:
    """Opens the database anew; the number of whole messages in it."""
    store = Store.open(url)
    with store.read() as tx:
        heads = tx.journal.streams()
        counted = [heads.get(room, 0) for room in ROOMS]
        new = [[entry.number for entry in tx.journal.entries(room, after=before)] for room in ROOMS]
        notes = tx.texts.get_all(f"{room}/telegram:1/{number}" for room in ROOMS for number in range(before + 1, counted[0] + 1))
    store.close()
    whole = counted[0] == counted[1] and all(found == list(range(before + 1, counted[0] + 1)) for found in new)
    tally.half += not (whole and len(notes) == 2 * (counted[0] - before))
    tally.lost += max(0, said - counted[0])
    tally.unacknowledged += max(0, counted[0] - said)
    return counted[0]


def kill_writers(url: str, kills: int, seed: int = 1) -> Tally:
    """Kills as many writers one after the other."""
    chance, tally, done = Random(seed), Tally(), 0
    Store.open(url).close()
    started = time.perf_counter()
    for _ in range(kills):
        said = kill_once(url, done + 1, chance)
        done = look(url, said, done, tally)
        tally.kills += 1
    tally.committed, tally.seconds = done, round(time.perf_counter() - started, 1)
    return tally


# --- the server itself -----------------------------------------------------------------------------------------------


def kill_servers(kills: int, seed: int = 1) -> Tally:
    """Kills a PostgreSQL under eight writers, as many times, and starts it again on the same files."""
    script, chance, tally = Path(__file__).parents[2] / ".ci" / "postgresql", Random(seed), Tally()
    folder = Path(tempfile.mkdtemp(prefix="frywire-faults-", dir="/tmp"))
    url = subprocess.run([script, folder], stdout=subprocess.PIPE, check=True, text=True).stdout.strip()
    Store.open(url).close()
    started = time.perf_counter()
    said = {f"worker{number}": 0 for number in range(8)}
    try:
        for _ in range(kills):
            with_writers_killed(url, folder, chance, said)
            subprocess.run([script, "again", folder], stdout=subprocess.PIPE, check=True, text=True)
            look_at_writers(url, said, tally)
            tally.kills += 1
    finally:
        subprocess.run([script, "stop", folder], check=False)
    tally.committed, tally.seconds = sum(said.values()), round(time.perf_counter() - started, 1)
    return tally


def with_writers_killed(url: str, folder: Path, chance: Random, said: dict[str, int]) -> None:
    """Eight writers at work when every process of the server is killed at once."""

    def work(worker: int) -> None:
        store, door = Store.open(url), f"worker{worker}"
        try:
            while True:
                record(store, said[door] + 1, door=door)
                said[door] += 1
        except StoreTrouble:
            store.close()

    writers = [threading.Thread(target=work, args=(worker,)) for worker in range(8)]
    for writer in writers:
        writer.start()
    enough = sum(said.values()) + chance.randint(20, 120)
    while sum(list(said.values())) < enough:
        time.sleep(0.001)
    lock = folder / "data" / "postmaster.pid"
    kill_server(int(lock.read_text().split()[0]))
    for left in (lock, *folder.glob(".s.PGSQL.*")):
        left.unlink()  # where nobody buries the dead (a container), the server would take its dead self for another
    for writer in writers:
        writer.join()


def kill_server(postmaster: int) -> None:
    """Kills the server with all its processes, and waits until they are gone."""
    os.kill(postmaster, signal.SIGSTOP)  # so that it starts no other meanwhile
    children = Path(f"/proc/{postmaster}/task/{postmaster}/children").read_text().split()
    processes = (postmaster, *map(int, children))
    for process in processes:
        os.kill(process, signal.SIGKILL)
    while any(alive(process) for process in processes):
        time.sleep(0.01)


def alive(process: int) -> bool:
    """Whether the process still holds anything."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state not in "ZX"


def look_at_writers(url: str, said: dict[str, int], tally: Tally) -> None:
    """What each writer was told is there is there; what it was not told may be, and then the writer takes note."""
    store = Store.open(url)
    with store.read() as tx:
        entries = [tx.journal.entries(room) for room in ROOMS]
    store.close()
    for room in entries:
        tally.half += [entry.number for entry in room] != list(range(1, len(room) + 1))
    sources = [[entry.source for entry in room] for room in entries]
    tally.half += sources[0] != sources[1]
    for door in said:
        kept = sum(source is not None and source.door == door for source in sources[0])
        tally.lost += max(0, said[door] - kept)
        tally.unacknowledged += max(0, kept - said[door])
        said[door] = kept


def main() -> int:
    """Runs what was asked for; 1 where anything was lost or half."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--kills", type=int, default=2000)
    options.add_argument("--server-kills", type=int, default=0)
    options.add_argument("--url", default="")
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        url = asked.url or f"sqlite:///{folder}/club.db"
        tally = kill_servers(asked.server_kills) if asked.server_kills else kill_writers(url, asked.kills)
    print(json.dumps(asdict(tally)))
    return int(tally.lost + tally.half > 0)


if __name__ == "__main__":
    sys.exit(main())
