"""A little real conversation: it writes every message down once, in a database of its own, and answers with what it wrote."""

from __future__ import annotations

import io
import sqlite3
import threading
import time
from collections.abc import Callable
from pathlib import Path

from PIL import Image

from bot.conversation.message import Attachment, Button, Incoming, Other, Picture, Press, Reply, Text


def picture(width: int = 80, height: int = 60, colour: str = "teal") -> bytes:
    """A real PNG."""
    buffer = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(buffer, "PNG")
    return buffer.getvalue()


class Notebook:
    """Writes down what it hears, once per (chat, message, revision), and answers; each takes it `seconds`, twice."""

    def __init__(self, path: Path, seconds: float = 0.0) -> None:
        self.lines = sqlite3.connect(path, check_same_thread=False, isolation_level=None, timeout=10)
        self.lines.execute("PRAGMA journal_mode=WAL")
        self.lines.execute(
            "CREATE TABLE IF NOT EXISTS lines (number INTEGER PRIMARY KEY, person, chat, message, revision, said, heard INTEGER, "
            "UNIQUE (chat, message, revision))"
        )
        self.seconds = seconds
        self.names: dict[str, str] = {}
        self.answers: dict[str, list[Reply]] = {}
        """What to answer to a text, if not what was written."""
        self.fails: dict[str, int] = {}
        """How often a text makes it fail."""
        self.incoming: list[Incoming] = []
        self.arrivals: list[tuple[str, ...]] = []
        self.ticks = 0
        self.on_due: Callable[[], None] = lambda: None
        self.threads: set[int] = set()

    def hear(self, incoming: Incoming) -> list[Reply]:
        self.threads.add(threading.get_ident())
        self.incoming.append(incoming)
        said, revision = _said(incoming)
        if self.fails.get(said, 0) > 0:
            self.fails[said] -= 1
            raise RuntimeError(f"cannot take {said}")
        time.sleep(self.seconds)
        origin = incoming.origin
        self.lines.execute(
            "INSERT INTO lines (person, chat, message, revision, said, heard) VALUES (?, ?, ?, ?, ?, 1) "
            "ON CONFLICT DO UPDATE SET heard = heard + 1",
            (origin.person, origin.chat, origin.message, revision, said),
        )
        time.sleep(self.seconds)
        return self.answers.get(said, [Reply(f"noted: {said}", replaces=isinstance(incoming, Press))])

    def arrive(
        self, door: str, external_id: str, chat: str, shown_name: str, payload: str = "", group: bool = False
    ) -> list[Reply]:
        self.arrivals.append((door, external_id, chat, shown_name, payload, str(group)))
        self.names[external_id] = shown_name
        return [Reply(f"Welcome, {shown_name}.")]

    def person_of(self, door: str, external_id: str) -> str | None:
        return self.names.get(external_id)

    def due(self) -> None:
        self.ticks += 1
        self.on_due()

    @property
    def written(self) -> list[tuple[str, str]]:
        """(chat, said) in the order of writing."""
        return list(self.lines.execute("SELECT chat, said FROM lines ORDER BY number"))

    @property
    def said(self) -> list[str]:
        return [said for _, said in self.written]


def _said(incoming: Incoming) -> tuple[str, int]:
    match incoming:
        case Text():
            return incoming.text, incoming.revision
        case Press():
            return f"press {incoming.token}", 0
        case Picture():
            return f"photo of {len(incoming.content)} bytes: {incoming.caption}", incoming.revision
        case Other():
            return f"a {incoming.what}", 0


def buttons(*labels: str) -> tuple[tuple[Button, ...], ...]:
    """One row of buttons, each with its label as its token."""
    return (tuple(Button(label, label.replace(" ", "-")) for label in labels),)


def image(content: bytes | None = None, name: str = "card.png") -> Attachment:
    return Attachment(name, "image/png", content or picture())
