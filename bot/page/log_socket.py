"""The socket of one open log: a cursor over the member's lines, and the way by which messages come in."""

from __future__ import annotations

import asyncio
import json
import logging
from typing import Any, cast

from tornado.web import HTTPError
from tornado.websocket import WebSocketClosedError, WebSocketHandler

from bot.page import guard, lines, words
from bot.page.base import check_called_by_name, check_pace, set_headers
from bot.page.context import MOST_WIRES, Context
from bot.page.desk import AT_ONCE
from bot.page.frames import Earlier, Note, Trouble, read_frame
from bot.page.seats import Seat
from core.store.trouble import StoreTrouble

LOG = logging.getLogger(__name__)
NOT_SIGNED_IN = 4401
"""The close code that says so (4000–4999 are an application's own, RFC 6455 section 7.4.2)."""


class LogSocket(WebSocketHandler):
    """An open log in a browser."""

    context: Context
    seat: Seat
    secret: str
    seen: int
    turn: asyncio.Lock

    def initialize(self, context: Context) -> None:
        """Takes what all handlers share."""
        self.context = context
        self.turn = asyncio.Lock()

    def set_default_headers(self) -> None:
        """Strict headers, also on a refusal."""
        set_headers(self, self.application.settings["context"])

    def check_origin(self, origin: str) -> bool:
        """Only our own page may open it."""
        return guard.from_here(origin, self.request.headers.get("Host", ""), self.context.settings.allowed)

    async def prepare(self) -> None:
        """Name, origin, session, and not too many at once."""
        check_called_by_name(self, self.context)
        check_pace(self, self.context)
        if not self.check_origin(self.request.headers.get("Origin", "")):
            raise HTTPError(403)
        self.secret = self.get_cookie("__Host-frywire" if self.context.settings.secure else "frywire") or ""
        seat = await self.context.call(self.context.seats.seat, self.secret)
        if seat is None:
            raise HTTPError(401)
        if len(self.context.wires[seat.person]) >= MOST_WIRES:
            raise HTTPError(429)
        self.seat = seat
        after = self.get_query_argument("after", "0")
        self.seen = int(after) if after.isascii() and after.isdigit() and len(after) < 16 else 0

    async def open(self, *args: str, **kwargs: str) -> None:
        """The browser is there: it sees what it has not seen."""
        self.context.wires[self.seat.person].add(self)
        await self.push(first=True)

    def on_close(self) -> None:
        """The browser is gone."""
        if hasattr(self, "seat"):
            self.context.wires[self.seat.person].discard(self)

    async def on_message(self, message: str | bytes) -> None:
        """One message after the other: the next is read when this one is done."""
        if self.context.framing.wait(self.seat.person):
            self.close(1008, "too many frames")
            return
        seat = await self.context.call(self.context.seats.seat, self.secret)
        if seat is None:
            self.part()
            return
        self.seat = seat
        match read_frame(message):
            case Trouble(client=client, why=why):
                await self.send({"t": "refused", "id": client, "why": why})
            case Earlier(before=before):
                await self.send_earlier(before)
            case note:
                await self.take(note)

    async def take(self, note: Note) -> None:
        """Hear a message, if they do not come too fast, and say that it was taken once it is safe."""
        wait = self.context.writing.wait(self.seat.person)
        if wait:
            await self.send({"t": "later", "id": note.client, "seconds": round(wait + 0.05, 2), "why": words.BUSY})
            return
        try:
            done = await self.context.call(self.context.desk.hear, self.seat, note)
            why = words.BUSY
        except StoreTrouble as trouble:
            LOG.error("the store: %s", trouble)
            done, why = False, trouble.sentence
        if not done:
            await self.send({"t": "later", "id": note.client, "seconds": 3, "why": why})
            return
        if (farewell := self.context.desk.farewell(self.seat)) is not None:
            await self.send({"t": "farewell", "why": farewell})
            self.context.part(self.seat.person)
            return
        await self.context.push(self.seat.person)
        await self.send({"t": "taken", "id": note.client})
        await self.context.spread()

    async def push(self, *, first: bool = False) -> None:
        """Send the lines this browser has not seen, in order."""
        async with self.turn:
            more = True
            while more:
                found = await self.context.call(self.context.desk.after, self.seat.person, self.seen)
                earlier = self.seen == 0 and bool(found) and found[0].number > 1
                more = len(found) == AT_ONCE and self.seen > 0
                if found or first:
                    said = [lines.wire(self.seat, self.context.clock, line) for line in found]
                    await self.send({"t": "lines", "lines": said, "more": earlier})
                self.seen = found[-1].number if found else self.seen
                first = False

    async def send_earlier(self, before: int) -> None:
        """Send the lines before a number."""
        found = await self.context.call(self.context.desk.before, self.seat.person, before)
        said = [lines.wire(self.seat, self.context.clock, line) for line in found]
        await self.send({"t": "earlier", "lines": said, "more": bool(found) and found[0].number > 1})

    async def send(self, frame: dict[str, Any]) -> None:
        """Send a frame; a browser that has just gone will fetch it when it is back."""
        try:
            await self.write_message(json.dumps(frame, ensure_ascii=False))
        except WebSocketClosedError:
            LOG.debug("a browser went away")

    async def keep_open(self) -> None:
        """A word that the connection is alive; a browser that hears none for long looks for a new one."""
        await self.send({"t": "here"})

    def part(self) -> None:
        """Close it: the session is over."""
        self.close(NOT_SIGNED_IN, "signed out")

    def leave(self) -> None:
        """Close it: the page stops; the browser looks for it again."""
        self.close(1001, "going away")

    def log_exception(self, typ: Any, value: Any, tb: Any) -> None:
        """Log what went wrong, without what was written."""
        if not isinstance(value, HTTPError):
            LOG.error("a socket failed", exc_info=cast(Any, (typ, value, tb)))
