"""Plays a conversation file through the real Telegram front door, against the double.

The player is synchronous; the front door runs in a loop on a thread of its own. What somebody is sent unasked is held back until
the player asks for it, so that it can be told from the replies.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Coroutine
from datetime import datetime, timedelta
from pathlib import PurePosixPath
from typing import Any, TypeVar

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.play.script import Script
from bot.play.stage import EXAMPLE_PHOTO, NoSuchButtonError, Shown, begin
from bot.telegram import Settings, Telegram, rate
from bot.telegram.outgoing import Target
from core.store import Store
from tests.telegram.double import TOKEN, Double, Member
from tests.telegram.world import Chat, Message

Result = TypeVar("Result")


class TelegramStage:
    """A `Stage` of the player. Close it at the end."""

    def __init__(self, store: Store, script: Script, moment: datetime) -> None:
        self.store = store
        self.clock = SetClock(moment)
        self.conversation = Conversation(store, self.clock)
        self.loop = asyncio.new_event_loop()
        self.thread = threading.Thread(target=self.loop.run_forever, daemon=True)
        self.thread.start()
        self.pace = rate.BURST, rate.OVERALL_PER_SECOND
        rate.BURST = rate.OVERALL_PER_SECOND = 10_000
        self._do(self._open())
        self.people = self.conversation.do(lambda visit: begin(visit, script, moment))
        self.members = {name: self._member(name, person) for name, person in self.people.items()}
        self._seen: dict[int, dict[int, str]] = {member.chat.id: {} for member in self.members.values()}

    async def _open(self) -> None:
        self.double = await Double(clock=self.clock).__aenter__()
        settings = Settings(TOKEN, self.double.base_url, tick_seconds=1e6)
        self.telegram = Telegram(settings, self.store, self.conversation, self.clock)
        self.telegram.handling.wake = lambda: None
        self.telegram.start()
        await self.telegram.ready()

    def _member(self, name: str, person: str) -> Member:
        member = self.double.member(name)
        with self.store.write() as tx:
            tx.people.identify("telegram", str(member.user["id"]), person, str(member.chat.id))
        return member

    def close(self) -> None:
        self._do(self._shut())
        self.loop.call_soon_threadsafe(self.loop.stop)
        self.thread.join()
        self.loop.close()
        rate.BURST, rate.OVERALL_PER_SECOND = self.pace

    async def _shut(self) -> None:
        await self.telegram.stop()
        await self.double.__aexit__()

    def _do(self, work: Coroutine[Any, Any, Result]) -> Result:
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(30)

    # --- what the player asks for -------------------------------------------------------------------------------------

    def say(self, name: str, text: str, *, ago: timedelta = timedelta()) -> list[Shown]:
        return self._do(self._after(name, lambda member: member.say(text, ago=ago)))

    def edit(self, name: str, text: str) -> list[Shown]:
        return self._do(self._after(name, lambda member: member.edit(text)))

    def photo(self, name: str, caption: str) -> list[Shown]:
        return self._do(self._after(name, lambda member: member.photo(EXAMPLE_PHOTO.read_bytes(), caption)))

    def press(self, name: str, label: str) -> list[Shown]:
        try:
            self.members[name].chat.button(label)
        except AssertionError as missing:
            raise NoSuchButtonError(f"{name} was shown no button [{label}]") from missing
        return self._do(self._after(name, lambda member: member.press(label)))

    def press_data(self, name: str, data: str) -> list[Shown]:
        """Any data at all, pressed under the last message that NAME has of the bot."""
        chat = self.members[name].chat
        if not chat.messages:
            self.say(name, "hello")
        return self._do(self._after(name, lambda member: member.press_data(data, chat.from_bot[-1])))

    def in_group(self, name: str, group: Chat, text: str) -> list[str]:
        """NAME writes a text in a group; what the bot says there."""
        before = len(group.texts)
        self.in_loop(lambda: self.members[name].say(text, group=group))
        return group.texts[before:]

    def in_loop(self, deed: Callable[[], Result]) -> Result:
        """Does something on the platform, and waits until the bot has taken it."""

        async def do() -> Result:
            result = deed()
            await self.double.confirmed()
            await self.telegram.inbox.join()
            return result

        return self._do(do())

    def digest(self, name: str) -> list[Shown]:
        return self._do(self._digest(name))

    def advance(self, moment: datetime) -> None:
        while self.clock.moment < moment:
            due = self.conversation.next_due()
            self.clock.moment = min(moment, max(due or moment, self.clock.moment + timedelta(minutes=1)))
            self._do(self.telegram.tick())
            self._do(self.telegram.settled())

    def unasked(self) -> dict[str, list[Shown]]:
        return self._do(self._unasked())

    # --- in the loop --------------------------------------------------------------------------------------------------

    async def _after(self, name: str, deed: Any) -> list[Shown]:
        deed(self.members[name])
        await self.double.confirmed()
        await self.telegram.inbox.join()
        return self._new(self.members[name].chat)

    async def _digest(self, name: str) -> list[Shown]:
        chat = self.members[name].chat
        reply = await self.telegram.think(lambda: self.conversation.digest(self.people[name], "telegram", str(chat.id)))
        if reply:
            await self.telegram.handling.speaker.say(reply, Target(str(chat.id)))
        return self._new(chat)

    async def _unasked(self) -> dict[str, list[Shown]]:
        self.telegram.courier.wake()
        await self.telegram.courier.settled()
        found = {name: self._new(member.chat) for name, member in self.members.items()}
        return {name: shown for name, shown in found.items() if shown}

    def _new(self, chat: Chat) -> list[Shown]:
        """What the bot wrote or changed in the chat since this was last asked."""
        seen, shown = self._seen[chat.id], list[Shown]()
        for message in chat.from_bot:
            face = repr((message.get("text"), message.get("reply_markup")))
            if seen.get(message["message_id"]) == face:
                continue
            seen[message["message_id"]] = face
            if "text" in message:
                shown.append(Shown(message["text"], _labels(message)))
            elif shown:
                last = shown.pop()
                shown.append(Shown(last.text, last.labels, (*last.files, self._file(message))))
        return shown

    def _file(self, message: Message) -> str:
        file_id = message["photo"][-1]["file_id"] if "photo" in message else message["document"]["file_id"]
        name = PurePosixPath(self.double.files[file_id][0]).name
        return name.removeprefix(f"{file_id}_")


def _labels(message: Message) -> tuple[str, ...]:
    rows = message.get("reply_markup", {}).get("inline_keyboard", ())
    return tuple(button["text"] for row in rows for button in row)
