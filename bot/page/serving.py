"""Starting the page and stopping it: beside the other front doors in one loop, or alone."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import signal
from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from time import monotonic

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.template import Loader
from tornado.web import Application, RequestHandler

from bot.clock import Clock
from bot.page.base import NothingHere, OwnFile
from bot.page.board_handlers import BoardPage
from bot.page.context import Context
from bot.page.demo import demo_of
from bot.page.demo_handlers import DemoDoor, DemoTurn
from bot.page.desk import Desk
from bot.page.frames import LARGEST_FRAME
from bot.page.guard import Rate
from bot.page.handlers import JoinPage, LogFile, LogPage, Out, SignedIn, You
from bot.page.log_socket import LogSocket
from bot.page.seats import Seats
from bot.page.settings import PageSettingError, PageSettings
from bot.page.shelf_handlers import ShelfPage, ShelfPhoto
from bot.page.talk import Talker
from bot.replies.people import ON_THE_PAGE
from core.club import Visits
from core.store import Store
from core.store.secret import token

LOG = logging.getLogger(__name__)
HERE = Path(__file__).parent
TICK = 20.0
"""Seconds between two looks at what fell due."""
LARGEST_FORM = 16 * 1024
DAY_IN_TICKS = int(86_400 / TICK)


@dataclass(slots=True)
class RunningPage:
    """A page that is being served. `url` is where to open it (in a demonstration, with the link's token)."""

    url: str
    port: int
    context: Context
    _server: HTTPServer
    _ticking: asyncio.Task[None]
    _own_executor: Executor | None

    async def stop(self) -> None:
        """Take no more, let what is being heard be finished, close the sockets."""
        self._server.stop()
        self._ticking.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await self._ticking
        for person in list(self.context.wires):
            for wire in tuple(self.context.wires[person]):
                wire.leave()
        await self.context.call(lambda: None)
        await self._server.close_all_connections()
        if self._own_executor is not None:
            self._own_executor.shutdown(wait=True)


async def serve(
    settings: PageSettings,
    store: Store,
    conversation: Talker,
    clock: Clock,
    demo: bool = False,
    executor: Executor | None = None,
    tick: float = TICK,
) -> RunningPage:
    """Serve the page in this loop. `executor` is the one thread that uses the store and the conversation; without one, its own.

    Raises PageSettingError where the address cannot be had.
    """
    visits: Visits = getattr(conversation, "visits", None) or Visits(store)
    own = ThreadPoolExecutor(1, "frywire-page") if executor is None else None
    context = Context(
        settings=settings,
        visits=visits,
        clock=clock,
        seats=Seats(store, conversation, clock),
        desk=Desk(store, conversation, clock),
        executor=executor or own or ThreadPoolExecutor(1),
        entering=Rate(burst=10, per_second=10 / 600, clock=monotonic),
        entering_at_all=Rate(burst=100, per_second=0.5, clock=monotonic),
        writing=Rate(burst=40, per_second=2, clock=monotonic),
        framing=Rate(burst=200, per_second=20, clock=monotonic),
        asking=Rate(burst=400, per_second=40, clock=monotonic),
        demo=demo_of(store, token()) if demo else None,
    )
    for chair in context.demo.seats if context.demo else ():
        context.seats.known_here(chair.key)
    server = HTTPServer(
        application(context), xheaders=settings.behind_proxy, max_body_size=LARGEST_FORM, max_buffer_size=LARGEST_FRAME + 65_536
    )
    port = _listen(server, settings)
    address = settings.shown_address(port)
    visits.links.setdefault(ON_THE_PAGE, f"{address}/join/")
    visits.place_link = f"{address}/at/{{room}}/{{place}}"
    url = f"{address}/demo/{context.demo.token}" if context.demo else f"{address}/"
    return RunningPage(url, port, context, server, asyncio.create_task(_keep_ticking(context, tick)), own)


def run(
    settings: PageSettings,
    store: Store,
    conversation: Talker,
    clock: Clock,
    demo: bool = False,
    ready: Callable[[str], None] = lambda _: None,
) -> None:
    """Serve until SIGTERM or SIGINT; `ready` is told the address."""

    async def until_told() -> None:
        loop, told = asyncio.get_running_loop(), asyncio.Event()
        for each in (signal.SIGTERM, signal.SIGINT):
            loop.add_signal_handler(each, told.set)
        page = await serve(settings, store, conversation, clock, demo)
        ready(page.url)
        await told.wait()
        await page.stop()

    asyncio.run(until_told())


def application(context: Context) -> Application:
    """Every address of the page."""
    shared = {"context": context}
    routes: list[tuple[str, type[RequestHandler], dict[str, Context]]] = [
        (r"/", LogPage, shared),
        (r"/at/([^/]+)/([^/]+)", LogPage, shared),
        (r"/join", JoinPage, shared),
        (r"/join/([A-Za-z0-9_-]{1,200})", JoinPage, shared),
        (r"/out", Out, shared),
        (r"/you", You, shared),
        (r"/signed-in", SignedIn, shared),
        (r"/wire", LogSocket, shared),
        (r"/file/([A-Za-z0-9_-]{1,64})", LogFile, shared),
        (r"/shelf", ShelfPage, shared),
        (r"/photo/([A-Za-z0-9_-]{1,64})", ShelfPhoto, shared),
        (r"/board", BoardPage, shared),
        (r"/board/([^/]+)", BoardPage, shared),
        (r"/demo", DemoTurn, shared),
        (r"/demo/([A-Za-z0-9_-]{1,64})", DemoDoor, shared),
    ]
    return Application(
        [*routes],
        context=context,
        default_handler_class=NothingHere,
        default_handler_args=shared,
        template_loader=templates(),
        static_path=str(HERE / "static"),
        static_handler_class=OwnFile,
        log_function=_log,
        xsrf_cookies=True,
        xsrf_cookie_kwargs={"httponly": True, "samesite": "Strict", "secure": context.settings.secure},
        websocket_max_message_size=LARGEST_FRAME,
        websocket_ping_interval=25,
    )


@cache
def templates() -> Loader:
    """The pages' templates, compiled once for a process."""
    return Loader(str(HERE / "templates"))


def _log(handler: RequestHandler) -> None:
    """A line for each answer, without the address: it may hold the secret of a link."""
    level = logging.WARNING if handler.get_status() >= 500 else logging.DEBUG
    LOG.log(level, "%s %s %d", handler.request.method, type(handler).__name__, handler.get_status())


async def _keep_ticking(context: Context, seconds: float) -> None:
    ticks = 0
    while True:
        try:
            await context.tick()
            if ticks % DAY_IN_TICKS == 0:
                await context.call(context.desk.tidy)
        except Exception:
            LOG.exception("what falls due could not be looked at; the next look is in %g s", seconds)
        ticks += 1
        await asyncio.sleep(seconds)


def _listen(server: HTTPServer, settings: PageSettings) -> int:
    try:
        sockets = bind_sockets(settings.port, settings.host or None, reuse_port=False)
    except OSError as error:
        raise PageSettingError(
            f"The page cannot listen on {settings.host or 'every address'}, port {settings.port}: {error.strerror or error}. "
            "Choose another with FRYWIRE_PAGE_HOST and FRYWIRE_PAGE_PORT."
        ) from error
    server.add_sockets(sockets)
    return int(sockets[0].getsockname()[1])
