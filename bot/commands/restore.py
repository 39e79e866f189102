"""`frywire restore`: fills an empty database (SQLite or PostgreSQL) from a backup file, and checks that it replays alike."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from bot.settings import database_url
from core.club.fingerprint import fingerprint
from core.store import Store
from core.store.archive import restore


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("file", type=Path, help="the backup file")


def run(options: argparse.Namespace) -> int:
    """Restore, and say what is there now."""
    store = Store.open(database_url(os.environ))
    try:
        done = restore(options.file, store)
        same = fingerprint(store)
    finally:
        store.close()
    print(f"Restored {done.rows.get('journal', 0)} journal entries, {sum(done.rows.values())} rows in all; it replays to {same}.")  # noqa: T201
    return 0
