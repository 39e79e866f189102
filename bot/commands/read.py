"""`frywire read`: how messages are read, as JSON; records nothing. Without `--club` they are read against the club that is set up."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from bot.reading import Names, command


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    command.arguments(parser)


def run(options: argparse.Namespace) -> int:
    """Print the readings."""
    return command.run(options, None if options.club else names_of_the_club(options.by))


def names_of_the_club(by: str | None) -> Names | None:
    """What the member called `by` (left out: the first keeper) writes against in the database; None where there is no club yet."""
    from bot.settings import database_url

    url = database_url(os.environ)
    if url.startswith("sqlite:///") and not Path(url.removeprefix("sqlite:///")).exists():
        return None
    return _names_in(url, by)


def _names_in(url: str, by: str | None) -> Names | None:
    from bot.clock import WallClock  # all of these only where there is a club: reading by itself starts at once
    from bot.conversation import Conversation
    from bot.conversation.conversation import scene_of
    from bot.conversation.message import Origin
    from core.store import Store

    store = Store.open(url)
    try:
        conversation = Conversation(store, WallClock())
        with conversation.visits.read() as visit:
            people = {member.person.name: member for club in visit.tx.clubs.all() for member in visit.tx.clubs.members(club.id)}
            keepers = [name for name, member in people.items() if "keeper" in member.roles]
            name = by if by in people else next(iter([*keepers, *people]), None)
            if name is None:
                return None
            scene = scene_of(visit, Origin(people[name].person.id, "terminal", "read", "0"), conversation)
            return scene.names() if scene else None
    finally:
        store.close()
