"""What goes into a conversation and what comes out of it, the same for every front door."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Origin:
    """Where something came from. `message` is the platform's id of the message (of the press, for a button) within `chat`.

    `door` is "telegram", "page", "terminal" or "play"; `group` says that others read along; `here` is a place whose label was
    scanned to open the conversation. `written` is when the member wrote it (with its zone), where the door knows that it waited:
    "today" in it is that day.
    """

    person: str
    door: str
    chat: str
    message: str
    group: bool = False
    here: str | None = None
    written: datetime | None = None


@dataclass(frozen=True, slots=True)
class Text:
    """A member wrote something; `revision` 1, 2 … are edits of the same message."""

    origin: Origin
    text: str
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Press:
    """A member pressed a button, by the token it carries."""

    origin: Origin
    token: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A member sent a photo, with or without a caption. `content` is the file as it came (not yet made safe).

    `file` is the platform's own name of it, where the platform keeps it. `more` says that the caption came with another photo of the
    same album and was heard with that one: it says what this one shows, and reports nothing a second time.
    """

    origin: Origin
    content: bytes
    caption: str = ""
    revision: int = 0
    file: str | None = None
    more: bool = False


@dataclass(frozen=True, slots=True)
class Other:
    """Something that cannot be read: a voice note, a sticker, a document."""

    origin: Origin
    what: str


Incoming = Text | Press | Picture | Other


@dataclass(frozen=True, slots=True)
class Button:
    """A button: its label, and the token (at most 40 url-safe characters) that comes back in a `Press`."""

    label: str
    token: str


@dataclass(frozen=True, slots=True)
class Attachment:
    """A picture ("image/png", "image/jpeg") or a document ("application/pdf", "text/calendar", "text/csv", …)."""

    name: str
    media_type: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Drawing:
    """An attachment that is still to be drawn: `draw` makes its content once the transaction is over."""

    name: str
    media_type: str
    draw: Callable[[], bytes]


@dataclass(frozen=True, slots=True)
class Reply:
    """One message of the bot: plain text (front doors escape it), rows of buttons, attachments sent after it.

    `replaces` asks the front door to put this text in place of the message whose button was pressed, where it can.
    """

    text: str
    buttons: tuple[tuple[Button, ...], ...] = ()
    attachments: tuple[Attachment, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    """Still to be drawn; front doors never see any."""
    replaces: bool = False


def drawn(replies: Iterable[Reply]) -> list[Reply]:
    """The replies with everything drawn: what front doors get holds attachments only."""
    return [
        replace(
            reply,
            attachments=(*reply.attachments, *(Attachment(one.name, one.media_type, one.draw()) for one in reply.drawings)),
            drawings=(),
        )
        for reply in replies
    ]
