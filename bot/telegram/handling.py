"""An update is handled: read, heard, answered, and only then done.

What fails three times is set aside, so that those behind it go on, and the organiser is told. What merely cannot be fetched, kept
or answered now stays pending and comes up again: hearing it a second time has no second effect.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from telegram import Update
from telegram.error import TelegramError
from telegram.ext import ExtBot

from bot.clock import Clock
from bot.conversation.message import Incoming, Reply
from bot.conversation.setting_aside import kind_of, tell_organisers, way_to
from bot.replies.set_aside import ENDED
from bot.replies.talk import MAY_REPEAT
from bot.telegram.alarm import Alarm
from bot.telegram.chats import gone, moved, opened
from bot.telegram.hiding import cleaned
from bot.telegram.inbox import Inbox, Run
from bot.telegram.incoming import DOOR, Access, Albums, Arrival, Heard, Moved, StaleButton, chat_of, key_of, read
from bot.telegram.outgoing import PartlySentError, Speaker, Target
from bot.telegram.sentences import OLD_BUTTON, SET_ASIDE
from bot.telegram.trouble import Gone, Uncertain, Unsent, Wait, verdict
from bot.telegram.trouble import Moved as ChatMoved
from core.store import Store, StoreTrouble, Unreadable
from core.store.transaction import Transaction

log = logging.getLogger(__name__)
_QUERY_SECONDS = 3.0


class Listener(Protocol):
    """What this front door needs of the conversation."""

    def hear(self, incoming: Incoming) -> list[Reply]:
        """The replies, once the effect is committed."""
        ...

    def arrive(
        self, door: str, external_id: str, chat: str, shown_name: str, payload: str = "", group: bool = False
    ) -> list[Reply]:
        """Somebody opened the chat."""
        ...

    def person_of(self, door: str, external_id: str) -> str | None:
        """Who that is."""
        ...

    def due(self) -> None:
        """Puts what fell due into the deliveries."""
        ...


class NotNowError(Exception):
    """Something is out of reach; the update stays pending."""


@dataclass
class Handling:
    """Handles updates. `think` runs the conversation on its own thread, `run` the store on another."""

    store: Store
    clock: Clock
    conversation: Listener
    inbox: Inbox
    speaker: Speaker
    think: Run
    run: Run
    wake: Callable[[], None]
    """Said whenever something may have to be sent to others."""
    pauses: Sequence[float] = (0.5, 2.0, 0.0)
    """Seconds after each failure."""
    albums: Albums = field(default_factory=dict)
    answered: dict[int, int] = field(default_factory=dict)
    """How many replies were given to an update that had to be left for later."""
    alarm: Alarm = field(init=False)

    def __post_init__(self) -> None:
        """The alarm speaks as the answers do."""
        self.alarm = Alarm(self.store, self.speaker, self.run)
        self.inbox.troubled = self.troubled

    @property
    def bot(self) -> ExtBot[int]:
        """The bot that hears and speaks."""
        return self.speaker.bot

    async def acknowledge(self, update: Update) -> None:
        """Answers a pressed button's query, so that the member's app stops waiting. Old queries cannot be answered any more."""
        if update.callback_query is None:
            return
        try:
            await update.callback_query.answer(connect_timeout=_QUERY_SECONDS, read_timeout=_QUERY_SECONDS)
        except (TelegramError, RuntimeError) as error:
            log.info("A press could not be acknowledged: %s", error)

    async def handle(self, update: Update, _context: object = None) -> None:
        """Handles an update until it is done, set aside, or left for later. Raises what made it be set aside."""
        if self.inbox.is_behind(update):
            self.inbox.let_go(update)
            return
        try:
            await self._until_done(update)
        except NotNowError as trouble:
            log.warning("Update %d is left for later: %s", update.update_id, trouble)
            self.inbox.postpone(update)
        except StoreTrouble as trouble:
            log.warning("Update %d is left for later: %s", update.update_id, trouble)
            self.inbox.postpone(update, in_front=not isinstance(trouble, Unreadable))
            await self.troubled(update, trouble)
        finally:
            self.inbox.let_go(update)

    async def troubled(self, update: Update, trouble: StoreTrouble) -> None:
        """An update could not be kept or heard for want of room, rights or a database."""
        await self.alarm.raised(trouble, chat_of(update))

    async def _until_done(self, update: Update) -> None:
        await self.inbox.calm(update)
        if self.inbox.worn_out(update):
            log.error("Update %d is set aside: %s", update.update_id, ENDED)
            await self.inbox.set_aside(update, ENDED, lambda tx: self._tell_organisers(tx, update, ENDED))
            await self._tell_sender(update)
            return
        for pause in self.pauses:
            try:
                await self._once(update)
                await self.inbox.done(update)
                self.answered.pop(update.update_id, None)
                return
            except (NotNowError, StoreTrouble):
                raise
            except Exception as error:
                what = kind_of(error)
                if await self.inbox.failed(update, what, lambda tx: self._tell_organisers(tx, update, what)):  # noqa: B023 - awaited
                    await self._tell_sender(update)
                    raise
                log.warning("Update %d failed and is tried again: %s", update.update_id, way_to(error))
            await asyncio.sleep(pause)

    async def _once(self, update: Update) -> None:
        try:
            heard = await read(update, self.bot, self._fetch, self.albums, self.clock.now())
        except TelegramError as error:
            raise NotNowError(cleaned(error.message)) from error
        replies = await self._replies(update, heard)
        self.wake()
        for number, reply in enumerate(replies):
            if number < self.answered.get(update.update_id, 0):
                continue
            if not await self._answer(reply, _target(update)):
                break
            self.answered[update.update_id] = number + 1

    async def _replies(self, update: Update, heard: Heard | None) -> list[Reply]:
        match heard:
            case None:
                return []
            case Moved(old, new):
                await self._note(lambda tx: moved(tx, old, new))
                return []
            case Access(chat, is_open):
                await self._note(lambda tx: opened(tx, chat) if is_open else gone(tx, chat, self.clock.now()))
                return []
            case StaleButton():
                return [Reply(OLD_BUTTON)] if heard.chat else []
            case Arrival():
                return await self.think(lambda: self.inbox.watched(update, lambda: self._arrive(heard)))
            case _:
                return await self.think(lambda: self.inbox.watched(update, lambda: self._hear(heard)))

    def _arrive(self, one: Arrival) -> list[Reply]:
        return self.conversation.arrive(DOOR, one.external, one.chat, one.shown_name, one.payload, one.group)

    def _hear(self, incoming: Incoming) -> list[Reply]:
        """On the conversation's thread. Somebody unknown is nobody's id."""
        external = incoming.origin.person
        person = self.conversation.person_of(DOOR, external)
        if person:
            self._open_again(person, incoming.origin.chat)
        person = person or f"{DOOR}:{external}"
        return self.conversation.hear(replace(incoming, origin=replace(incoming.origin, person=person)))

    def _open_again(self, person: str, chat: str) -> None:
        """Whoever writes can be written to, even where the platform did not tell that the bot was let in again."""
        with self.store.read() as tx:
            shut = any(one.blocked and (one.door, one.chat) == (DOOR, chat) for one in tx.people.identities(person))
        if shut:
            self.store.run(lambda tx: opened(tx, chat))

    async def _answer(self, reply: Reply, target: Target, *, again: bool = True) -> bool:
        """Sends a reply; False where the chat takes none. A reply that may have been lost is sent once more, saying so.

        Whoever hears nothing tells it again, and a doubled message would be recorded twice, which is worse than a doubled answer.
        """
        try:
            await self.speaker.say(reply, target)
            return True
        except PartlySentError as error:
            log.warning("A reply arrived in part only: %s", error)
            return True
        except TelegramError as error:
            trouble = verdict(error)
        match trouble:
            case Gone():
                await self._note(lambda tx: gone(tx, target.chat, self.clock.now()))
                return False
            case ChatMoved(to) if again:
                await self._note(lambda tx: moved(tx, target.chat, to))
                return await self._answer(reply, Target(to), again=False)
            case Uncertain() if again:
                return await self._answer(replace(reply, text=f"{MAY_REPEAT} {reply.text}"), target, again=False)
            case Unsent() | Wait():
                raise NotNowError(cleaned(str(trouble)))
        log.error("A reply was not delivered: %s", trouble)
        return True

    async def _tell_sender(self, update: Update) -> None:
        """Tells the member that a message was set aside; the organisers' notice is on its way."""
        self.answered.pop(update.update_id, None)
        self.wake()
        try:
            await self._answer(Reply(SET_ASIDE), _target(update))
        except NotNowError:
            log.warning("A member could not be told that a message was set aside.")

    def _tell_organisers(self, tx: Transaction, update: Update, error: str) -> None:
        user = update.effective_user
        sender = tx.people.by_identity(DOOR, str(user.id)) if user else None
        tell_organisers(tx, key_of(update), sender, DOOR, error, self.clock.now())

    async def _note(self, work: Callable[[Transaction], Any]) -> None:
        await self.run(lambda: self.store.run(work))

    async def _fetch(self, file_id: str) -> bytes:
        file = await self.bot.get_file(file_id)
        return bytes(await file.download_as_bytearray())


def _target(update: Update) -> Target:
    """Where to answer: in a group as an answer to the message."""
    query = update.callback_query
    if query:
        return Target(chat_of(update), pressed=query.message.message_id if query.message else None)
    message = update.effective_message
    grouped = message is not None and message.chat.type != "private"
    return Target(chat_of(update), answers=message.message_id if message and grouped else None)
