"""The bot in a process of its own, to be killed."""

from __future__ import annotations

import logging
import multiprocessing
import sys
from multiprocessing.process import BaseProcess
from pathlib import Path

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.telegram import Settings, rate, run
from core.store import Store
from tests.telegram.double import TOKEN
from tests.telegram.notebook import Notebook

_processes = multiprocessing.get_context("forkserver")
_processes.set_forkserver_preload([__name__])


def serve_club(base_url: str, folder: str, seconds: float | None, log: bool) -> None:
    """Runs the bot on the club in `folder` until it is told to stop: with a notebook so slow, or (None) the real conversation."""
    if log:
        sys.stderr = (Path(folder) / "log").open("a")
        logging.basicConfig(level=logging.DEBUG)
    rate.BURST = rate.OVERALL_PER_SECOND = 1000
    store = Store.open(f"sqlite:///{folder}/club.sqlite")
    clock = WallClock()
    listener = Conversation(store, clock) if seconds is None else Notebook(Path(folder) / "notebook.sqlite", seconds)
    run(Settings(TOKEN, base_url, tick_seconds=0.1), store, listener, clock)
    store.close()


def start(base_url: str, folder: Path, seconds: float | None = 0.0, *, log: bool = False) -> BaseProcess:
    """A new process with the bot in it."""
    process = _processes.Process(target=serve_club, args=(base_url, str(folder), seconds, log), daemon=True)
    process.start()
    return process
