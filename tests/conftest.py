"""What holds for every test."""

import compileall
import gc
import os
import sys
import tempfile
from pathlib import Path
from zlib import crc32

import pytest

# Tests start many processes of their own; each would compile the whole of Frywire again where Python is told to keep nothing.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# In a fresh tree everything is compiled once, before the workers start and each would do it.
if "PYTEST_XDIST_WORKER" not in os.environ:
    for package in ("core", "bot", "tests"):
        compileall.compile_dir(Path(__file__).parents[1] / package, quiet=2)

# Looking for garbage as often as Python does by itself takes a tenth of the suite's time.
gc.set_threshold(20_000, 20, 20)

# Hundreds of small databases wait for the disk at every commit; in memory they do not. What a disk does has tests of its own kind.
MEMORY = Path("/dev/shm")
ROOM = 1 << 30
if "TMPDIR" not in os.environ and MEMORY.is_dir() and os.access(MEMORY, os.W_OK):
    found = os.statvfs(MEMORY)
    if found.f_bavail * found.f_frsize > ROOM:
        os.environ["TMPDIR"] = str(MEMORY)
        tempfile.tempdir = None

# These wait for processes and pauses, or compute for long. They are handed out one by one and mixed, in the same way each time, so
# that something computes wherever something waits. All others are handed out a file at a time, which is quicker; files that need a
# library that loads slowly go to the same worker.
ONE_BY_ONE = ("tests/telegram/", "tests/commands/", "tests/faults/", "tests/test_starting", "tests/fuzz/", "tests/conversations/", "tests/store/")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Say which tests go to a worker together, and in which order they come."""
    for item in items:
        if hasattr(getattr(item, "module", None), "scipy"):
            item.add_marker(pytest.mark.xdist_group("scipy"))
        elif not item.nodeid.startswith(ONE_BY_ONE) and not item.get_closest_marker("xdist_group"):
            item.add_marker(pytest.mark.xdist_group(item.nodeid.split("::")[0]))
    items.sort(key=lambda item: 0 if item.get_closest_marker("xdist_group") else crc32(item.nodeid.encode()))


def pytest_collection_finish() -> None:
    """Leave the collected tests, which live until the end, out of every later look for garbage."""
    gc.collect()
    gc.freeze()
