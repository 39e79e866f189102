"""When the book cannot be written to: who writes is told once that it waits, and the organisers that they are needed.

Nothing of it can be put among the deliveries, which stand in the same book; so it is said at once, and only once while it lasts.
"""

from __future__ import annotations

import asyncio
import logging
from dataclasses import dataclass, field

from telegram.error import TelegramError

from bot.conversation.message import Reply
from bot.conversation.setting_aside import organisers_chats
from bot.replies.set_aside import MENDED, not_now, trouble_for_the_organiser
from bot.telegram.inbox import Run
from bot.telegram.incoming import DOOR
from bot.telegram.outgoing import PartlySentError, Speaker, Target
from core.store import Busy, Store, StoreTrouble, Unreachable, Unreadable

log = logging.getLogger(__name__)
PATIENCE = 10.0
"""Seconds for which a database that is busy or starting anew is waited for without a word."""

CALM = 60.0
"""Seconds without trouble after which it is over; what could not be fetched is tried again every half minute."""


@dataclass
class Alarm:
    """Knows whether the book is in trouble, and who was told."""

    store: Store
    speaker: Speaker
    run: Run
    organisers: set[str] = field(default_factory=set)
    """Their chats, as they were when the book could last be read."""
    since: float | None = None
    last: float = 0.0
    told: set[str] = field(default_factory=set)
    unreadable: set[str | tuple[str, str]] = field(default_factory=set)
    """Entries that cannot be read, and chats that were told of them."""

    async def look(self) -> None:
        """Remembers who the organisers are."""

        def look() -> set[str]:
            with self.store.read() as tx:
                return {chat for door, chat in organisers_chats(tx) if door == DOOR}

        try:
            self.organisers = await self.run(look)
        except Exception as error:
            log.warning("It is not known who the organisers are: %s", type(error).__name__)

    async def raised(self, trouble: StoreTrouble, chat: str | None = None) -> None:
        """The book could not be written to, for the sake of somebody in a chat or of nobody."""
        if isinstance(trouble, Unreadable):
            await self._one_book(trouble, chat)
            return
        now = asyncio.get_running_loop().time()
        if self.since is None:
            self.since = now
            log.error("The book is in trouble: %s", trouble)
        self.last = now
        if isinstance(trouble, Busy | Unreachable) and now - self.since < PATIENCE:
            return
        if not self.told:
            await self.look()
        for organiser in sorted(self.organisers - self.told):
            await self._say(organiser, trouble_for_the_organiser(trouble.sentence))
        if chat and not chat.startswith("-") and chat not in self.told:
            await self._say(chat, not_now(trouble.sentence))

    async def _one_book(self, trouble: Unreadable, chat: str | None) -> None:
        """One fishroom's or club's book cannot be read: its people wait, and all others go on."""
        if trouble.detail not in self.unreadable:
            log.error("%s", trouble)
            for organiser in sorted(self.organisers):
                await self._say(organiser, trouble_for_the_organiser(str(trouble)))
        if chat and (trouble.detail, chat) not in self.unreadable:
            await self._say(chat, not_now(trouble.sentence))
        self.unreadable |= {trouble.detail, (trouble.detail, chat or "")}

    async def over(self) -> None:
        """The book could be written to. On a full disk small things fit now and then, so it is over only after a while."""
        if self.since is None or asyncio.get_running_loop().time() - self.last < CALM:
            return
        told, self.since, self.told = self.told, None, set()
        log.warning("The book can be written to again.")
        for organiser in sorted(self.organisers & told):
            await self._say(organiser, MENDED)
        self.told = set()

    async def _say(self, chat: str, words: str) -> None:
        self.told.add(chat)
        try:
            await self.speaker.say(Reply(words), Target(chat))
        except (TelegramError, PartlySentError) as error:
            log.warning("Somebody could not be told of it: %s", type(error).__name__)
