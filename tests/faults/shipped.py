"""The shipped bot in a process of its own, forked from one that has its libraries loaded, so that it can be killed often."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections.abc import Mapping
from multiprocessing.process import BaseProcess
from pathlib import Path

from bot.__main__ import main
from bot.conversation import Conversation
from bot.conversation.message import Incoming, Reply
from bot.telegram import inbox, rate
from tests.telegram.double import TOKEN

_processes = multiprocessing.get_context("forkserver")
_processes.set_forkserver_preload([__name__])


def poison(word: str) -> None:
    """From now on, a message with that word ends the process on the spot, as a fault in a C library does."""
    hear = Conversation.hear

    def deadly(self: Conversation, incoming: Incoming) -> list[Reply]:
        if word in getattr(incoming, "text", ""):
            os.kill(os.getpid(), signal.SIGSEGV)
        return hear(self, incoming)

    Conversation.hear = deadly  # type: ignore[method-assign]
    inbox.CALM = 0.1


def run(arguments: tuple[str, ...], environment: Mapping[str, str], log: str, deadly: str) -> None:
    """`frywire ARGUMENTS` with that environment; what it says goes to the log. The pace of the platform is no subject here."""
    descriptor = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    for stream in (1, 2):
        os.dup2(descriptor, stream)
    os.environ.update(environment)
    rate.BURST = rate.OVERALL_PER_SECOND = 1000
    if deadly:
        poison(deadly)
    sys.exit(main(list(arguments)))


def start(base_url: str, database: str, log: Path, deadly: str = "") -> BaseProcess:
    """`frywire start` against a platform and a database; with a word that is `deadly` to it."""
    arguments = ("start", "--no-page", "--telegram-base-url", base_url)
    environment = {"FRYWIRE_DATABASE": database, "FRYWIRE_TELEGRAM_TOKEN": TOKEN}
    process = _processes.Process(target=run, args=(arguments, environment, str(log), deadly), daemon=True)
    process.start()
    return process
