"""The people, chats and messages of a make-believe platform, as the Bot API shows them to a bot."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.telegram.markup import units

if TYPE_CHECKING:
    from tests.telegram.double import Double

Message = dict[str, Any]
Update = dict[str, Any]

BOT = {"id": 990, "is_bot": True, "first_name": "Frywire", "username": "frywire_test_bot"}
_ENTITY = re.compile(r"(?P<bot_command>(?<!\S)/\w+(?:@\w+)?)|(?P<mention>@\w{5,})")


def entities(text: str) -> list[dict[str, Any]]:
    """The commands and mentions the platform finds in a text by itself."""
    return [
        {"type": found.lastgroup, "offset": units(text[: found.start()]), "length": units(found.group())}
        for found in _ENTITY.finditer(text)
    ]


@dataclass(eq=False)
class Chat:
    """A private chat or a group, with everything said in it."""

    double: Double
    id: int
    type: str
    title: str
    messages: list[Message] = field(default_factory=list)
    numbers: Any = field(default_factory=lambda: itertools.count(1))
    refuses: str | None = None
    """Why the bot may not write here (403), if so."""
    moved_to: int | None = None

    def shown(self) -> dict[str, Any]:
        name = {"first_name": self.title} if self.type == "private" else {"title": self.title}
        return {"id": self.id, "type": self.type, **name}

    def add(self, sender: dict[str, Any], **content: Any) -> Message:
        message = {
            "message_id": next(self.numbers),
            "from": sender,
            "chat": self.shown(),
            "date": self.double.seconds(),
            **content,
        }
        self.messages.append(message)
        self.double.changed()
        return message

    def find(self, message_id: int) -> Message | None:
        return next((message for message in self.messages if message["message_id"] == message_id), None)

    @property
    def from_bot(self) -> list[Message]:
        """What the bot said here, oldest first, as it stands after edits."""
        return [message for message in self.messages if message["from"]["is_bot"]]

    @property
    def texts(self) -> list[str]:
        return [message.get("text", message.get("caption", "")) for message in self.from_bot]

    def button(self, label: str) -> tuple[Message, str]:
        """The newest message with such a button, and the data it carries."""
        for message in reversed(self.from_bot):
            for row in message.get("reply_markup", {}).get("inline_keyboard", ()):
                for button in row:
                    if button["text"].casefold() == label.casefold():
                        return message, button["callback_data"]
        raise AssertionError(f"no button [{label}] in {self.texts[-3:]}")

    def migrate(self) -> Chat:
        """The group becomes a supergroup with a new id; members and the bot are told by service messages."""
        new = self.double.add_chat(-1_000_000_000_000 - abs(self.id), "supergroup", self.title)
        self.moved_to = new.id
        service = {"id": 777, "is_bot": False, "first_name": "Ana"}
        self.double.deliver(message=self.add(service, migrate_to_chat_id=new.id))
        self.double.deliver(message=new.add(service, migrate_from_chat_id=self.id))
        return new


@dataclass(eq=False)
class Member:
    """Somebody with the app in hand. Everything they do reaches the bot as an update."""

    double: Double
    user: dict[str, Any]
    chat: Chat

    @property
    def texts(self) -> list[str]:
        """What the bot wrote to them in private."""
        return self.chat.texts

    def say(
        self, text: str, *, group: Chat | None = None, reply_to: Message | None = None, ago: timedelta = timedelta()
    ) -> Message:
        """Writes a text; `ago` is how long it has been on its way."""
        extra = {"reply_to_message": reply_to} if reply_to else {}
        return self._send(group, text=text, date=self.double.seconds() - int(ago.total_seconds()), **extra)

    def start(self, payload: str = "") -> Message:
        return self.say(f"/start {payload}".strip())

    def edit(self, text: str, message: Message | None = None) -> None:
        message = message or [one for one in self.chat.messages if one["from"] == self.user][-1]
        key = "caption" if "photo" in message else "text"
        message |= {key: text, "edit_date": self.double.seconds()}
        self.double.deliver(edited_message=dict(message))

    def press(self, label: str, *, group: Chat | None = None) -> str:
        message, data = (group or self.chat).button(label)
        return self.press_data(data, message)

    def press_data(self, data: str, message: Message) -> str:
        """Sends any data at all as a press under a message, as a forger's client could. The id of the query comes back."""
        query = self.double.new_id("query")
        self.double.queries[query] = None
        press = {"id": query, "from": self.user, "message": message, "chat_instance": "1", "data": data}
        self.double.deliver(callback_query=press)
        return query

    def photo(self, content: bytes, caption: str = "", *, group: Chat | None = None, album: str | None = None) -> Message:
        small = self.double.keep(content[:1000], "photos/small.jpg", width=90, height=67)
        large = self.double.keep(content, "photos/large.jpg", width=1280, height=960)
        extra = {"media_group_id": album} if album else {}
        return self._send(group, photo=[small, large], **({"caption": caption} if caption else {}), **extra)

    def voice(self) -> Message:
        return self._send(None, voice=self.double.keep(b"OggS", "voice/note.oga", duration=3, mime_type="audio/ogg"))

    def sticker(self) -> Message:
        shape = {"type": "regular", "width": 512, "height": 512, "is_animated": False, "is_video": False}
        return self._send(None, sticker=self.double.keep(b"RIFF", "stickers/fish.webp", **shape))

    def document(self, name: str, content: bytes, caption: str = "") -> Message:
        return self._send(None, document=self.double.keep(content, f"documents/{name}", file_name=name), caption=caption)

    def membership(self, status: str) -> None:
        """Stops the bot ("kicked") or starts it again ("member"), as the platform tells the bot of it."""
        states = [{"user": BOT, "status": one, "until_date": 0} for one in ("member", status)]
        self.double.deliver(
            my_chat_member={
                "chat": self.chat.shown(),
                "from": self.user,
                "date": self.double.seconds(),
                "old_chat_member": states[0],
                "new_chat_member": states[1],
            }
        )

    def block(self) -> None:
        self.chat.refuses = "Forbidden: bot was blocked by the user"

    def _send(self, group: Chat | None, **content: Any) -> Message:
        for key, marks in (("text", "entities"), ("caption", "caption_entities")):
            if content.get(key) and entities(content[key]):
                content[marks] = entities(content[key])
        message = (group or self.chat).add(self.user, **content)
        self.double.deliver(message=message)
        return message
