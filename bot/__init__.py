"""The chat bot: reads members' messages, answers them, and serves the front doors."""

import os

# Our matrices are small: several threads only get in one another's way (measured: up to a hundred times slower on a busy machine).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
