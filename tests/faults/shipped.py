"""The shipped bot in a process of its own, forked from one that has its libraries loaded, so that it can be killed often."""

from __future__ import annotations

import multiprocessing
import os
import sys
from collections.abc import Mapping
from multiprocessing.process import BaseProcess
from pathlib import Path

import bot.commands.start
import bot.conversation
import bot.telegram.application  # noqa: F401 - loaded before the fork
from bot.__main__ import main
from bot.telegram import rate
from tests.telegram.double import TOKEN

_processes = multiprocessing.get_context("forkserver")
_processes.set_forkserver_preload([__name__])


def run(arguments: tuple[str, ...], environment: Mapping[str, str], log: str) -> None:
    """`frywire ARGUMENTS` with that environment; what it says goes to the log. The pace of the platform is no subject here."""
    descriptor = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    for stream in (1, 2):
        os.dup2(descriptor, stream)
    os.environ.update(environment)
    rate.BURST = rate.OVERALL_PER_SECOND = 1000
    sys.exit(main(list(arguments)))


def start(base_url: str, database: str, log: Path) -> BaseProcess:
    """`frywire start` against a platform and a database."""
    arguments = ("start", "--no-page", "--telegram-base-url", base_url)
    environment = {"FRYWIRE_DATABASE": database, "FRYWIRE_TELEGRAM_TOKEN": TOKEN}
    process = _processes.Process(target=run, args=(arguments, environment, str(log)), daemon=True)
    process.start()
    return process
