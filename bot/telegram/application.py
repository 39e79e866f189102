"""The Telegram front door put together: started, kept going, stopped without losing anything."""

from __future__ import annotations

import asyncio
import logging
import signal
from collections.abc import AsyncIterator, Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from datetime import datetime, timedelta
from http import HTTPStatus
from typing import Any, TypeVar

from telegram import Update
from telegram.error import Conflict, InvalidToken, TelegramError
from telegram.ext import Application, ApplicationBuilder, ContextTypes, ExtBot, TypeHandler
from telegram.request import HTTPXRequest

from bot.clock import Clock
from bot.conversation.setting_aside import way_to
from bot.telegram.commands import set_menus
from bot.telegram.handling import Handling, Listener
from bot.telegram.hiding import cleaned, hide
from bot.telegram.inbox import Inbox, Run
from bot.telegram.incoming import DOOR
from bot.telegram.order import PerChat
from bot.telegram.outgoing import Speaker
from bot.telegram.rate import Courtesy
from bot.telegram.sending import Courier
from bot.telegram.settings import Settings
from bot.telegram.trouble import TokenRejectedError
from core.store import Store, StoreTrouble
from core.store.holds import LEASE

log = logging.getLogger(__name__)
UPDATES = ("message", "edited_message", "callback_query", "my_chat_member")
"""What the bot asks the platform for; always said, since the platform remembers the last wish."""
RETENTION = timedelta(hours=24)
"""How long the platform keeps what a bot did not fetch."""
PRUNING = timedelta(hours=6)
"""How often what was handled long ago is forgotten."""
GRACE = 5.0
"""Seconds that what is being handled has to come to its end when the bot stops."""
_NOT_ACCEPTED = (HTTPStatus.UNAUTHORIZED, HTTPStatus.NOT_FOUND)
_CONNECTIONS = 64
_POLLING_CONNECTIONS = 2
"""A stop that breaks off a call while it is given its connection may leave that connection taken; the last call, which confirms what
was heard, then needs another one, or waits in vain for as long as a call may.
"""
_SLOWEST_START = 30.0

Result = TypeVar("Result")
_App = Application[ExtBot[int], ContextTypes.DEFAULT_TYPE, dict[Any, Any], dict[Any, Any], dict[Any, Any], Any]


class Polls(HTTPXRequest):
    """Calls for updates. The library stops polling for good where the token is not accepted, once, which a server that is just
    restarting may say; here it is trouble that passes.
    """

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:
        """See `BaseRequest.do_request`."""
        code, payload = await super().do_request(*args, **kwargs)
        return HTTPStatus.SERVICE_UNAVAILABLE if code in _NOT_ACCEPTED else code, payload


class Telegram:
    """The front door. `start` returns at once and goes on trying until the platform is reached; `ready` waits for that."""

    def __init__(self, settings: Settings, store: Store, conversation: Listener, clock: Clock) -> None:
        hide(settings.token, settings.webhook.secret if settings.webhook else None)
        self.settings = settings
        self.store = store
        self.conversation = conversation
        self.clock = clock
        self._thinking = ThreadPoolExecutor(1, thread_name_prefix="conversation")
        self._keeping = ThreadPoolExecutor(1, thread_name_prefix="telegram-store")
        self._reckoning = ThreadPoolExecutor(1, thread_name_prefix="due")
        self.think, self.run = _runner(self._thinking), _runner(self._keeping)
        self.reckon = _runner(self._reckoning)
        """What falls due has a thread of its own: a morning of many digests must not hold up an answer."""
        self.inbox = Inbox(store, clock, self.run, settings.token.split(":")[0], settings.worker)
        self.order = PerChat(self._acknowledge)
        self.app = self._build()
        speaker = Speaker(self.app.bot)
        self.courier = Courier(store, clock, Speaker(self.app.bot, pauses=(), files=speaker.files), self.run, settings.worker)
        self.handling = Handling(
            store, clock, conversation, self.inbox, speaker, self.think, self.run, self.courier.wake
        )
        self.app.add_handler(TypeHandler(Update, self.handling.handle))
        self.app.add_error_handler(_log_error)
        self._starting: asyncio.Task[None] | None = None
        self._ticking: asyncio.Task[None] | None = None
        self._holding: asyncio.Task[None] | None = None
        self._pruned: datetime | None = None

    def _build(self) -> _App:
        return (
            ApplicationBuilder()
            .token(self.settings.token)
            .base_url(self.settings.api)
            .base_file_url(self.settings.files)
            .update_queue(self.inbox)
            .job_queue(None)
            .concurrent_updates(self.order)
            .rate_limiter(Courtesy())
            .request(self._requests(_CONNECTIONS))
            .get_updates_request(self._requests(_POLLING_CONNECTIONS, Polls))
            .build()
        )

    def _requests(self, connections: int, kind: type[HTTPXRequest] = HTTPXRequest) -> HTTPXRequest:
        """Calls the platform. A Bot API server of one's own, reached by plain http, has no certificate to check."""
        return kind(
            connection_pool_size=connections,
            connect_timeout=10,
            read_timeout=20,
            write_timeout=20,
            media_write_timeout=60,
            pool_timeout=20,
            httpx_kwargs={"verify": not self.settings.base_url.startswith("http://")},
        )

    async def _acknowledge(self, update: Update) -> None:
        await self.handling.acknowledge(update)

    # --- start and stop -----------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Begins to reach for the platform."""
        self._starting = asyncio.create_task(self._start(), name="telegram")
        self._starting.add_done_callback(_log_failed_start)

    @property
    def link(self) -> str:
        """What an invitation's code is put behind, once the bot is `ready`."""
        return f"https://t.me/{self.app.bot.username}?start="

    async def ready(self) -> None:
        """Waits until the bot hears and speaks. Raises `TokenRejectedError`."""
        if self._starting:
            await asyncio.shield(self._starting)

    async def _start(self) -> None:
        try:
            await self._begin()
        except InvalidToken:
            raise TokenRejectedError from None

    async def _begin(self) -> None:
        await self._reach()
        await self.run(self._warn_of_gap)
        await self.app.start()
        await self.handling.alarm.look()
        await self.inbox.leave_all()
        await self.inbox.refill(self.app.bot)
        await self.courier.start()
        self._ticking = asyncio.create_task(self._keep_ticking(), name="tick")
        self._holding = asyncio.create_task(self._keep_holding(), name="holds")
        await set_menus(self.app.bot)
        await self._listen()
        log.info("The bot @%s listens.", self.app.bot.username)

    async def _reach(self) -> None:
        """Tries until the platform answers: a bot that is started before the network must not give up."""
        pause = 1.0
        while True:
            try:
                await self.app.initialize()
                return
            except InvalidToken:
                raise
            except TelegramError as error:
                log.warning("Telegram cannot be reached yet: %s", error)
            await asyncio.sleep(pause)
            pause = min(_SLOWEST_START, pause * 2)

    async def _listen(self) -> None:
        assert self.app.updater is not None  # noqa: S101 - we build with one
        webhook = self.settings.webhook
        if webhook is None:
            await self.app.updater.start_polling(
                bootstrap_retries=-1, allowed_updates=UPDATES, drop_pending_updates=False, error_callback=_polling_trouble
            )
        else:
            await self.app.updater.start_webhook(
                listen=webhook.listen,
                port=webhook.port,
                url_path=webhook.path,
                webhook_url=webhook.url,
                secret_token=webhook.secret,
                bootstrap_retries=-1,
                allowed_updates=UPDATES,
                drop_pending_updates=False,
            )

    async def stop(self) -> None:
        """Stops hearing, gives what is being handled and sent a moment to come to its end, and leaves the rest for later."""
        if self._starting and not self._starting.done():
            self._starting.cancel()
            with suppress(asyncio.CancelledError, Exception):
                await self._starting
        for task in (self._ticking, self._holding):
            if task:
                task.cancel()
                with suppress(asyncio.CancelledError):
                    await task
        if self.app.updater and self.app.updater.running:
            await self.app.updater.stop()
        await self.order.drain(GRACE)
        await self.courier.stop(GRACE)
        if self._holding:
            with suppress(StoreTrouble):
                await self.inbox.leave_all()
        if self.app.running:
            await self.app.stop()
        with suppress(TelegramError):
            await self.app.shutdown()
        for pool in (self._thinking, self._reckoning, self._keeping):
            pool.shutdown()

    # --- what happens by itself ---------------------------------------------------------------------------------------

    async def _keep_ticking(self) -> None:
        """Ticks as long as the bot runs. It counts the seconds by itself: a scheduler that goes by the wall clock would stand still for
        as long as that clock is put back.
        """
        while True:
            try:
                await self.tick()
            except Exception as error:
                log.error("A tick came to nothing; the next is in %g s: %s", self.settings.tick_seconds, way_to(error))
            await asyncio.sleep(self.settings.tick_seconds)

    async def _keep_holding(self) -> None:
        """Tells the other workers, as long as this one lives, which chats it is at; a tick may take longer than a hold lasts."""
        while True:
            await asyncio.sleep(LEASE.total_seconds() / 5)
            try:
                await self.inbox.keep_up()
            except StoreTrouble as trouble:
                log.warning("Which chats are in hand could not be written down: %s", trouble)

    async def tick(self) -> None:
        """Has what fell due put among the deliveries, sends it, and takes up what was left for later."""
        try:
            await self.reckon(self.conversation.due)
        except StoreTrouble as trouble:
            await self.handling.alarm.raised(trouble)
        except Exception as error:
            log.error("What fell due could not be reckoned; it is tried again at the next tick: %s", way_to(error))
        self.courier.wake()
        await self.handling.alarm.over()
        await self.inbox.refill(self.app.bot)
        await self._prune()

    async def _prune(self) -> None:
        if self._pruned is None or self.clock.now() - self._pruned > PRUNING:
            self._pruned = self.clock.now()
            await self.inbox.prune()

    async def settled(self) -> None:
        """Waits until everything that arrived is handled and everything due is sent."""
        await self.inbox.join()
        await self.courier.settled()

    def _warn_of_gap(self) -> None:
        with self.store.read() as tx:
            last = tx.inbox.last_received(DOOR)
        if last and self.clock.now() - last > RETENTION:
            log.warning("Nothing came in since %s; Telegram keeps messages for a day, so older ones may be lost.", last)


@asynccontextmanager
async def serve(settings: Settings, store: Store, conversation: Listener, clock: Clock) -> AsyncIterator[Telegram]:
    """The front door, open within the block and running beside whatever else is in the loop."""
    telegram = Telegram(settings, store, conversation, clock)
    telegram.start()
    try:
        yield telegram
    finally:
        await telegram.stop()


def run(settings: Settings, store: Store, conversation: Listener, clock: Clock) -> None:
    """Runs the front door until SIGTERM or SIGINT. Raises `TokenRejectedError`."""
    asyncio.run(_until_told(settings, store, conversation, clock))


async def _until_told(settings: Settings, store: Store, conversation: Listener, clock: Clock) -> None:
    told = asyncio.Event()
    loop = asyncio.get_running_loop()
    for each in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(each, told.set)
    async with serve(settings, store, conversation, clock) as telegram:
        waiting = asyncio.create_task(told.wait())
        ready = asyncio.create_task(telegram.ready())
        await asyncio.wait((waiting, ready), return_when=asyncio.FIRST_COMPLETED)
        if ready.done():
            ready.result()
        await waiting


def _runner(pool: ThreadPoolExecutor) -> Run:
    def run_in(work: Callable[[], Result]) -> Awaitable[Result]:
        return asyncio.get_running_loop().run_in_executor(pool, work)

    return run_in


def _log_failed_start(starting: asyncio.Task[None]) -> None:
    if not starting.cancelled() and (error := starting.exception()):
        log.error("Telegram is not listened to: %s", error)


async def _log_error(update: object, context: ContextTypes.DEFAULT_TYPE) -> None:
    """Whatever went wrong anywhere ends here."""
    number = update.update_id if isinstance(update, Update) else None
    way = way_to(context.error) if context.error else "no error is known"
    log.error("Something went wrong (update %s): %s", number, way)
    log.debug("In its own words:", exc_info=context.error)


def _polling_trouble(error: TelegramError) -> None:
    if isinstance(error, Conflict):
        log.error("Another program is fetching this bot's messages. Stop it: only one may run with this token. (%s)", error)
    else:
        log.warning("Fetching messages failed and is tried again: %s", cleaned(error.message))
