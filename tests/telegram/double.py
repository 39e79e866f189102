"""A server that speaks the Bot API over loopback HTTP, for the bot to be tested against.

It keeps updates until they are confirmed by an offset, lets one poller poll, pushes to a webhook, holds every call against the
schema, and can be told to fail: see `Fault`. It runs in the loop of the test.
"""

from __future__ import annotations

import asyncio
import copy
import itertools
import json
from collections import Counter, deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any

import tornado.httpclient
import tornado.httpserver
import tornado.netutil
import tornado.web

from bot.clock import Clock, WallClock
from tests.telegram import methods
from tests.telegram.schema import METHODS, RejectedError, read_call
from tests.telegram.world import Chat, Member, Message, Update

TOKEN = "990:AAExampleTokenThatIsOnlyForTheDouble_35"
_DEFAULT_UPDATES = {"message", "edited_message", "callback_query", "my_chat_member", "channel_post"}


@dataclass(frozen=True)
class Call:
    """One call of the bot, as it was understood, with the loop's time it came in."""

    method: str
    values: dict[str, Any]
    files: dict[str, tuple[str, bytes]]
    at: float


@dataclass
class Fault:
    """What goes wrong with the next `times` calls of a method (in one chat, if given): an answer of `code`, or no answer at all.

    `hang_up` closes the connection without an answer; `after` lets the call have its effect first.
    """

    method: str
    code: int = 500
    description: str = "Internal Server Error"
    parameters: dict[str, int] = field(default_factory=dict)
    chat: int | None = None
    times: int = 1
    hang_up: bool = False
    after: bool = False
    seconds: float = 0.0
    """How long the platform thinks before it answers."""

    def hits(self, method: str, values: dict[str, Any]) -> bool:
        return self.times > 0 and self.method in (method, "*") and self.chat in (None, values.get("chat_id"))


class Double:
    """The make-believe platform. Use `async with Double() as double`, then point a bot at `double.base_url`."""

    def __init__(self, token: str = TOKEN, clock: Clock | None = None) -> None:
        self.token = token
        self.clock = clock or WallClock()
        self.chats: dict[int, Chat] = {}
        self.calls: list[Call] = []
        self.faults: list[Fault] = []
        self.files: dict[str, tuple[str, bytes]] = {}
        self.commands: dict[str, list[dict[str, str]]] = {}
        self.queries: dict[str, dict[str, Any] | None] = {}
        self.updates: deque[Update] = deque()
        self.allowed: set[str] = set(_DEFAULT_UPDATES)
        self.twice = False
        """Hand out every update twice in one answer."""
        self.webhook: dict[str, Any] = {}
        self.pushed: list[int] = []
        """The webhook's answers, by HTTP code."""
        self.workers: list[str] = []
        """Addresses to which a balancer behind the webhook's hands updates in turn; none: the webhook's own."""
        self.limit_per_second: int | None = None
        self._ids = itertools.count(1)
        self._update_ids = itertools.count(5001)
        self._changed = asyncio.Condition()
        self._poller: asyncio.Event | None = None
        self._tasks: set[asyncio.Task[None]] = set()

    async def __aenter__(self) -> Double:
        app = tornado.web.Application(
            [
                (r"/bot([^/]+)/(\w+)", _CallHandler, {"double": self}),
                (r"/file/bot([^/]+)/(.+)", _FileHandler, {"double": self}),
            ],
            log_function=lambda handler: None,
        )
        sockets = tornado.netutil.bind_sockets(0, "127.0.0.1")
        self.server = tornado.httpserver.HTTPServer(app, max_buffer_size=60_000_000)
        self.server.add_sockets(sockets)
        self.base_url = f"http://127.0.0.1:{sockets[0].getsockname()[1]}"
        return self

    async def __aexit__(self, *_: object) -> None:
        self.webhook = {}
        for task in self._tasks:
            task.cancel()
        self.server.stop()
        await self.server.close_all_connections()

    # --- the world ----------------------------------------------------------------------------------------------------

    def seconds(self) -> int:
        return int(self.clock.now().timestamp())

    def new_id(self, kind: str) -> str:
        return f"{kind}{next(self._ids)}"

    def add_chat(self, chat_id: int, kind: str, title: str) -> Chat:
        self.chats[chat_id] = chat = Chat(self, chat_id, kind, title)
        return chat

    def member(self, name: str) -> Member:
        number = 100 + next(self._ids)
        user = {"id": number, "is_bot": False, "first_name": name}
        return Member(self, user, self.add_chat(number, "private", name))

    def group(self, title: str) -> Chat:
        return self.add_chat(-100 - next(self._ids), "group", title)

    def keep(self, content: bytes, path: str, **shown: Any) -> dict[str, Any]:
        """Stores a file; what a message shows of it comes back."""
        file_id = self.new_id("file")
        name = f"{PurePosixPath(path).parent}/{file_id}_{PurePosixPath(path).name}"
        self.files[file_id] = (name, content)
        return {"file_id": file_id, "file_unique_id": f"u{file_id}", "file_size": len(content), **shown}

    def deliver(self, **content: Any) -> Update:
        """Makes an update out of something that happened, if the bot asked for its kind."""
        (kind,) = content
        update = {"update_id": next(self._update_ids), **copy.deepcopy(content)}
        if kind in self.allowed:
            self.updates.append(update)
            self.changed()
        return update

    def again(self, update: Update) -> None:
        """Delivers an update once more, with its old number."""
        self.updates.append(update)
        self.changed()

    def fail(self, fault: Fault) -> Fault:
        self.faults.append(fault)
        return fault

    def count(self, method: str, chat: int | None = None) -> int:
        return len(self.calls_of(method, chat))

    def calls_of(self, method: str, chat: int | None = None) -> list[Call]:
        return [call for call in self.calls if call.method == method and chat in (None, call.values.get("chat_id"))]

    # --- waiting ------------------------------------------------------------------------------------------------------

    def changed(self) -> None:
        async def tell() -> None:
            async with self._changed:
                self._changed.notify_all()

        task = asyncio.get_running_loop().create_task(tell())
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def until(self, condition: Callable[[], bool], seconds: float = 8.0) -> None:
        """Waits until something holds; TimeoutError if it does not come to hold."""

        async def wait() -> None:
            async with self._changed:
                await self._changed.wait_for(condition)

        await asyncio.wait_for(wait(), seconds)

    async def confirmed(self) -> None:
        """Waits until the bot has taken every update."""
        await self.until(lambda: not self.updates)

    # --- updates ------------------------------------------------------------------------------------------------------

    async def poll(self, values: dict[str, Any], gone: asyncio.Event) -> list[Update]:
        """Long polling: an offset confirms what is older; a second poller ends the first."""
        if self.webhook:
            raise RejectedError(409, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook first")
        if self._poller:
            self._poller.set()
        ended = self._poller = asyncio.Event()
        self._confirm(values)
        try:
            await self._first_update(values.get("timeout", 0), ended, gone)
        finally:
            if self._poller is ended:
                self._poller = None
        if ended.is_set():
            raise RejectedError(409, "Conflict: terminated by other getUpdates request; only one bot instance may run")
        found = list(self.updates)[: values.get("limit", 100)]
        return [update for update in found for _ in range(2 if self.twice else 1)]

    def _confirm(self, values: dict[str, Any]) -> None:
        if "allowed_updates" in values:
            self.allowed = set(values["allowed_updates"]) or set(_DEFAULT_UPDATES)
        offset = values.get("offset", 0)
        if any(update["update_id"] < offset for update in self.updates):
            self.updates = deque(update for update in self.updates if update["update_id"] >= offset)
            self.changed()

    async def _first_update(self, timeout: float, ended: asyncio.Event, gone: asyncio.Event) -> None:
        """Waits for an update, the end of the poll, or for the poller to hang up."""
        waits = [asyncio.ensure_future(one) for one in (self._some_update(timeout), ended.wait(), gone.wait())]
        try:
            await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for wait in waits:
                wait.cancel()

    async def _some_update(self, timeout: float) -> None:
        with suppress(TimeoutError):
            await self.until(lambda: bool(self.updates), timeout)

    def start_pushing(self) -> None:
        task = asyncio.ensure_future(self._push())
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _push(self) -> None:
        """Posts updates to the webhook one by one; whatever is not taken with a 2xx is posted again."""
        client = tornado.httpclient.AsyncHTTPClient(force_instance=True)
        hook = self.webhook
        while self.webhook is hook:
            await self.until(lambda: bool(self.updates) or self.webhook is not hook, seconds=3600)
            if self.webhook is not hook:
                return
            update = self.updates[0]
            headers = {"Content-Type": "application/json"}
            if "secret_token" in hook:
                headers["X-Telegram-Bot-Api-Secret-Token"] = hook["secret_token"]
            try:
                body = json.dumps(update)
                url = self.workers[len(self.pushed) % len(self.workers)] if self.workers else hook["url"]
                answer = await client.fetch(url, method="POST", headers=headers, body=body, raise_error=False)
                code = answer.code
            except OSError:
                code = 599
            self.pushed.append(code)
            if 200 <= code < 300:
                self.updates.popleft()
            else:
                await asyncio.sleep(0.05)
            self.changed()

    # --- calls --------------------------------------------------------------------------------------------------------

    def fault_for(self, method: str, values: dict[str, Any]) -> Fault | None:
        fault = next((fault for fault in self.faults if fault.hits(method, values)), None)
        if fault:
            fault.times -= 1
        return fault

    def check_flood(self, call: Call) -> None:
        """The platform's own limits, where a test switches them on."""
        if self.limit_per_second is None or "chat_id" not in call.values:
            return
        recent = Counter(one.values.get("chat_id") for one in self.calls if call.at - one.at < 1.0 and "chat_id" in one.values)
        if sum(recent.values()) > self.limit_per_second:
            raise RejectedError(429, "Too Many Requests: retry after 1", retry_after=1)

    async def answer(self, call: Call, gone: asyncio.Event) -> Any:
        if call.method == "getUpdates":
            return await self.poll(call.values, gone)
        self.check_flood(call)
        result = methods.ANSWERS[call.method](self, call)
        self.changed()
        return result


class _CallHandler(tornado.web.RequestHandler):
    """`/bot<token>/<method>`"""

    def initialize(self, double: Double) -> None:
        self.double = double
        self.gone = asyncio.Event()

    def on_connection_close(self) -> None:
        self.gone.set()

    async def post(self, token: str, method: str) -> None:
        try:
            if token != self.double.token:
                raise RejectedError(401, "Unauthorized")
            if method not in METHODS:
                raise RejectedError(404, "Not Found: method not found")
            raw = {name: values[-1].decode() for name, values in self.request.arguments.items()}
            files = {name: (parts[-1]["filename"], parts[-1]["body"]) for name, parts in self.request.files.items()}
            self._answer({"ok": True, "result": await self._call(method, raw, files)})
        except RejectedError as no:
            self.set_status(no.code)
            parameters = {"parameters": no.parameters} if no.parameters else {}
            self._answer({"ok": False, "error_code": no.code, "description": no.description, **parameters})
        except _HungUpError:
            self.request.connection.stream.close()  # type: ignore[union-attr]

    get = post

    async def _call(self, method: str, raw: dict[str, str], files: dict[str, tuple[str, bytes]]) -> Any:
        values = read_call(method, raw, files)
        call = Call(method, values, files, asyncio.get_running_loop().time())
        self.double.calls.append(call)
        self.double.changed()
        fault = self.double.fault_for(method, values)
        if fault is None:
            return await self.double.answer(call, self.gone)
        if fault.after:
            result = await self.double.answer(call, self.gone)
        await asyncio.sleep(fault.seconds)
        self.double.changed()
        if fault.hang_up:
            raise _HungUpError
        if fault.code == 200:
            return result if fault.after else await self.double.answer(call, self.gone)
        raise RejectedError(fault.code, fault.description, **fault.parameters)

    def _answer(self, body: dict[str, Any]) -> None:
        if not self.gone.is_set():
            self.set_header("Content-Type", "application/json")
            self.finish(json.dumps(body))


class _HungUpError(Exception):
    """The connection is closed without an answer."""


class _FileHandler(tornado.web.RequestHandler):
    """`/file/bot<token>/<path>`"""

    def initialize(self, double: Double) -> None:
        self.double = double

    def get(self, token: str, path: str) -> None:
        content = next((content for name, content in self.double.files.values() if name == path), None)
        if token != self.double.token or content is None:
            raise tornado.web.HTTPError(404)
        self.finish(content)


__all__ = ["TOKEN", "Call", "Chat", "Double", "Fault", "Member", "Message"]
