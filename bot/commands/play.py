"""`frywire play`: conversation files played, each against a fresh club, printed, and compared with what they expect."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path
from typing import TextIO

from bot.play.player import Difference, Played, differences, first_moment, play, rewritten, transcript
from bot.play.script import Script, ScriptError, parse
from bot.play.stage import PlainStage
from core.store import Store


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("files", nargs="+", metavar="FILE", type=Path, help="a conversation file")
    parser.add_argument("--database", metavar="URL", help="play into this (empty) database instead of a temporary one")
    parser.add_argument("--write", action="store_true", help="rewrite the expectations with what was said")
    parser.add_argument("--quiet", action="store_true", help="print only what is not as expected")


def run(options: argparse.Namespace) -> int:
    """Play the files; 1 at the first that is not as expected."""
    for path in options.files:
        try:
            script = parse(path.read_text(encoding="utf-8"))
        except (ScriptError, OSError, UnicodeDecodeError) as problem:
            print(f"{path}: {problem}", file=sys.stderr)  # noqa: T201
            return 2
        played = play_file(script, options.database, None if options.quiet else sys.stdout)
        if options.write:
            path.write_text(rewritten(script, played), encoding="utf-8")
            continue
        missed = [one for step in played for one in differences(step)]
        if missed:
            report(path, missed)
            return 1
    return 0


def play_file(script: Script, database: str | None = None, out: TextIO | None = None) -> list[Played]:
    """Play a script against a fresh club; each step with what came of it."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(database or f"sqlite:///{Path(folder) / 'play.sqlite'}")
        moment = first_moment(script)
        try:
            stage = PlainStage(store, script, moment)
            steps: list[Played] = []
            for played in play(script, stage, moment):
                steps.append(played)
                if out is not None:
                    print("\n".join(transcript(played, script)), file=out)
            return steps
        finally:
            store.close()


def report(path: Path, missed: list[Difference]) -> None:
    """Both sides of everything that differs."""
    for one in missed:
        print(f"\n{path}:{one.line}: not as expected", file=sys.stderr)  # noqa: T201
        print("  expected: " + one.expected.replace("\n", "\n          | "), file=sys.stderr)  # noqa: T201
        print("  said:     " + one.said.replace("\n", "\n          | "), file=sys.stderr)  # noqa: T201
