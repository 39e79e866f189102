"""What a browser sends over the socket, read strictly: anything else is trouble with a sentence, never an exception."""

from __future__ import annotations

import base64
import binascii
import json
import re
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from bot.page import words

LONGEST_TEXT = 4000
LARGEST_PHOTO = 8 * 1024 * 1024
LARGEST_FRAME = 12 * 1024 * 1024
"""A photo grows by a third on its way (base64)."""
NOT_AT_ALL = timedelta()
AT_LEAST, AT_MOST = timedelta(minutes=1), timedelta(days=30)
"""A shorter wait is the way itself; a longer one is a clock that was set."""
_ID = re.compile(r"[A-Za-z0-9-]{8,64}")
_TOKEN = re.compile(r"[A-Za-z0-9_:.-]{1,64}")


@dataclass(frozen=True, slots=True)
class Said:
    """A line of text; `waited` is how long it waited for a connection, by the browser's clock."""

    client: str
    text: str
    waited: timedelta = NOT_AT_ALL
    here: str | None = None


@dataclass(frozen=True, slots=True)
class Pressed:
    """A button of log entry `entry`."""

    client: str
    token: str
    label: str
    entry: int
    waited: timedelta = NOT_AT_ALL


@dataclass(frozen=True, slots=True)
class Shown:
    """A photo with its caption."""

    client: str
    content: bytes
    caption: str = ""
    waited: timedelta = NOT_AT_ALL
    here: str | None = None


@dataclass(frozen=True, slots=True)
class Earlier:
    """The browser asks for what stands before log entry `before`."""

    before: int


@dataclass(frozen=True, slots=True)
class Trouble:
    """It cannot be read: the client's id, where there was one, and the sentence for the member."""

    client: str
    why: str


Note = Said | Pressed | Shown
Frame = Note | Earlier | Trouble


def read_frame(message: str | bytes) -> Frame:
    """The frame that a socket message is."""
    try:
        found = json.loads(message)
    except (ValueError, RecursionError):
        return Trouble("", words.NOT_READABLE)
    if not isinstance(found, dict):
        return Trouble("", words.NOT_READABLE)
    if found.get("t") == "earlier":
        return _earlier(found.get("before"))
    client = found.get("id")
    if not isinstance(client, str) or not _ID.fullmatch(client):
        return Trouble("", words.NOT_READABLE)
    return _note(client, found)


def _note(client: str, found: dict[str, Any]) -> Frame:
    waited, here = _waited(found.get("waited")), _place(found.get("here"))
    match found:
        case {"t": "text", "text": str(text)}:
            return _said(client, text, waited, here)
        case {"t": "press", "token": str(token), "label": str(label), "entry": int(entry)} if (
            _TOKEN.fullmatch(token) and 0 < entry < 2**31
        ):
            return Pressed(client, token, label[:80], entry, waited)
        case {"t": "photo", "content": str(content), **rest}:
            return _shown(client, content, rest.get("caption"), waited, here)
        case _:
            return Trouble(client, words.NOT_READABLE)


def _said(client: str, text: str, waited: timedelta, here: str | None) -> Frame:
    if len(text) > LONGEST_TEXT:
        return Trouble(client, words.too_long(len(text), LONGEST_TEXT))
    return Said(client, text, waited, here) if text.strip() else Trouble(client, words.NOTHING_WRITTEN)


def _shown(client: str, content: str, caption: object, waited: timedelta, here: str | None) -> Frame:
    text = caption if isinstance(caption, str) else ""
    if len(text) > LONGEST_TEXT:
        return Trouble(client, words.too_long(len(text), LONGEST_TEXT))
    if len(content) > LARGEST_PHOTO * 4 // 3 + 4:
        return Trouble(client, words.PHOTO_TOO_LARGE)
    try:
        photo = base64.b64decode(content, validate=True)
    except binascii.Error:
        return Trouble(client, words.NOT_READABLE)
    return Shown(client, photo, text, waited, here)


def _earlier(before: object) -> Frame:
    if isinstance(before, int) and not isinstance(before, bool) and 0 < before < 2**31:
        return Earlier(before)
    return Trouble("", words.NOT_READABLE)


def _waited(value: object) -> timedelta:
    """Seconds that a message waited; what cannot be so counts as not at all: a wrong clock is no reason to lose a message."""
    if (
        isinstance(value, bool)
        or not isinstance(value, int | float)
        or not AT_LEAST.total_seconds() <= value <= AT_MOST.total_seconds()
    ):
        return NOT_AT_ALL
    return timedelta(seconds=value)


def _place(value: object) -> str | None:
    return value if isinstance(value, str) and 0 < len(value) <= 80 else None
