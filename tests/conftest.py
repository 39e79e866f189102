"""What holds for every test."""

import gc
import os
import sys
import tempfile
from pathlib import Path

import pytest

# Tests start many processes of their own; each would compile the whole of Frywire again where Python is told to keep nothing.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# Hundreds of small databases wait for the disk at every commit; in memory they do not. What a disk does has tests of its own kind.
MEMORY = Path("/dev/shm")
ROOM = 1 << 30
if "TMPDIR" not in os.environ and MEMORY.is_dir() and os.access(MEMORY, os.W_OK):
    found = os.statvfs(MEMORY)
    if found.f_bavail * found.f_frsize > ROOM:
        os.environ["TMPDIR"] = str(MEMORY)
        tempfile.tempdir = None

# Begun first, beside what computes, since it waits for processes and pauses: at the end of the run nothing would fill that time.
WAITING = ("tests/telegram/", "tests/commands/", "tests/faults/", "tests/test_starting.py")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put what waits before what computes, in the written order within each; a library that loads slowly is loaded by one worker."""
    items.sort(key=lambda item: not item.nodeid.startswith(WAITING))
    for item in items:
        if hasattr(getattr(item, "module", None), "scipy"):
            item.add_marker(pytest.mark.xdist_group("scipy"))


def pytest_collection_finish() -> None:
    """Leave the collected tests, which live until the end, out of every later look for garbage."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
