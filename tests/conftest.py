"""What holds for every test."""

import os
import sys
import tempfile
from pathlib import Path

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
