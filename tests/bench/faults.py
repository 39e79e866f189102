"""Kill -9 of the whole bot under load, and of PostgreSQL under the bot: nothing acknowledged is lost, nothing is doubled.

`python -m tests.bench.faults [--kills 300] [--server-kills 5] [--seconds 300] [--url postgresql://…]`

The shipped `frywire start` hears keepers through the platform's double and is killed at a random moment: while it starts, while it
hears, while it answers. After each kill the database is opened anew: every update that was confirmed to the platform stands in
the inbox, and every message that was answered has its effect in the journal. At the end all is heard to the end, and the journal
is held against everything the keepers wrote. In between alerts and digests are put among the deliveries.
Where FRYWIRE_TEST_POSTGRESQL names a server, half of the kills are on a database there. With `--server-kills` a PostgreSQL of its
own (`.ci/postgresql`) is killed with all its processes while the bot runs on, as often. The last line is one JSON object.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from multiprocessing.process import BaseProcess
from pathlib import Path
from random import Random

from core.store import Store
from tests.bench.store_faults import kill_server
from tests.databases import SERVER, fresh_database
from tests.faults.club import Busy, begin, look
from tests.faults.shipped import start
from tests.telegram.double import Double
from tests.telegram.sending import put, row

KEEPERS = 8
BACKLOG = 300
"""No more is written while so many messages wait: a bot that is killed all the time falls behind, since a chat whose message saw two
processes end is left in peace until one has lived for a while."""


@dataclass
class Tally:
    """What was found. `set_aside` were heard in vain too often and told to member and organiser; `answered_again` is no fault."""

    kills: int = 0
    messages: int = 0
    lost: int = 0
    doubled: int = 0
    wrong: int = 0
    set_aside: int = 0
    unanswered: int = 0
    answered_again: int = 0
    alerts_lost: int = 0
    digests_doubled: int = 0
    digests_missing_unsaid: int = 0
    digests_uncertain: int = 0
    exits: int = 0
    """Processes that ended by themselves."""
    seconds: float = 0.0
    start_ms: list[float] = field(default_factory=list)

    @property
    def faults(self) -> int:
        """Everything that must be nought."""
        unheard = self.lost + self.doubled + self.wrong + self.unanswered + self.exits + self.set_aside
        return unheard + self.alerts_lost + self.digests_doubled + self.digests_missing_unsaid

    def shown(self) -> dict[str, object]:
        """The figures, with the median of the starts."""
        starts = sorted(self.start_ms)
        return asdict(self) | {"start_ms": round(starts[len(starts) // 2]) if starts else None}


class Siege:
    """A club, its database, and the bot that is killed and started again."""

    def __init__(self, double: Double, url: str, log: Path, seed: int) -> None:
        self.double, self.url, self.log, self.chance = double, url, log, Random(seed)
        self.tally = Tally()
        self.pending = 0
        self.sent: list[str] = []
        """Keys of the alerts and digests that were put."""
        store = Store.open(url)
        self.club: Busy = begin(store, double, KEEPERS)
        store.close()

    def start(self) -> BaseProcess:
        return start(self.double.base_url, self.url, self.log)

    def usual_start(self) -> float:
        """Seconds that a start takes on this machine today."""
        starts = sorted(self.tally.start_ms[-9:]) or [500.0]
        return starts[len(starts) // 2] / 1000

    def load(self) -> None:
        """What the keepers write before the next kill, and something that is to be sent to them."""
        if len(self.double.updates) + self.pending < BACKLOG:
            for _ in range(self.chance.randint(2, 8)):
                self.club.write(self.chance)

    def put(self) -> None:
        """An alert and a digest to one of the keepers."""
        store = Store.open(self.url)
        chat = self.chance.choice(self.club.keepers).member.chat
        for kind, letter in (("alert", "a"), ("digest", "d")):
            name = f"{letter}{len(self.sent)}"
            self.sent.append(put(store, chat, kind, name, key=f"{name}:{chat.id}"))  # type: ignore[arg-type]
        store.close()

    async def kill_once(self) -> None:
        """Starts the bot, lets it work for a moment and kills it; then looks."""
        self.load()
        if self.chance.random() < 0.3:
            self.put()
        began, polls, answers = time.perf_counter(), self.double.count("getUpdates"), self.double.count("sendMessage")
        process = self.start()
        match self.chance.randint(0, 3):
            case 0:  # anywhere in the start and the first moments
                await asyncio.sleep(self.chance.uniform(0.0, 2.0) * self.usual_start())
            case 1:  # as soon as it listens
                with suppress(TimeoutError):
                    await self.double.until(lambda: self.double.count("getUpdates") > polls, 5)
                self.tally.start_ms.append(1000 * (time.perf_counter() - began))
                await asyncio.sleep(self.chance.uniform(0.0, 0.03))
            case _:  # among its answers
                wanted = answers + self.chance.randint(1, 6)
                with suppress(TimeoutError):
                    await self.double.until(lambda: self.double.count("sendMessage") >= wanted, 8)
                await asyncio.sleep(self.chance.uniform(0.0, 0.01))
        self.tally.exits += process.exitcode is not None
        process.kill()
        await asyncio.to_thread(process.join)
        await asyncio.sleep(0)
        self.tally.kills += 1
        self.look()

    def look(self) -> None:
        """Holds what was acknowledged against the database, opened anew."""
        store = Store.open(self.url)
        with store.read() as tx:
            self.pending = len(tx.inbox.pending("telegram"))
            for name in self.club.confirmed():
                self.tally.lost += tx.inbox.get("telegram", name) is None
        self.club.updates = {
            number: name for number, name in self.club.updates.items() if name not in self.club.confirmed()
        }
        store.close()

    async def hear_out(self, process: BaseProcess, seconds: float = 120.0) -> None:
        """Waits until the bot has heard and sent everything; then stops it and looks at all of it."""
        store, until = Store.open(self.url), time.monotonic() + seconds
        while time.monotonic() < until:
            with store.read() as tx:
                pending = len(tx.inbox.pending("telegram"))
            left = [key for key in self.sent if row(store, key).state in ("due", "sending")]
            if not (self.double.updates or pending or left):
                break
            await asyncio.sleep(0.1)
        self.tally.exits += process.exitcode is not None
        process.terminate()
        await asyncio.to_thread(process.join, 20)
        self.sum_up(store)
        store.close()

    def sum_up(self, store: Store) -> None:
        """Everything that was written, against everything that is recorded and was said."""
        with store.read() as tx:
            self.tally.set_aside = len(tx.inbox.aside("telegram"))
            self.tally.lost += len(tx.inbox.pending("telegram")) + len(self.double.updates)
        for keeper in self.club.keepers:
            found = look(store, keeper)
            self.tally.lost += found.lost
            self.tally.doubled += found.doubled
            self.tally.wrong += found.wrong
            said = [text for text in keeper.member.texts if "%" in text]
            heard = len(keeper.told)
            self.tally.messages += heard
            self.tally.unanswered += max(0, heard - len(said))
            self.tally.answered_again += max(0, len(said) - heard - sum(one.edited for one in keeper.told))
        self._sum_up_sent(store)

    def _sum_up_sent(self, store: Store) -> None:
        texts = (text for keeper in self.club.keepers for text in keeper.member.texts)
        counted = Counter(text.removeprefix("(may repeat) ") for text in texts)
        for key in self.sent:
            name = key.split(":")[0]
            if name.startswith("a"):
                self.tally.alerts_lost += not counted[name]
                continue
            self.tally.digests_doubled += counted[name] > 1
            known = row(store, key).state in ("uncertain", "given_up")
            self.tally.digests_uncertain += not counted[name] and known
            self.tally.digests_missing_unsaid += not counted[name] and not known


async def kill_bots(url: str, log: Path, kills: int, seconds: float, seed: int = 7) -> Tally:
    """Kills the bot as many times, or for as long."""
    async with Double() as double:
        siege, began = Siege(double, url, log, seed), time.monotonic()
        while siege.tally.kills < kills and time.monotonic() - began < seconds:
            await siege.kill_once()
        await siege.hear_out(siege.start())
        siege.tally.seconds = round(time.monotonic() - began, 1)
        return siege.tally


async def kill_servers(folder: Path, kills: int, seconds: float, seed: int = 8) -> Tally:
    """Kills a PostgreSQL of its own under the running bot, as many times, and starts it again on the same files."""
    script = Path(__file__).parents[2] / ".ci" / "postgresql"
    home = Path(tempfile.mkdtemp(prefix="frywire-faults-", dir="/tmp"))
    url = await asyncio.to_thread(_started, [str(script), str(home)])
    try:
        async with Double() as double:
            siege, began = Siege(double, url, folder / "bot.log", seed), time.monotonic()
            bot = siege.start()
            await double.until(lambda: all(keeper.member.texts for keeper in siege.club.keepers), 30)
            while siege.tally.kills < kills and time.monotonic() - began < seconds:
                siege.load()
                siege.put()
                wanted = double.count("sendMessage") + siege.chance.randint(1, 8)
                with suppress(TimeoutError):
                    await double.until(lambda: double.count("sendMessage") >= wanted, 5)  # noqa: B023 - awaited within the turn
                lock = home / "data" / "postmaster.pid"
                await asyncio.to_thread(kill_server, int(lock.read_text().split()[0]))
                for left in (lock, *home.glob(".s.PGSQL.*")):
                    left.unlink()
                siege.load()
                await asyncio.sleep(siege.chance.uniform(0.0, 1.0))
                await asyncio.to_thread(_started, [str(script), "again", str(home)])
                siege.tally.kills += 1
                siege.look()
            await siege.hear_out(bot)
            siege.tally.seconds = round(time.monotonic() - began, 1)
            return siege.tally
    finally:
        subprocess.run([str(script), "stop", str(home)], check=False)


def _started(command: list[str]) -> str:
    return subprocess.run(command, stdout=subprocess.PIPE, check=True, text=True).stdout.strip()


def main() -> int:
    """Runs what was asked for; 1 where anything was lost, doubled or wrong."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--kills", type=int, default=300, help="of the bot, on each database")
    options.add_argument("--server-kills", type=int, default=0)
    options.add_argument("--seconds", type=float, default=150.0, help="at most, for each part")
    options.add_argument("--log", type=Path, help="where what the bots said is kept")
    asked = options.parse_args()
    found: dict[str, Tally] = {}
    with tempfile.TemporaryDirectory() as folder:
        log = asked.log or Path(folder) / "bot.log"
        for kind in ("sqlite", "postgresql") if os.environ.get(SERVER) else ("sqlite",):
            if asked.kills:
                with fresh_database(kind, Path(folder)) as url:
                    found[f"bot killed on {kind}"] = asyncio.run(kill_bots(url, log, asked.kills, asked.seconds))
        if asked.server_kills:
            found["postgresql killed"] = asyncio.run(kill_servers(Path(folder), asked.server_kills, asked.seconds))
    print_table(found)
    print(json.dumps({name: tally.shown() for name, tally in found.items()}))
    return int(any(tally.faults for tally in found.values()))


def print_table(found: dict[str, Tally]) -> None:
    """One column for each part."""
    rows = [tally.shown() for tally in found.values()]
    print(f"{'':24}" + "".join(f"{name:>26}" for name in found))
    for what in rows[0] if rows else ():
        print(f"{what.replace('_', ' '):24}" + "".join(f"{each[what]!s:>26}" for each in rows))


if __name__ == "__main__":
    sys.exit(main())
