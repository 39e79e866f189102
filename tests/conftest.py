"""What holds for every test."""

import os
import sys

# Tests start many processes of their own; each would compile the whole of Frywire again where Python is told to keep nothing.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
