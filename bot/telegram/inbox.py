"""Nothing is lost on the way in: an update is kept before the platform is told that it arrived.

The library confirms updates once they are in its queue, before anything was done with them. This queue writes each into the store
first. Whatever was not handled when the process ended, however it ended, is queued again at the next start. It may have been what
ended the process: so it is counted as tried before it is handled, and set aside once it was begun too often and never ended.

Several workers may stand behind one webhook: whoever has something of a chat in hand holds the chat (`core/store/holds.py`), and what
another worker is brought meanwhile is kept and left to the holder.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol, TypeVar

from telegram import Bot, Update
from telegram.error import NetworkError

from bot.clock import Clock
from bot.telegram.incoming import DOOR, chat_of, key_of
from bot.telegram.settings import WORKER
from core.store import Store, StoreTrouble
from core.store.inbox import TRIES, Arrived
from core.store.transaction import Transaction

log = logging.getLogger(__name__)
_PAUSE = 1.0
"""Seconds that an update rests which could not be handled; twice as long each further time."""
_LONGEST_REST = 1800.0
_BOOK_REST = 20.0
"""Seconds that an update rests at most which only the book's own trouble kept back: that is soon over, or not this update's to wait for."""
CALM = 10.0
"""Seconds that a process has to have lived before it tries what two others did not outlive. Whoever kills processes one after the
other, quickly, would else make an innocent message look guilty: the oldest is in hand at every start. Its chat waits with it.
"""
KEPT = timedelta(days=3)
"""How long what was handled is remembered; the platform brings nothing that is older than a day."""

Result = TypeVar("Result")


class Run(Protocol):
    """Runs something that blocks on a thread beside the loop."""

    def __call__(self, work: Callable[[], Result]) -> Awaitable[Result]:
        """What the work returns."""
        ...


@dataclass(frozen=True, slots=True)
class Waiting:
    """What is to be handled when an update has been kept: `ours` where its chat is this worker's; `rows`, in order and the update among
    them, where more of the chat waits that is not in hand; `tried` where the one who was at it may have ended over it.
    """

    ours: bool = False
    rows: Sequence[Arrived] = ()
    tried: bool = False


class Inbox(asyncio.Queue[object]):
    """The queue of updates, kept in the store."""

    def __init__(self, store: Store, clock: Clock, run: Run, bot: str = "", worker: str = WORKER) -> None:
        super().__init__()
        self.bot = bot
        """The bot's own number: update ids are counted by each bot for itself."""
        self.worker = worker
        self.store = store
        self.clock = clock
        self.run = run
        self.held: dict[str, str] = {}
        """What is queued or being handled in this process, by its key: the chat it came from."""
        self.later: dict[str, tuple[int, float, str]] = {}
        """What could not be handled for want of something: how often that was, until when it rests, and its chat."""
        self.fronts: dict[str, str] = {}
        """By chat, what waits for the book to be well again: whatever the chat wrote after it comes after it."""
        self.troubled: Callable[[Update, StoreTrouble], Awaitable[None]] = _log_trouble
        """Told of an update that cannot be kept for want of room, rights or a database."""
        self.started = 0.0
        self.left: dict[str, int] | None = None
        """What an earlier process, or another worker, left unhandled, with the tries it has behind it; None until that was looked at."""

    async def put(self, item: object) -> None:
        """Keeps an update, then queues it. An update that is done, or in hand already, is not queued again.

        Raises `NetworkError` where it cannot be kept: then it is not confirmed, and comes again. (Any other error would end the
        library's polling for good.)
        """
        if isinstance(item, Update):
            try:
                waiting = await self.run(lambda: self._keep(item))
            except StoreTrouble as trouble:
                await self.troubled(item, trouble)
                raise NetworkError("an update could not be kept") from trouble
            except Exception as error:
                log.exception("An update could not be kept; Telegram will bring it again.")
                raise NetworkError("an update could not be kept") from error
            if waiting.rows:
                await self._take_up(waiting.rows, item.get_bot(), tried=waiting.tried)
            if not waiting.ours or key_of(item) in self.held:
                return
            self.held[key_of(item)] = chat_of(item)
        await super().put(item)

    async def refill(self, bot: Bot) -> int:
        """Queues what is pending, not in hand and no other worker's, in the order it came: at the start, and what could not be answered
        before.
        """
        first = self.left is None
        self.started = self.started or asyncio.get_running_loop().time()
        self.left = self.left or {}
        count = 0
        for tried, rows in (await self.run(self._free)).items():
            count += await self._take_up(rows, bot, tried=tried or first)
        return count

    async def _take_up(self, waiting: Sequence[Arrived], bot: Bot, *, tried: bool) -> int:
        """Queues what waits in chats that this worker holds, all of each. `tried`: an earlier process may have ended over it."""
        count, behind = 0, set[str]()
        self._pass_over(waiting)
        for arrived in waiting:
            update = await self._read(arrived, bot)
            if update is None:
                continue
            key = key_of(update)
            if arrived.chat in behind or (self.fronts.get(arrived.chat) == key and (key in self.held or self._rests(key))):
                behind.add(arrived.chat)
                continue
            if tried and self.left is not None:
                self.left[key] = arrived.tries
            if key not in self.held and not self._rests(key):
                self.held[key] = arrived.chat
                self.put_nowait(update)
                count += 1
        return count

    def _pass_over(self, waiting: Sequence[Arrived]) -> None:
        """Nothing waits behind what is done: the book may have taken it and gone away before it could say so."""
        there = {arrived.external.removeprefix(f"{self.bot}.") for arrived in waiting}
        for chat in {arrived.chat for arrived in waiting}:
            front = self.fronts.get(chat)
            if front is not None and front not in there and front not in self.held:
                del self.fronts[chat]
                self.later.pop(front, None)

    async def _read(self, arrived: Arrived, bot: Bot) -> Update | None:
        """The update that was kept; what is damaged is set aside, so that the others are read."""
        try:
            return Update.de_json(dict(arrived.payload), bot)
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            why = f"what was kept cannot be read: {type(error).__name__}"
            log.error("Message %s of chat %s is set aside: %s", arrived.external, arrived.chat, why)
            await self.run(lambda: self.store.run(lambda tx: self._aside_for_good(tx, arrived, why)))
            return None

    def _aside_for_good(self, tx: Transaction, arrived: Arrived, why: str) -> None:
        tx.inbox.set_aside(arrived.id, why)
        tx.holds.leave(DOOR, arrived.chat, self.worker)

    async def prune(self) -> None:
        """Forgets what was handled and is too old for the platform to bring it again."""
        await self.run(lambda: self.store.run(lambda tx: tx.inbox.prune(self.clock.now() - KEPT)))

    async def done(self, update: Update) -> None:
        """The update was handled."""
        await self._ended(update, lambda tx, row: tx.inbox.done(row))

    async def _ended(self, update: Update, mark: Callable[[Transaction, int], Result]) -> Result | None:
        """The update waits no more, which `mark` says. Where it was the last of its chat in hand, the chat is left to whoever hears of it
        next, or what another worker was brought meanwhile is taken up.
        """
        last = self._is_last(update)

        def work(tx: Transaction, row: int) -> tuple[Result, bool]:
            marked = mark(tx, row)
            return marked, last and not tx.holds.leave(DOOR, chat_of(update), self.worker)

        found = await self.run(lambda: self._mark(update, work))
        self._forget(update)
        if found is None:
            return None
        if found[1]:
            await self._take_up(await self.run(lambda: self._pending_of(chat_of(update))), update.get_bot(), tried=False)
        return found[0]

    def _is_last(self, update: Update) -> bool:
        """Whether nothing else of the chat is in hand."""
        return not any(chat == chat_of(update) and key != key_of(update) for key, chat in self.held.items())

    async def failed(self, update: Update, error: str, tell: Callable[[Transaction], None]) -> bool:
        """Handling it failed; True where that was once too often and it is set aside, which `tell` says in the same transaction."""

        def mark(tx: Transaction, row: int) -> bool:
            aside = tx.inbox.failed(row, error)
            if aside:
                tell(tx)
            return aside

        aside = bool(await self.run(lambda: self._mark(update, mark)))
        if aside:
            await self._ended(update, lambda _tx, _row: None)
        return aside

    async def calm(self, update: Update) -> None:
        """Waits where a hasty try could be blamed for an end that others caused."""
        if (self.left or {}).get(key_of(update), 0) == TRIES - 1:
            await asyncio.sleep(self.started + CALM - asyncio.get_running_loop().time())

    def worn_out(self, update: Update) -> bool:
        """Whether the process ended each time this was handled, and that was too often."""
        return (self.left or {}).get(key_of(update), 0) >= TRIES

    async def set_aside(self, update: Update, error: str, tell: Callable[[Transaction], None]) -> None:
        """It is not tried any more, which `tell` says in the same transaction."""

        def mark(tx: Transaction, row: int) -> None:
            tx.inbox.set_aside(row, error)
            tell(tx)

        await self._ended(update, mark)

    def watched(self, update: Update, work: Callable[[], Result]) -> Result:
        """Does the work, on the thread this is called on. What an earlier process left is counted as tried before: only so is a
        message found out that ends every process. Which one was in hand when the first ended nobody knows; that is not counted.
        """
        tries = (self.left or {}).pop(key_of(update), None)
        if tries is None:
            return work()
        self._mark(update, lambda tx, row: tx.inbox.begun(row, tries + 1))
        try:
            return work()
        finally:
            self._mark(update, lambda tx, row: tx.inbox.begun(row, tries))

    def _forget(self, update: Update) -> None:
        """Nothing waits for it any more."""
        self.later.pop(key_of(update), None)
        if self.fronts.get(chat_of(update)) == key_of(update):
            del self.fronts[chat_of(update)]

    def let_go(self, update: Update) -> None:
        """The update is no longer in hand, done or not."""
        self.held.pop(key_of(update), None)

    async def keep_up(self) -> None:
        """This worker is still at the chats it has something of in hand, or at rest."""
        chats = {*self.held.values(), *(chat for _, _, chat in self.later.values())}
        await self.run(lambda: self.store.run(lambda tx: tx.holds.keep_up(DOOR, chats, self.worker, self.clock.now())))

    async def leave_all(self) -> None:
        """This worker begins or ends: no chat is its own."""
        await self.run(lambda: self.store.run(lambda tx: tx.holds.leave_all(DOOR, self.worker)))

    def is_behind(self, update: Update) -> bool:
        """Whether something the same chat wrote earlier still waits for the book; then this waits too, and keeps its order."""
        return self.fronts.get(chat_of(update), key_of(update)) != key_of(update)

    def postpone(self, update: Update, *, in_front: bool = False) -> None:
        """It could not be handled for want of something. It rests for longer each time, half an hour at most. `in_front`: for want of the
        book; what its chat wrote later does not overtake it.
        """
        if in_front:
            self.fronts[chat_of(update)] = key_of(update)
        times = self.later.get(key_of(update), (0, 0.0, ""))[0]
        rest = min(_BOOK_REST if in_front else _LONGEST_REST, _PAUSE * 2**times)
        self.later[key_of(update)] = (min(times + 1, 20), asyncio.get_running_loop().time() + rest, chat_of(update))

    def _rests(self, key: str) -> bool:
        return key in self.later and asyncio.get_running_loop().time() < self.later[key][1]

    def _keep(self, update: Update) -> Waiting:
        """Keeps it where it is new; what is to be handled now that it is there."""

        def work(tx: Transaction) -> Waiting:
            external = self._external(update)
            if not tx.inbox.keep(DOOR, external, chat_of(update), update.to_dict(), self.clock.now()):
                there = tx.inbox.get(DOOR, external)
                if there is None or there.state != "pending":
                    return Waiting()
            hold = tx.holds.take(DOOR, chat_of(update), self.worker, self.clock.now())
            if hold is None:
                return Waiting()
            earlier = [one for one in tx.inbox.externals_of(DOOR, chat_of(update)) if one != external and not self._is_held(one)]
            return Waiting(True, tx.inbox.pending_of(DOOR, chat_of(update)) if earlier else (), hold == "lapsed")

        return self.store.run(work)

    def _external(self, update: Update) -> str:
        return f"{self.bot}.{key_of(update)}"

    def _is_held(self, external: str) -> bool:
        return external.removeprefix(f"{self.bot}.") in self.held

    def _free(self) -> dict[bool, list[Arrived]]:
        """What is pending in chats that are this worker's, or now become so; by whether the chat was taken over from a worker that died."""
        with self.store.read() as tx:
            chats = tx.inbox.waiting_chats(DOOR)

        def take(tx: Transaction) -> dict[bool, list[Arrived]]:
            found: dict[bool, list[Arrived]] = {}
            for chat in chats:
                hold = tx.holds.take(DOOR, chat, self.worker, self.clock.now(), wait=False)
                if hold is None:
                    continue
                waiting = tx.inbox.pending_of(DOOR, chat)  # read now that nobody else can be at it
                found.setdefault(hold == "lapsed", []).extend(waiting)
                if not waiting:
                    tx.holds.leave(DOOR, chat, self.worker)
            return found

        return self.store.run(take) if chats else {}

    def _pending_of(self, chat: str) -> list[Arrived]:
        with self.store.read() as tx:
            return tx.inbox.pending_of(DOOR, chat)

    def _mark(self, update: Update, mark: Callable[[Transaction, int], Result]) -> Result | None:
        def work(tx: Transaction) -> Result | None:
            there = tx.inbox.get(DOOR, self._external(update))
            return mark(tx, there.id) if there else None

        return self.store.run(work)


async def _log_trouble(update: Update, trouble: StoreTrouble) -> None:
    log.error("Update %d could not be kept; Telegram will bring it again: %s", update.update_id, trouble)
