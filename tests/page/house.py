"""A whole house for a browser to look at: a club in a database, its page served by a thread, or by a process to be killed."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from pathlib import Path

from bot.clock import WallClock
from bot.conversation import Conversation, start_club
from bot.conversation.arriving import Beginner
from bot.conversation.message import Origin, Text
from bot.page import PageSettings, RunningPage, run, serve
from bot.page.talk import Talker
from core.club import Visits
from core.fishroom.state import Fishroom
from core.store import Store
from tests.page.echo import Echo
from tests.page.room import begin

ROOT = Path(__file__).parents[2]


@dataclass
class House:
    """A club that a page is served for, on its own loop in its own thread."""

    folder: Path
    demo: bool = False
    told: Sequence[str] = ()
    """What the keeper told before anybody looked; without it the small conversation and the small room are there."""
    clock: WallClock = field(default_factory=WallClock)
    running: RunningPage | None = None

    def __post_init__(self) -> None:
        self.store = Store.open(address(self.folder))
        if self.told:
            self.conversation: Talker = Conversation(self.store, self.clock)
            self._begin(Conversation(self.store, self.clock))
        else:
            begin(self.store)
            self.conversation = Echo(self.store, self.clock)
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)

    def _begin(self, conversation: Conversation) -> None:
        """A club as `frywire invite` and its members begin it."""
        people = (Beginner("Marit", ("keeper",)), Beginner("Oleg", ("buyer",)), Beginner("Ana", ("organiser", "buyer")))
        start = partial(start_club, now=self.clock.now(), name="Gravel Lane Cichlid Circle", zone="Europe/Berlin", people=people)
        with self.store.read() as tx:
            begun = tx.clubs.all()
            self.people = {person.name: person for person in tx.people.all()}
        if begun:
            self.club = begun[0]
            return
        self.club, self.people = conversation.do(start)
        for number, text in enumerate(self.told):
            origin = Origin(self.people["Marit"].id, "play", "before", f"told-{number}")
            conversation.hear(Text(origin, text))

    def invitation(self, name: str, role: str = "buyer") -> str:
        """An invitation's link."""
        with self.store.write() as tx:
            soon = self.clock.now() + timedelta(days=14)
            code = tx.invitations.make(self.club.id, [role], "organiser", self.clock.now(), soon, name=name)
        return f"{self.url.rstrip('/')}/join/{code}"

    def room(self) -> Fishroom:
        """Marit's fishroom as its journal says it is."""
        with Visits(self.store).read() as visit:
            return visit.room(visit.tx.clubs.rooms(self.club.id)[0].id)

    def open(self) -> None:
        self._thread.start()
        settings = PageSettings(port=0)
        self.running = self._do(serve(settings, self.store, self.conversation, self.clock, self.demo, tick=0.5))

    def close(self) -> None:
        if self.running:
            self._do(self.running.stop())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()
        self.store.close()

    @property
    def url(self) -> str:
        assert self.running is not None
        return self.running.url

    def _do(self, coroutine):  # type: ignore[no-untyped-def]
        return asyncio.run_coroutine_threadsafe(coroutine, self._loop).result(20)


def address(folder: Path) -> str:
    return f"sqlite:///{folder / 'club.sqlite'}"


def link(store: Store, url: str, person: str) -> str:
    """A sign-in link, as the bot hands it out."""
    with store.write() as tx:
        code = tx.sessions.link(person, WallClock().now() + timedelta(hours=1))
    return f"{url.rstrip('/')}/join/{code}"


@contextlib.contextmanager
def process(folder: Path, port: int, *more: str) -> Iterator[subprocess.Popen[bytes]]:
    """The same house in a process of its own."""
    command = [sys.executable, "-m", "tests.page.house", str(folder), str(port), *more]
    started = subprocess.Popen(command, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, stdout=subprocess.PIPE)
    try:
        assert started.stdout is not None
        assert started.stdout.readline().startswith(b"http")
        yield started
    finally:
        if started.poll() is None:
            started.send_signal(signal.SIGKILL)
        started.wait(10)


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


if __name__ == "__main__":
    here = Store.open(address(Path(sys.argv[1])))
    wall = WallClock()
    talker: Talker = Conversation(here, wall) if "whole" in sys.argv else Echo(here, wall)
    run(PageSettings(port=int(sys.argv[2])), here, talker, wall, ready=lambda url: print(url, flush=True))
