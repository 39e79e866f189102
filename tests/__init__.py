"""The project's tests."""

import os

# As in `bot`: small matrices, one thread.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
