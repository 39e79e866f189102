"""What the bot says by itself: claimed, sent, marked.

1. A due message is claimed: marked "sending" in the store before anything leaves the house.
2. It is sent.
3. It is marked by what came of it. Where the answer is lost, an alert is sent once more, saying so; a digest is not.

Only a handful are claimed at a time, so that a crash leaves few in doubt. A chat that cannot be written to again is given up for
good; a group that moved is followed; a chat that wants a pause gets it, and the others do not wait for it.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from datetime import timedelta
from functools import partial

from telegram.error import TelegramError

from bot.clock import Clock
from bot.conversation.sending import reply_of
from bot.telegram.chats import gone, moved
from bot.telegram.hiding import cleaned
from bot.telegram.inbox import Run
from bot.telegram.incoming import DOOR
from bot.telegram.order import Lanes
from bot.telegram.outgoing import PartlySentError, Speaker, Target
from bot.telegram.settings import WORKER
from bot.telegram.trouble import Gone, Moved, Uncertain, Unsent, Wait, Wrong, verdict
from core.store import Store
from core.store.deliveries import REPEATED, Delivery
from core.store.transaction import Transaction

log = logging.getLogger(__name__)
AT_ONCE = 5
"""Messages claimed at the same moment; at 25 a second and a fifth of a second each, that is what is needed."""
LEASE = timedelta(minutes=10)
LONGEST_PAUSE = 300.0
ATTEMPTS = 300
"""At five minutes each, a day: a message that could not be sent for so long is given over as failed."""
UNSURE_ATTEMPTS = 5
"""How often a message is sent whose answer is lost each time."""


class Courier:
    """Sends the deliveries of this door. `wake` it whenever there may be something due."""

    def __init__(self, store: Store, clock: Clock, speaker: Speaker, run: Run, worker: str = WORKER) -> None:
        self.store = store
        self.clock = clock
        self.speaker = speaker
        self.run = run
        self.worker = worker
        self.lanes = Lanes()
        self.sending: set[asyncio.Task[None]] = set()
        self.troubled = 0
        """How many messages in a row certainly did not arrive: the platform is out of reach, and everybody waits a little."""
        self._woken = asyncio.Event()
        self._idle = asyncio.Event()
        self._worker: asyncio.Task[None] | None = None
        self._events: asyncio.AbstractEventLoop | None = None

    async def start(self) -> None:
        """Looks after what a crash left, and begins."""
        left = await self.run(lambda: self.store.run(lambda tx: tx.deliveries.recover(self.clock.now(), self.worker)))
        if left:
            log.warning("%d messages were being sent when the bot ended; some of them may have arrived.", left)
        self._events = asyncio.get_running_loop()
        self._worker = asyncio.create_task(self._work(), name="courier")
        self.wake()

    async def stop(self, seconds: float = 5.0) -> None:
        """Claims no more, and lets what is on its way arrive."""
        if self._worker:
            self._worker.cancel()
        if self.sending:
            await asyncio.wait(self.sending, timeout=seconds)
        for task in self.sending:
            task.cancel()

    def wake(self) -> None:
        """There may be something to send."""
        self._idle.clear()
        self._woken.set()

    async def settled(self) -> None:
        """Waits until nothing is due or on its way."""
        await self._idle.wait()

    async def _work(self) -> None:
        while True:
            await self._woken.wait()
            self._woken.clear()
            try:
                await self._send_due()
            except Exception:
                log.exception("The deliveries could not be read; they are tried again.")
            if not self._woken.is_set():
                self._idle.set()

    async def _send_due(self) -> None:
        """Until nothing is due: claims one as soon as one fewer than `AT_ONCE` is on its way."""
        while True:
            while len(self.sending) >= AT_ONCE:
                await asyncio.wait(self.sending, return_when=asyncio.FIRST_COMPLETED)
            claimed = await self._claim()
            if claimed is None:
                if not self.sending:
                    return
                await asyncio.wait(self.sending, return_when=asyncio.FIRST_COMPLETED)
                continue
            task = asyncio.create_task(self._send(claimed))
            self.sending.add(task)
            task.add_done_callback(self._ended)
            if self.troubled:
                await asyncio.sleep(min(30.0, 0.5 * 2**self.troubled))

    def _ended(self, task: asyncio.Task[None]) -> None:
        self.sending.discard(task)
        if not task.cancelled() and (error := task.exception()):
            log.error("A delivery could not be marked.", exc_info=error)

    async def _claim(self) -> Delivery | None:
        def work(tx: Transaction) -> list[Delivery]:
            return tx.deliveries.claim(self.clock.now(), 1, LEASE, worker=self.worker, doors=(DOOR,))

        found = await self.run(lambda: self.store.run(work))
        return found[0] if found else None

    async def _send(self, delivery: Delivery) -> None:
        async with self.lanes.turn(delivery.chat):
            mark = await self._attempt(delivery)
            await self.run(lambda: self.store.run(mark))

    async def _attempt(self, delivery: Delivery) -> Callable[[Transaction], None]:
        """Sends it; how it is to be marked."""
        try:
            message = await self.speaker.say(reply_of(delivery), Target(delivery.chat), broadcast=True)
        except PartlySentError as error:
            return partial(self._failed if error.final else self._unsure, delivery=delivery, why=str(error))
        except TelegramError as error:
            return partial(self._not_sent, delivery=delivery, error=error)
        except (KeyError, ValueError, TypeError) as error:
            return partial(self._failed, delivery=delivery, why=f"it cannot be read: {error!r}")
        self.troubled = 0
        return partial(self._sent, delivery=delivery, message=message)

    def _sent(self, tx: Transaction, delivery: Delivery, message: str | None) -> None:
        tx.deliveries.sent(delivery.id, self.clock.now(), message)

    def _failed(self, tx: Transaction, delivery: Delivery, why: str) -> None:
        log.error("Delivery %s is given over: %s", delivery.key, cleaned(why))
        tx.deliveries.failed(delivery.id, self.clock.now(), None, cleaned(why))

    def _not_sent(self, tx: Transaction, delivery: Delivery, error: TelegramError) -> None:
        """Marks a message that did not go as it should, by what the platform's error means."""
        now = self.clock.now()
        match verdict(error):
            case Gone(why):
                log.info("Chat given up: %s", why)
                gone(tx, delivery.chat, now)
            case Moved(to):
                moved(tx, delivery.chat, to)
                self._again(tx, delivery, 0.0, "the group moved")
            case Wait(seconds):
                self._again(tx, delivery, seconds, "the platform wants a pause")
            case Unsent(why):
                self.troubled += 1
                self._again(tx, delivery, _pause(delivery), why)
            case Uncertain(why):
                self._unsure(tx, delivery, why)
            case Wrong(why):
                self._failed(tx, delivery, why)

    def _again(self, tx: Transaction, delivery: Delivery, seconds: float, why: str) -> None:
        if delivery.attempts >= ATTEMPTS:
            self._failed(tx, delivery, why)
            return
        now = self.clock.now()
        tx.deliveries.failed(delivery.id, now, now + timedelta(seconds=seconds), cleaned(why))
        self._wake_in(seconds)

    def _unsure(self, tx: Transaction, delivery: Delivery, why: str) -> None:
        """What may have arrived is sent again a few times at most: each may be one too many."""
        if delivery.attempts >= UNSURE_ATTEMPTS and delivery.kind in REPEATED:
            self._failed(tx, delivery, why)
            return
        log.warning("It is not known whether %s arrived: %s", delivery.key, cleaned(why))
        now, seconds = self.clock.now(), _pause(delivery)
        tx.deliveries.unsure(delivery.id, now, now + timedelta(seconds=seconds), cleaned(why))
        self._wake_in(seconds)

    def _wake_in(self, seconds: float) -> None:
        """Called on the thread of the store."""
        if self._events:
            self._events.call_soon_threadsafe(self._events.call_later, seconds, self.wake)


def _pause(delivery: Delivery) -> float:
    """Seconds until the next try: 1, 2, 4 … and five minutes at most."""
    return min(LONGEST_PAUSE, 0.5 * 2.0 ** min(delivery.attempts, 10))
