"""`frywire read`: what messages are read as, printed as JSON; nothing is recorded."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from bot.clock import WallClock
from bot.reading.names import Names
from bot.reading.reader import read
from bot.reading.values import as_json


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments to a parser."""
    parser.add_argument("text", nargs="?", help="the message (or use --jsonl)")
    parser.add_argument("--jsonl", action="store_true", help='read lines {"text", "now", "by"} from standard input')
    parser.add_argument("--club", type=Path, help="the club to read against, a JSON file")
    parser.add_argument("--by", default=None, help="who writes (default: the club's first member)")
    parser.add_argument("--now", type=datetime.fromisoformat, default=None, help="the writer's local time (default: now)")


def run(options: argparse.Namespace, names: Names | None = None) -> int:
    """Print the readings of the messages against `--club`, else `names`; 0 on success, 2 where no message is given."""
    if not options.jsonl and options.text is None:
        sys.stderr.write("frywire read: give a message, or --jsonl\n")
        return 2
    if options.club is not None:
        names = Names.from_json(json.loads(options.club.read_text("utf-8")))
    names = names or Names()
    by = options.by or (names.members[0] if names.members else "")
    given = options.now or WallClock().now().astimezone().replace(tzinfo=None)
    lines: Iterable[dict[str, Any]] = _lines(sys.stdin) if options.jsonl else [{"text": options.text}]
    for line in lines:
        moment = datetime.fromisoformat(line["now"]) if "now" in line else given
        reading = read(str(line["text"]), now=moment, by=str(line.get("by", by)), names=names)
        sys.stdout.write(json.dumps(as_json(reading), ensure_ascii=False) + "\n")
    return 0


def command(argv: Sequence[str]) -> int:
    """The command with its arguments as text."""
    parser = argparse.ArgumentParser(prog="frywire read", description=__doc__)
    arguments(parser)
    return run(parser.parse_args(list(argv)))


def _lines(stream: Iterable[str]) -> Iterable[dict[str, Any]]:
    for line in stream:
        if line.strip():
            yield json.loads(line)
