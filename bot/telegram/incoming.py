"""What an update of the platform says, as the conversation takes it.

Members log in private chats. In a group the bot hears only what is addressed to it: a mention, a command for it, an answer to one
of its messages, a press of one of its buttons.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Protocol

from telegram import Bot, CallbackQuery, Document, Message, PhotoSize, Update
from telegram.error import BadRequest

from bot.conversation.message import Incoming, Origin, Other, Picture, Press, Text

DOOR = "telegram"
MARK = "1:"
"""What the data of our buttons begins with; a new number makes all older buttons recognisable as such."""
LATE = timedelta(minutes=2)
"""A message that was on its way for longer is read as of when it was written."""
LOST = timedelta(hours=26)
"""No message is on its way for longer: the platform keeps what a bot does not fetch for a day."""
_LARGEST_DOWNLOAD = 20_000_000
_PHOTO_TYPES = {"image/jpeg", "image/png", "image/webp", "image/heic", "image/heif"}
_COMMAND = re.compile(r"/(?P<name>\w+)(?:@(?P<bot>\w+))?\s*(?P<rest>.*)", re.DOTALL)
_KINDS = {
    "voice": "voice note",
    "audio": "audio file",
    "video_note": "video message",
    "video": "video",
    "animation": "animation",
    "sticker": "sticker",
    "document": "document",
    "location": "location",
    "contact": "contact",
    "poll": "poll",
    "checklist": "checklist",
    "story": "story",
    "dice": "roll of dice",
}


@dataclass(frozen=True, slots=True)
class Arrival:
    """Somebody opened the chat with /start, perhaps with a payload from a link."""

    external: str
    chat: str
    shown_name: str
    payload: str
    group: bool


@dataclass(frozen=True, slots=True)
class StaleButton:
    """A button was pressed whose data is not of our making, or of an older make."""

    chat: str | None


@dataclass(frozen=True, slots=True)
class Moved:
    """A group got a new id."""

    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Access:
    """Somebody stopped the bot or started it again, or a group put it out or took it in."""

    chat: str
    open: bool


class Fetch(Protocol):
    """Gets a file from the platform."""

    async def __call__(self, file_id: str) -> bytes:
        """The file's content."""
        ...


@dataclass(frozen=True, slots=True)
class Album:
    """Several photos sent in one go: the message that came first, and the caption that one of them carries."""

    first: int
    caption: str


Albums = dict[str, Album]
"""By the platform's own name of the album; the latest hundred."""
_ALBUMS_KEPT = 100

Heard = Incoming | Arrival | StaleButton | Moved | Access


async def read(update: Update, bot: Bot, fetch: Fetch, albums: Albums, now: datetime) -> Heard | None:
    """What the update says; None where it is not for the bot. `albums` remembers those that are just coming in.

    Raises `TelegramError` where a photo cannot be fetched now.
    """
    if update.callback_query:
        return _press(update.callback_query)
    if update.my_chat_member:
        member = update.my_chat_member
        return Access(str(member.chat.id), member.new_chat_member.status not in ("kicked", "left"))
    if update.message:
        heard = await _message(update.message, 0, bot, fetch, albums)
        waited = _waited_since(update.message, now)
        return replace(heard, origin=replace(heard.origin, written=waited)) if waited and isinstance(heard, Incoming) else heard
    if update.edited_message:
        # Later edits have higher update ids, and the same edit brought twice has the same.
        return await _message(update.edited_message, update.update_id, bot, fetch, albums)
    return None


def _press(query: CallbackQuery) -> Press | StaleButton:
    message = query.message
    data = query.data or ""
    if message is None or not data.startswith(MARK):
        return StaleButton(str(message.chat.id) if message else None)
    group = message.chat.type != "private"
    return Press(Origin(str(query.from_user.id), DOOR, str(message.chat.id), query.id, group), data.removeprefix(MARK))


async def _message(message: Message, revision: int, bot: Bot, fetch: Fetch, albums: Albums) -> Heard | None:
    if message.migrate_to_chat_id:
        return Moved(str(message.chat.id), str(message.migrate_to_chat_id))
    if message.from_user is None or message.from_user.is_bot or message.sender_chat or message.chat.type == "channel":
        return None
    group = message.chat.type != "private"
    words = message.text if message.text is not None else message.caption or ""
    command = _COMMAND.fullmatch(words)
    if command and command["bot"] and command["bot"].casefold() != bot.username.casefold():
        return None
    if group and not command and not _addressed(message, words, bot):
        return None
    origin = Origin(str(message.from_user.id), DOOR, str(message.chat.id), str(message.message_id), group)
    if command and command["name"] == "start" and not revision:
        return Arrival(origin.person, origin.chat, message.from_user.full_name, command["rest"].strip(), group)
    said = f"{command['name']} {command['rest']}".strip() if command else _without_mention(words, bot)
    if picture := _largest(message):
        heard = await _picture(picture, origin, said, revision, fetch)
        return _in_album(heard, message, albums) if isinstance(heard, Picture) and message.media_group_id else heard
    if message.text is not None:
        return Text(origin, said, revision)
    return None if revision else _other(message, origin)


def _waited_since(message: Message, now: datetime) -> datetime | None:
    """When a message was written that waited out an outage. A clock that is wildly wrong is not believed."""
    return message.date if LATE < now - message.date < LOST else None


def _addressed(message: Message, words: str, bot: Bot) -> bool:
    answered = message.reply_to_message
    to_bot = answered is not None and answered.from_user is not None and answered.from_user.id == bot.id
    return to_bot or _mention(bot).search(words) is not None


def _mention(bot: Bot) -> re.Pattern[str]:
    return re.compile(rf"@{re.escape(bot.username)}\b[,:]?", re.IGNORECASE)


def _without_mention(words: str, bot: Bot) -> str:
    return re.sub(" {2,}", " ", _mention(bot).sub(" ", words)).strip()


def _in_album(picture: Picture, message: Message, albums: Albums) -> Picture:
    """An album carries its caption on one photo; it says of all of them whom they show, and what happened it tells once."""
    name = str(message.media_group_id)
    known = albums.get(name)
    if picture.caption or known is None:
        albums[name] = Album(known.first if known else message.message_id, picture.caption)
        while len(albums) > _ALBUMS_KEPT:
            del albums[next(iter(albums))]
        return picture
    return replace(picture, caption=known.caption, more=message.message_id != known.first)


def _largest(message: Message) -> PhotoSize | Document | None:
    """The photo in its largest size; a photo sent "as a file" is one too."""
    if message.photo:
        return max(message.photo, key=lambda size: size.width * size.height)
    document = message.document
    return document if document and (document.mime_type or "") in _PHOTO_TYPES else None


async def _picture(picture: PhotoSize | Document, origin: Origin, caption: str, revision: int, fetch: Fetch) -> Incoming:
    if (picture.file_size or 0) > _LARGEST_DOWNLOAD:
        return Other(origin, "photo")
    try:
        content = await fetch(picture.file_id)
    except BadRequest:
        return Other(origin, "photo")
    return Picture(origin, content, caption, revision, picture.file_id)


def _other(message: Message, origin: Origin) -> Other | None:
    """Something unreadable that a member sent; what the platform itself notes in a chat (a pinned message) is nothing."""
    kind = next((name for name in _KINDS if getattr(message, name, None)), None)
    return Other(origin, _KINDS[kind]) if kind else None


def chat_of(update: Update) -> str:
    """The chat whose order an update belongs to; a press without a chat belongs to its presser."""
    if update.effective_chat:
        return str(update.effective_chat.id)
    return str(update.effective_user.id) if update.effective_user else "none"


def key_of(update: Update) -> str:
    """What an update is known by: its number, and what it is about, since another server may begin to count anew."""
    about = update.callback_query or update.effective_message
    name = about.id if isinstance(about, CallbackQuery) else f"{chat_of(update)}.{about.message_id}" if about else ""
    return f"{update.update_id}.{name}"
