"""The command line: `frywire SUBCOMMAND`, also `python -m bot SUBCOMMAND`."""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module
from keyword import iskeyword

COMMANDS = {
    "demo": "try Frywire with an invented club: opens it on a page (or in the terminal)",
    "start": "run the club for real, from settings in the environment",
    "invite": "make a one-time invitation into the club (the first one makes the club)",
    "check": "look at settings, database, clock, zones and platform, and say what is wrong",
    "read": "print how messages are read, and record nothing",
    "play": "play conversation files, and compare what was said with what they expect",
    "backup": "write the whole book into one file",
    "restore": "fill an empty database from such a file",
    "import": "bring a keeper's spreadsheet (CSV) into their fishroom",
    "unit": "print a systemd unit that keeps Frywire running",
}
"""Each is a module of bot.commands, imported only when it is called."""


def main(argv: list[str] | None = None) -> int:
    """Run a subcommand; its exit code."""
    argv = sys.argv[1:] if argv is None else argv
    parser = argparse.ArgumentParser(prog="frywire", description="The memory and the order book of a fish breeders' club.")
    parsers = parser.add_subparsers(dest="command", metavar="SUBCOMMAND")
    wanted = next((word for word in argv if not word.startswith("-")), None)
    for name, purpose in COMMANDS.items():
        sub = parsers.add_parser(name, help=purpose, description=purpose[0].upper() + purpose[1:] + ".")
        if name == wanted:
            module = import_module(f"bot.commands.{name}_" if iskeyword(name) else f"bot.commands.{name}")
            module.arguments(sub)
            sub.set_defaults(run=module.run)
    options = parser.parse_args(argv)
    if options.command is None:
        parser.print_help()
        return 0
    return guarded(options)


def guarded(options: argparse.Namespace) -> int:
    """Run it; trouble of the machine or the settings becomes one clear sentence."""
    from bot.settings import SettingError

    try:
        return int(options.run(options) or 0)
    except (SettingError, ValueError) as problem:
        print(f"frywire: {problem}", file=sys.stderr)  # noqa: T201
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as trouble:
        if not _is_of_the_store(trouble):
            raise
        print(f"frywire: {trouble}", file=sys.stderr)  # noqa: T201
        return 3


def _is_of_the_store(trouble: Exception) -> bool:
    from core.store import StoreTrouble  # only now: a command that has no store starts without one

    return isinstance(trouble, StoreTrouble)


if __name__ == "__main__":
    sys.exit(main())
