"""`frywire read`: how messages are read, as JSON; records nothing."""

from __future__ import annotations

import argparse

from bot.reading import command


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    command.arguments(parser)


def run(options: argparse.Namespace) -> int:
    """Print the readings."""
    return command.run(options)
