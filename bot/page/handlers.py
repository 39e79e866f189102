"""The pages around the log: signing in and out, the log itself, its files, and who is signed in."""

from __future__ import annotations

from urllib.parse import quote, unquote, urlsplit

from bot.page import words
from bot.page.base import Page, RefusalError
from bot.page.frames import LONGEST_TEXT
from bot.page.seats import Entered, NotEntered, Seat

INLINE = frozenset({"image/png", "image/jpeg"})
"""Shown in the page; everything else is a download."""


class LogPage(Page):
    """The log, at a place where its label was scanned."""

    async def get(self, room: str = "", place: str = "") -> None:
        """The log; for who is not signed in, the way in."""
        if self.come_again():
            return
        if self.seat is None:
            self.render("gate.html", heading="Sign in", trouble="", token="", name="")
            return
        here = await self.context.call(self._sit_at, self.seat, unquote(room), unquote(place)) if room else ""
        self.render(
            "log.html",
            seat=self.seat.external,
            member=self.seat.name,
            here=here,
            longest=LONGEST_TEXT,
            oftens=words.OFTEN_KEEPER if self.seat.rooms else words.OFTEN_BUYER,
            usual=await self.context.call(self._usual, self.seat),
        )

    def _usual(self, seat: Seat) -> str:
        """What stands in the empty line as an example: of what the member is likely to write next."""
        if not seat.rooms:
            return words.USUAL_BUYER
        with self.context.visits.read() as visit:
            begun = any(room.fish or room.batches for room in (visit.room(key) for key, _ in seat.rooms))
        return words.USUAL_KEEPER if begun else words.USUAL_START

    def _sit_at(self, seat: Seat, room: str, place: str) -> str:
        """The name of a place in a fishroom that the member keeps; what is written next is written in that fishroom."""
        if room not in dict(seat.rooms):
            raise RefusalError(403, words.NOT_YOUR_PLACE)
        with self.context.visits.read() as visit:
            found = visit.room(room).places.get(place.lower()) or visit.room(room).places.get(place)
        if found is None or found.retired:
            raise RefusalError(404, words.NO_SUCH_PLACE)
        self.context.seats.address(seat, room)
        return found.name


class JoinPage(Page):
    """A one-time link. Looking at it changes nothing (previews look too); the button uses it."""

    async def get(self, code: str = "") -> None:
        """The page with the button."""
        self.render("gate.html", heading="Come in", trouble="", token=code, name=self.seat.name if self.seat else "")

    async def post(self, code: str = "") -> None:
        """Use the link or code that was given."""
        wait = self.context.entering.wait(self.request.remote_ip or "") or self.context.entering_at_all.wait("")
        if wait:
            self.set_header("Retry-After", str(int(wait) + 1))
            raise RefusalError(429, words.too_often(wait))
        code = code_of(code or self.get_body_argument("token", ""))
        name = " ".join(self.get_body_argument("name", "").split())[:40]
        entered = await self.context.call(self.context.seats.enter, code, name, self.seat)
        match entered:
            case NotEntered(why=why):
                self.set_status(403)
                self.render("gate.html", heading="That did not work", trouble=why, token="", name=name)
            case Entered(person=person, secret=secret, replies=replies):
                await self.context.call(self.context.desk.greet, person, replies)
                self.keep_signed_in(secret)
                self.redirect("/", status=303)


class Out(Page):
    """Signing out."""

    async def post(self) -> None:
        """Here, or everywhere; open logs of the session close."""
        everywhere = self.get_body_argument("which", "this") == "all"
        if self.secret:
            person = await self.context.call(self.context.seats.leave, self.secret, everywhere=everywhere)
            if person:
                self.context.part(person)
        self.clear_cookie(self.cookie, path="/", httponly=True, samesite="Strict", secure=self.context.settings.secure)
        self.redirect("/", status=303)


class You(Page):
    """Who is signed in, and the way out."""

    async def get(self) -> None:
        """The page."""
        if self.come_again():
            return
        seat = self.signed_in()
        self.render("me.html", member=seat.name, roles=words.roles(seat.roles, seat.club_name))


class SignedIn(Page):
    """Whether the browser is signed in: what a refused socket cannot say."""

    async def get(self) -> None:
        """204, or 401."""
        self.signed_in()
        self.set_status(204)


class LogFile(Page):
    """A picture or document of the member's own log."""

    async def get(self, file: str) -> None:
        """The file, to be shown or saved, and never run."""
        found = await self.context.call(self.context.desk.file, self.signed_in().person, file)
        if found is None:
            raise RefusalError(404, words.FILE_GONE)
        kind = "inline" if found.media_type in INLINE else "attachment"
        self.set_header("Content-Type", found.media_type)
        self.set_header("Content-Disposition", f"{kind}; filename*=UTF-8''{quote(found.name, safe='')}")
        self.set_header("Content-Security-Policy", "default-src 'none'; sandbox")
        self.write(found.content)


def code_of(given: str) -> str:
    """The code in what somebody put in: the code itself, or the last part of a link to it."""
    text = given.strip()
    if "://" in text:
        text = urlsplit(text).path.rstrip("/").rsplit("/", 1)[-1]
    return text[:200]
