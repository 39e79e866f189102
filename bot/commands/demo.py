"""`frywire demo`: an invented club with a season behind it, opened on a page, in the terminal, or read from a pipe."""

from __future__ import annotations

import argparse
import os
import stat
import sys
import tempfile
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TextIO

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.conversation.message import Origin, Press, Reply, Text
from bot.play.player import play
from bot.play.season import season
from bot.play.stage import PlainStage
from core.store import Store


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("--terminal", action="store_true", help="talk in the terminal instead of on the page")
    parser.add_argument("--as", dest="name", metavar="NAME", help="whom to be (default: the first keeper)")
    parser.add_argument("--port", type=int, default=0, help="the page's port (default: any free one)")


def run(options: argparse.Namespace) -> int:
    """Play the season into a temporary database, then open the conversation."""
    with tempfile.TemporaryDirectory(prefix="frywire-demo-") as folder:
        store = Store.open(f"sqlite:///{Path(folder) / 'demo.sqlite'}")
        try:
            clock = WallClock()
            ids = seed(store, clock.now())
            conversation = Conversation(store, clock)
            name = options.name or next(iter(ids))
            if name not in ids:
                raise ValueError(f"--as {name}: the demo club has {', '.join(ids)}")
            if brings_words(sys.stdin):
                return piped(conversation, ids[name], sys.stdin)
            if options.terminal:
                return talk(conversation, ids[name], name)
            return page(store, conversation, clock, options.port)
        finally:
            store.close()


def seed(store: Store, now: datetime) -> dict[str, str]:
    """Play the demo season so that it ends now; the ids of its people by name, the keepers first."""
    script, moment = season(now)
    stage = PlainStage(store, script, moment)
    for _ in play(script, stage, moment, stage.leap):
        pass
    stage.leap(now - timedelta(minutes=1))
    stage.unasked()
    return dict(stage.ids)


def brings_words(stdin: TextIO) -> bool:
    """Whether messages come in by a pipe or from a file; a keyboard, or nothing at all (/dev/null), opens the page."""
    return not stat.S_ISCHR(os.fstat(stdin.fileno()).st_mode)


def piped(conversation: Conversation, person: str, lines: Iterable[str]) -> int:
    """One message a line; the replies are printed."""
    for number, line in enumerate(lines, start=1):
        if line.strip():
            show(conversation.hear(Text(Origin(person, "terminal", "demo", f"line {number}"), line.rstrip("\n"))))
    return 0


def talk(conversation: Conversation, person: str, name: str) -> int:
    """A prompt. A button is pressed by typing its label in brackets: [Take back]."""
    digest = conversation.digest(person, "terminal", "demo")
    say(f"You are {name}, a keeper of the invented club. Type messages; press a button as [Label]; an empty line leaves.\n")
    replies = [digest] if digest else [Reply("Good morning. Nothing is due today.")]
    number = 0
    while True:
        show(replies)
        try:
            text = input("> ").strip()
        except EOFError:
            return 0
        if not text:
            return 0
        number += 1
        origin = Origin(person, "terminal", "demo", f"typed {number}")
        token = token_of(replies, text)
        replies = conversation.hear(Press(origin, token) if token else Text(origin, text))


def token_of(replies: Iterable[Reply], text: str) -> str | None:
    """The button that a bracketed label presses."""
    label = text[1:-1].casefold() if text.startswith("[") and text.endswith("]") else None
    buttons = [button for reply in replies for row in reply.buttons for button in row]
    return next((button.token for button in buttons if button.label.casefold() == label), None)


def show(replies: Iterable[Reply]) -> None:
    """Print replies: text, then buttons in brackets, then attachments, which are put beside where one works."""
    for reply in replies:
        say(reply.text)
        for row in reply.buttons:
            say("   " + " ".join(f"[{button.label}]" for button in row))
        for one in reply.attachments:
            path = Path(tempfile.gettempdir()) / f"frywire-{one.name}"
            path.write_bytes(one.content)
            say(f"   ({one.name} is at {path})")
        say("")


def page(store: Store, conversation: Conversation, clock: WallClock, port: int) -> int:
    """Open the page, and say its address."""
    from bot import page as door

    settings = door.PageSettings(port=port)
    door.run(
        settings,
        store,
        conversation,
        clock,
        demo=True,
        ready=lambda url: say(f"The demo club is open at {url}\n(Ctrl-C ends it.)"),
    )
    return 0


def say(text: str) -> None:
    """Print a line at once."""
    print(text, flush=True)  # noqa: T201
