"""A page that is served, a club behind it, and a browser's way of asking without a browser."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Iterator
from datetime import timedelta
from http.cookies import SimpleCookie
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest
from tornado.httpclient import AsyncHTTPClient, HTTPRequest, HTTPResponse
from tornado.websocket import WebSocketClientConnection, websocket_connect

from bot.clock import SetClock
from bot.page import PageSettings, RunningPage, serve
from core.store import Store
from tests.page.echo import Echo
from tests.page.room import MONDAY, begin


@pytest.fixture
def clock() -> SetClock:
    return SetClock(MONDAY)


@pytest.fixture(scope="session")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database in which the club has begun; each test gets a copy."""
    path = tmp_path_factory.mktemp("begun") / "club.sqlite"
    store = Store.open(f"sqlite:///{path}")
    begin(store)
    store.close()
    return path


@pytest.fixture
def store(begun: Path, tmp_path: Path) -> Iterator[Store]:
    copied = shutil.copy(begun, tmp_path / "club.sqlite")
    store = Store.open(f"sqlite:///{copied}")
    yield store
    store.close()


@pytest.fixture
def echo(store: Store, clock: SetClock) -> Echo:
    return Echo(store, clock)


@pytest.fixture
async def page(store: Store, clock: SetClock, echo: Echo) -> AsyncIterator[RunningPage]:
    running = await serve(PageSettings(port=0, names=("fishroom.lan",)), store, echo, clock, tick=3600)
    yield running
    await running.stop()


class Visitor:
    """Somebody with a browser: keeps cookies, fills in forms, opens the socket."""

    def __init__(self, page: RunningPage) -> None:
        self.page = page
        self.cookies: dict[str, str] = {}

    async def get(self, path: str, **headers: str) -> HTTPResponse:
        return await self._ask(HTTPRequest(self._url(path), headers=self._headers(headers), follow_redirects=False))

    async def post(self, path: str, headers: dict[str, str] | None = None, **fields: str) -> HTTPResponse:
        if "_xsrf" not in self.cookies:
            await self.get("/join")
        body = urlencode({"_xsrf": self.cookies["_xsrf"], **fields})
        found = self._headers({"Origin": self.origin, **(headers or {})})
        request = HTTPRequest(self._url(path), method="POST", body=body, headers=found, follow_redirects=False)
        return await self._ask(request)

    async def socket(self, origin: str | None = None, host: str | None = None, after: int = 0) -> WebSocketClientConnection:
        headers = self._headers({"Origin": origin or self.origin, **({"Host": host} if host else {})})
        url = self._url(f"/wire?after={after}").replace("http", "ws", 1)
        return await websocket_connect(HTTPRequest(url, headers=headers))

    @property
    def origin(self) -> str:
        parts = urlsplit(self.page.url)
        return f"{parts.scheme}://{parts.netloc}"

    def _url(self, path: str) -> str:
        return self.origin + path

    def _headers(self, more: dict[str, str]) -> dict[str, str]:
        jar = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        return {**({"Cookie": jar} if jar else {}), **{name.replace("_", "-"): value for name, value in more.items()}}

    async def _ask(self, request: HTTPRequest) -> HTTPResponse:
        answer = await AsyncHTTPClient().fetch(request, raise_error=False)
        for line in answer.headers.get_list("Set-Cookie"):
            for name, morsel in SimpleCookie(line).items():
                self.cookies[name] = morsel.value
        return answer


@pytest.fixture
def visitor(page: RunningPage) -> Visitor:
    return Visitor(page)


def link_for(store: Store, person: str) -> str:
    """A sign-in link's code, as the bot hands it out."""
    with store.write() as tx:
        return tx.sessions.link(person, MONDAY + timedelta(days=1))


@pytest.fixture
async def marit(page: RunningPage, store: Store) -> Visitor:
    """Marit's browser, signed in."""
    browser = Visitor(page)
    await browser.post("/join", token=link_for(store, "marit"))
    return browser


@pytest.fixture
async def oleg(page: RunningPage, store: Store) -> Visitor:
    """Oleg's browser, signed in."""
    browser = Visitor(page)
    await browser.post("/join", token=link_for(store, "oleg"))
    return browser
