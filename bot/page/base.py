"""What every answer of the page has in common: given only under our own names, with strict headers, and no secrets."""

from __future__ import annotations

import logging
from typing import Any, cast
from urllib.parse import quote, urlsplit

from tornado.web import HTTPError, RequestHandler, StaticFileHandler

from bot.page import guard, words
from bot.page.context import Context
from bot.page.seats import KEPT_IN, Seat

LOG = logging.getLogger(__name__)
_SENTENCES = {
    401: words.NOT_SIGNED_IN,
    403: words.WRONG_PLACE,
    404: words.NOTHING_HERE,
    405: words.NOTHING_HERE,
    421: words.WRONG_NAME,
}
_HEADINGS = {401: "Not signed in", 403: "Not accepted", 404: "Nothing here", 421: "Unknown name", 429: "Too often"}


class RefusalError(HTTPError):
    """An answer other than the page that was asked for, with its own sentence."""

    def __init__(self, status: int, sentence: str) -> None:
        super().__init__(status)
        self.sentence = sentence


def check_called_by_name(handler: RequestHandler, context: Context) -> None:
    """Refuse a request that calls us by a name that is not ours, or comes from another page."""
    netloc = handler.request.headers.get("Host", "")
    if not guard.called_by_name(netloc, context.settings.allowed):
        raise RefusalError(421, words.WRONG_NAME)
    origin = handler.request.headers.get("Origin")
    if origin not in (None, "null") and not guard.from_here(origin, netloc, context.settings.allowed):
        raise RefusalError(403, words.WRONG_PLACE)
    if handler.request.headers.get("Sec-Fetch-Site") == "cross-site" and handler.request.method not in {"GET", "HEAD"}:
        raise RefusalError(403, words.WRONG_PLACE)


def check_pace(handler: RequestHandler, context: Context) -> None:
    """Refuse who asks for more pages than anybody could read: each costs the one thread that also hears the members."""
    wait = context.asking.wait(handler.request.remote_ip or "")
    if wait:
        handler.set_header("Retry-After", str(int(wait) + 1))
        raise RefusalError(429, words.too_fast(wait))


def set_headers(handler: RequestHandler, context: Context) -> None:
    """The strict headers; a foreign name is never echoed in them."""
    netloc = handler.request.headers.get("Host", "")
    ours = netloc if guard.called_by_name(netloc, context.settings.allowed) else "localhost"
    for name, value in guard.headers(ours).items():
        handler.set_header(name, value)
    handler.clear_header("Server")


class Page(RequestHandler):
    """A page for somebody, signed in or not."""

    context: Context
    seat: Seat | None = None

    def initialize(self, context: Context) -> None:
        """Takes what all handlers share."""
        self.context = context

    def set_default_headers(self) -> None:
        """Strict headers, on every answer."""
        set_headers(self, self.application.settings["context"])

    async def prepare(self) -> None:
        """Host and origin first, then who it is."""
        check_called_by_name(self, self.context)
        check_pace(self, self.context)
        self.seat = await self.context.call(self.context.seats.seat, self.secret)

    @property
    def cookie(self) -> str:
        """The session cookie's name; over TLS one that no other host can set."""
        return "__Host-frywire" if self.context.settings.secure else "frywire"

    @property
    def secret(self) -> str | None:
        """The session's secret, as the browser sent it."""
        found = self.get_cookie(self.cookie)
        return found if found and len(found) <= 200 else None

    def keep_signed_in(self, secret: str) -> None:
        """Give the browser its session: not readable by scripts, not sent along from other sites."""
        self.set_cookie(
            self.cookie,
            secret,
            path="/",
            httponly=True,
            samesite="Strict",
            secure=self.context.settings.secure,
            max_age=int(KEPT_IN.total_seconds()),
        )

    def signed_in(self) -> Seat:
        """Who sits here; refuses who does not."""
        if self.seat is None:
            raise RefusalError(401, words.NOT_SIGNED_IN)
        return self.seat

    def come_again(self) -> bool:
        """A visit that follows a link from elsewhere brings no strict cookie: send it through a page of ours, once.

        Returns whether the answer was given that way.
        """
        if self.seat is not None or self.secret or self.get_query_argument("again", None):
            return False
        parts = urlsplit(self.request.uri or "/")
        query = f"{parts.query}&again=1" if parts.query else "again=1"
        self.render("again.html", address=f"{quote(parts.path, safe='/%')}?{query}")
        return True

    def get_template_namespace(self) -> dict[str, Any]:
        """What every template may use."""
        namespace = super().get_template_namespace()
        seat = self.seat
        return namespace | {
            "static": self.static_url,
            "club": seat.club_name if seat else "Frywire",
            "links": self.links(),
            "demo": self.context.demo.bar(seat, self.context.clock) if self.context.demo and seat else None,
        }

    def links(self) -> list[tuple[str, str, bool]]:
        """The pages this visitor may see: address, label, whether it is this one."""
        seat = self.seat
        found = [("/", words.LOG), ("/shelf", words.SHELF)]
        found += [("/board", words.BOARD)] if seat and seat.rooms else []
        found += [("/you", words.SELF)] if seat else []
        here = f"/{self.request.path.strip('/').split('/')[0]}"
        return [(address, label, address == here) for address, label in found]

    def write_error(self, status_code: int, **kwargs: Any) -> None:
        """A sentence instead of a page; never a trace."""
        error = kwargs["exc_info"][1] if "exc_info" in kwargs else None
        sentence = error.sentence if isinstance(error, RefusalError) else _SENTENCES.get(status_code, words.FAILED)
        if status_code == 421:
            self.set_header("Content-Type", "text/plain; charset=utf-8")
            self.finish(sentence)
            return
        self.render("notice.html", heading=_HEADINGS.get(status_code, "It did not work"), sentence=sentence)

    def log_exception(self, typ: Any, value: Any, tb: Any) -> None:
        """Log what went wrong without the address, which may hold a link's secret."""
        if not isinstance(value, HTTPError):
            LOG.error("%s failed", type(self).__name__, exc_info=(typ, value, tb))


class NothingHere(Page):
    """Any address that is none of ours."""

    async def prepare(self) -> None:
        """Refuse, after the name was checked."""
        await super().prepare()
        raise RefusalError(404, words.NOTHING_HERE)


class OwnFile(StaticFileHandler):
    """Our own style sheets, scripts and drawings."""

    def prepare(self) -> None:
        """Our own names only."""
        check_called_by_name(self, cast(Context, self.application.settings["context"]))

    def set_default_headers(self) -> None:
        """Strict headers here too."""
        set_headers(self, self.application.settings["context"])

    def set_extra_headers(self, path: str) -> None:
        """They may be kept, and are asked about each time."""
        self.set_header("Cache-Control", "no-cache")

    def write_error(self, status_code: int, **kwargs: Any) -> None:
        """A sentence."""
        self.set_header("Content-Type", "text/plain; charset=utf-8")
        self.finish(_SENTENCES.get(status_code, words.FAILED))

    def log_exception(self, typ: Any, value: Any, tb: Any) -> None:
        """As on every page."""
        if not isinstance(value, HTTPError):
            LOG.error("a file of the page failed", exc_info=(typ, value, tb))
