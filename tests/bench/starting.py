"""How long `frywire read hello` takes from a standing start, against the bare interpreter and one import of the date library."""

from __future__ import annotations

import os
import subprocess
import sys
from tempfile import TemporaryDirectory

from tests.bench.figures import Line, Study, typical

HEAVY = ("sqlalchemy", "matplotlib", "scipy", "numpy", "reportlab", "telegram", "tornado", "alembic", "PIL")
"""What reading a message does without, and so must not wait for."""
PROBE = (
    "import sys; from bot.__main__ import main; main(['read', 'hello']); "
    f"print([name for name in {HEAVY!r} if name in sys.modules])"
)


def run(*arguments: str) -> str:
    """What a fresh interpreter prints where no club is set up."""
    settings = {name: value for name, value in os.environ.items() if not name.startswith("FRYWIRE_")}
    with TemporaryDirectory() as nowhere:
        settings["XDG_DATA_HOME"] = nowhere
        done = subprocess.run([sys.executable, *arguments], capture_output=True, text=True, check=True, env=settings)
    return done.stdout


def loaded() -> list[str]:
    """Heavy libraries that reading a message loads all the same."""
    printed = run("-c", PROBE).splitlines()[-1]
    return [name for name in HEAVY if f"'{name}'" in printed]


def study(rounds: int = 7) -> Study:
    """Some starts of each, in turn."""
    ours = typical([lambda: run("-m", "bot", "read", "hello")] * rounds)
    bare = typical([lambda: run("-c", "pass")] * rounds)
    dates = typical([lambda: run("-c", "import dateparser")] * rounds)
    needless = ", ".join(loaded()) or "nothing heavy"
    line = Line(
        "start-up: frywire read hello",
        f"{ours:.2f} s",
        f"bare Python {bare:.2f} s, with dateparser {dates:.2f} s; loads {needless}",
        "imports",
    )
    return Study([line], {"startup_s": round(ours, 3)})
