"""How a reply becomes messages of the platform: escaped, folded, with its buttons under the last one and its files after it.

A call that certainly did not arrive is tried again for a while; what becomes of any other error is for the caller to decide.
"""

from __future__ import annotations

import asyncio
import hashlib
import html
import io
from collections import OrderedDict
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TypeVar

from PIL import Image
from telegram import InlineKeyboardButton, InlineKeyboardMarkup, LinkPreviewOptions, Message, ReplyParameters
from telegram.constants import ParseMode
from telegram.error import BadRequest, TelegramError
from telegram.ext import ExtBot

from bot.conversation.message import Attachment, Button, Reply
from bot.telegram.fold import clip, fold
from bot.telegram.hiding import cleaned
from bot.telegram.incoming import MARK
from bot.telegram.rate import BROADCAST
from bot.telegram.trouble import Gone, Unsent, Wrong, verdict

PAUSES = (0.5, 2.0, 5.0)
BUTTONS_A_ROW = 8
BUTTONS = 100
LABEL_LIMIT = 64
_PHOTO_BYTES = 10_000_000
_PHOTO_SIDES = 10_000
_PHOTO_RATIO = 20
_KNOWN_FILES = 500
_NO_PREVIEW = LinkPreviewOptions(is_disabled=True)
_NOT_EDITABLE = ("message can't be edited", "message to edit not found", "no text in the message", "message_id_invalid")

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Target:
    """Where a reply goes: the chat; the message it answers (in groups); the message whose button was pressed."""

    chat: str
    answers: int | None = None
    pressed: int | None = None


class PartlySentError(Exception):
    """Some parts of a reply arrived, and then one did not; `final` says that it never will."""

    def __init__(self, why: str, *, final: bool) -> None:
        super().__init__(why)
        self.final = final


@dataclass
class Speaker:
    """Sends replies by one bot. `pauses` are the seconds waited between the tries of what certainly did not arrive."""

    bot: ExtBot[int]
    pauses: tuple[float, ...] = PAUSES
    files: OrderedDict[str, str] = field(default_factory=OrderedDict)
    """The platform's ids of files it has, by the hash of their content."""

    async def say(self, reply: Reply, target: Target, *, broadcast: bool = False) -> str | None:
        """Sends a reply; the platform's id of its last message.

        Raises `TelegramError` where nothing arrived, or `PartlySentError`.
        """
        parts = fold(reply.text)
        keyboard = keyboard_of(reply.buttons)
        if reply.replaces and len(parts) == 1 and await self._replace(parts[0], keyboard, target):
            parts = []
        under = [None] * (len(parts) - 1) + [keyboard]
        steps: list[Callable[[], Awaitable[Message]]] = [
            partial(self._text, part, below, target, broadcast) for part, below in zip(parts, under, strict=False)
        ]
        steps += [partial(self._attach, attachment, target, broadcast) for attachment in reply.attachments]
        return await self._all(steps)

    async def _all(self, steps: list[Callable[[], Awaitable[Message]]]) -> str | None:
        sent: Message | None = None
        for step in steps:
            try:
                sent = await self._try(step, self.pauses if sent is None else PAUSES)
            except TelegramError as error:
                if sent is None:
                    raise
                final = isinstance(verdict(error), Wrong | Gone)
                raise PartlySentError(cleaned(error.message), final=final) from error
        return str(sent.message_id) if sent else None

    async def _text(self, text: str, keyboard: InlineKeyboardMarkup | None, target: Target, broadcast: bool) -> Message:
        return await self.bot.send_message(
            target.chat,
            html.escape(text, quote=False),
            parse_mode=ParseMode.HTML,
            reply_markup=keyboard,
            reply_parameters=_answering(target),
            link_preview_options=_NO_PREVIEW,
            rate_limit_args=_priority(broadcast),
        )

    async def _replace(self, text: str, keyboard: InlineKeyboardMarkup | None, target: Target) -> bool:
        """Puts the text in place of the pressed message's; False without one or where the platform does not let us."""
        if target.pressed is None:
            return False
        try:
            await self._try(
                lambda: self.bot.edit_message_text(
                    html.escape(text, quote=False),
                    target.chat,
                    target.pressed,
                    parse_mode=ParseMode.HTML,
                    reply_markup=keyboard,
                    link_preview_options=_NO_PREVIEW,
                ),
                self.pauses,
            )
        except BadRequest as error:
            message = error.message.casefold()
            if "not modified" in message:
                return True
            if any(sign in message for sign in _NOT_EDITABLE):
                return False
            raise
        return True

    async def _attach(self, attachment: Attachment, target: Target, broadcast: bool) -> Message:
        key = hashlib.sha256(attachment.content).hexdigest()
        photo = is_photo(attachment)
        for content, as_photo in ((self.files.get(key), photo), (attachment.content, photo), (attachment.content, False)):
            try:
                if content is not None:
                    message = await self._file(content, as_photo, attachment.name, target, broadcast)
                    self._remember(key, message)
                    return message
            except BadRequest as error:
                if not isinstance(verdict(error), Wrong) or (content is attachment.content and not as_photo):
                    raise
        raise AssertionError("the last way either worked or raised")

    async def _file(self, content: bytes | str, as_photo: bool, name: str, target: Target, broadcast: bool) -> Message:
        send = self.bot.send_photo if as_photo else self.bot.send_document
        answering, priority = _answering(target), _priority(broadcast)
        return await send(target.chat, content, filename=name, reply_parameters=answering, rate_limit_args=priority)

    def _remember(self, key: str, message: Message) -> None:
        file = message.photo[-1] if message.photo else message.document
        if file:
            self.files[key] = file.file_id
            while len(self.files) > _KNOWN_FILES:
                self.files.popitem(last=False)

    @staticmethod
    async def _try(call: Callable[[], Awaitable[Result]], pauses: tuple[float, ...]) -> Result:
        """Makes a call, again where it certainly did not arrive."""
        for pause in pauses:
            try:
                return await call()
            except TelegramError as error:
                if not isinstance(verdict(error), Unsent):
                    raise
                await asyncio.sleep(pause)
        return await call()


def keyboard_of(rows: tuple[tuple[Button, ...], ...]) -> InlineKeyboardMarkup | None:
    """The buttons as the platform takes them: at most 8 in a row and 100 in all, labels cut short."""
    wrapped = [row[at : at + BUTTONS_A_ROW] for row in rows for at in range(0, len(row), BUTTONS_A_ROW)]
    keyboard: list[list[InlineKeyboardButton]] = []
    left = BUTTONS
    for row in wrapped:
        keyboard.append([_button(each) for each in row[:left]])
        left -= len(keyboard[-1])
        if left == 0:
            break
    return InlineKeyboardMarkup(keyboard) if keyboard else None


def _button(button: Button) -> InlineKeyboardButton:
    return InlineKeyboardButton(clip(button.label, LABEL_LIMIT), callback_data=MARK + button.token)


def is_photo(attachment: Attachment) -> bool:
    """Whether the platform takes it as a photo; too large, too long-sided or no picture at all, it goes as a file."""
    if attachment.media_type not in ("image/png", "image/jpeg") or len(attachment.content) > _PHOTO_BYTES:
        return False
    try:
        with Image.open(io.BytesIO(attachment.content)) as image:
            width, height = image.size
    except (OSError, Image.DecompressionBombError):
        return False
    return width + height <= _PHOTO_SIDES and max(width, height) <= _PHOTO_RATIO * min(width, height)


def _answering(target: Target) -> ReplyParameters | None:
    return ReplyParameters(target.answers, allow_sending_without_reply=True) if target.answers is not None else None


def _priority(broadcast: bool) -> int | None:
    return BROADCAST if broadcast else None
