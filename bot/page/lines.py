"""How a message becomes what the conversation takes, and lines of the log become what a browser takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot.clock import Clock
from bot.conversation.message import Incoming, Origin, Picture, Press, Reply, Text
from bot.page import words
from bot.page.frames import Note, Pressed, Said, Shown
from bot.page.photo import thumbnail
from bot.page.seats import DOOR, Seat
from core.store.page import PageEntry, PageFile
from core.store.secret import token

Written = tuple[PageEntry, Sequence[PageFile]]


def incoming(seat: Seat, note: Note, now: datetime) -> Incoming:
    """The message as the conversation takes it: the browser's id is the message's id."""
    here = None if isinstance(note, Pressed) else note.here
    written = now - note.waited if note.waited else None
    origin = Origin(seat.person, DOOR, seat.external, note.client, here=here, written=written)
    match note:
        case Said(text=text):
            return Text(origin, text)
        case Pressed(token=pressed):
            return Press(origin, pressed)
        case Shown(content=content, caption=caption):
            return Picture(origin, content, caption)


def own(note: Note, now: datetime) -> Written:
    """The member's own line, with a small copy of a photo."""
    line = PageEntry("member", now - note.waited, client=note.client)
    match note:
        case Said(text=text):
            return replace(line, words=text), ()
        case Pressed(token=pressed, label=label, entry=entry):
            return replace(line, words=words.pressed(label), buttons=(((label, pressed),),), about=entry), ()
        case Shown(content=content, caption=caption):
            small = thumbnail(content)
            files = (PageFile(token(), words.PHOTO_NAME, "image/jpeg", small),) if small else ()
            return replace(line, words=caption if files else caption or words.PHOTO, files=_listed(files)), files


def answer(reply: Reply, now: datetime) -> Written:
    """A line of the bot with its buttons and files."""
    files = tuple(PageFile(token(), each.name, each.media_type, each.content) for each in reply.attachments)
    buttons = tuple(tuple((button.label, button.token) for button in row) for row in reply.buttons)
    return PageEntry("bot", now, reply.text, buttons=buttons, files=_listed(files)), files


def wire(seat: Seat, clock: Clock, line: PageEntry) -> dict[str, Any]:
    """A log line as the browser takes it, its day and hour in the member's zone and manner."""
    local = line.at.astimezone(seat.zone)
    style = seat.style(clock)
    found: dict[str, Any] = {
        "n": line.number,
        "who": line.side,
        "at": line.at.isoformat(timespec="seconds"),
        "day": style.day(local.date()),
        "clock": style.clock(local.time()),
        "text": line.words,
        "alone": line.part == 0,
        "files": [{"id": id_, "name": name, "type": kind, "size": size} for id_, name, kind, size in line.files],
    }
    if line.client:
        found["client"] = line.client
    if line.side == "bot":
        found["buttons"] = line.buttons
    elif line.buttons:
        found["token"] = line.buttons[0][0][1]
    return found | {key: value for key, value in (("instead", line.instead_of), ("about", line.about)) if value}


def _listed(files: Sequence[PageFile]) -> tuple[tuple[str, str, str, int], ...]:
    return tuple((file.id, file.name, file.media_type, len(file.content)) for file in files)
