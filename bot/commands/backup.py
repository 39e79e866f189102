"""`frywire backup`: the whole book in one file, consistent while Frywire runs."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from bot.settings import database_url
from core.club.fingerprint import fingerprint
from core.store import Store
from core.store.archive import dump


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("file", type=Path, help="where to write it")


def run(options: argparse.Namespace) -> int:
    """Write the archive, and say what is in it."""
    store = Store.open(database_url(os.environ))
    try:
        done = dump(store, options.file)
        same = fingerprint(store)
    finally:
        store.close()
    print(f"{options.file}: {done.rows.get('journal', 0)} journal entries, {sum(done.rows.values())} rows in all; it replays to {same}.")  # noqa: T201
    return 0
