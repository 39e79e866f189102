"""What each method of the Bot API does to the make-believe platform, and what it answers."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PIL import Image, UnidentifiedImageError

from tests.telegram.schema import RejectedError, bad, parsed
from tests.telegram.world import BOT, Chat, Message

if TYPE_CHECKING:
    from tests.telegram.double import Call, Double

Answer = Callable[["Double", "Call"], Any]


def _chat(double: Double, call: Call) -> Chat:
    chat = double.chats.get(call.values["chat_id"])
    if chat is None:
        raise bad("chat not found")
    if chat.moved_to:
        raise RejectedError(400, "Bad Request: group chat was upgraded to a supergroup chat", migrate_to_chat_id=chat.moved_to)
    if chat.refuses:
        raise RejectedError(403, chat.refuses)
    return chat


def _extras(values: dict[str, Any], chat: Chat) -> dict[str, Any]:
    extras: dict[str, Any] = {}
    if "reply_markup" in values and "inline_keyboard" in values["reply_markup"]:
        extras["reply_markup"] = values["reply_markup"]
    answered = values.get("reply_parameters")
    if answered:
        original = chat.find(answered["message_id"])
        if original is None and not answered.get("allow_sending_without_reply"):
            raise bad("message to be replied not found")
        if original is not None:
            extras["reply_to_message"] = original
    return extras


def _text(values: dict[str, Any], key: str = "text") -> dict[str, Any]:
    if key not in values:
        return {}
    shown, marks = parsed(values[key], values.get("parse_mode"))
    if not shown:
        return {} if key == "caption" else _raise(bad("message text is empty"))
    return {key: shown, **({"entities" if key == "text" else "caption_entities": marks} if marks else {})}


def _raise(error: Exception) -> Any:
    raise error


def send_message(double: Double, call: Call) -> Message:
    chat = _chat(double, call)
    return chat.add(BOT, **_text(call.values), **_extras(call.values, chat))


def send_photo(double: Double, call: Call) -> Message:
    chat = _chat(double, call)
    return chat.add(
        BOT, photo=_photo(double, call, call.values["photo"]), **_text(call.values, "caption"), **_extras(call.values, chat)
    )


def send_document(double: Double, call: Call) -> Message:
    chat = _chat(double, call)
    document = _document(double, call, call.values["document"])
    return chat.add(BOT, document=document, **_text(call.values, "caption"), **_extras(call.values, chat))


def send_media_group(double: Double, call: Call) -> list[Message]:
    chat = _chat(double, call)
    album = double.new_id("album")
    kinds: dict[str, Callable[..., Any]] = {"photo": _photo, "document": _document}
    shown = [{item["type"]: kinds[item["type"]](double, call, item["media"])} for item in call.values["media"]]
    return [
        chat.add(BOT, media_group_id=album, **content, **_text(item, "caption"))
        for content, item in zip(shown, call.values["media"], strict=True)
    ]


def _upload(double: Double, call: Call, value: str) -> tuple[str, bytes] | None:
    """The uploaded file, or None where `value` is the id of a file the platform has."""
    if value.startswith("attach://"):
        return call.files[value.removeprefix("attach://")]
    if value not in double.files:
        raise bad("wrong file identifier/HTTP URL specified")
    return None


def _photo(double: Double, call: Call, value: str) -> list[dict[str, Any]]:
    upload = _upload(double, call, value)
    if upload is None:
        return [{"file_id": value, "file_unique_id": f"u{value}", "width": 90, "height": 90}]
    if len(upload[1]) > 10_000_000:
        raise bad("file is too big")
    try:
        with Image.open(io.BytesIO(upload[1])) as image:
            width, height = image.size
    except UnidentifiedImageError:
        raise bad("IMAGE_PROCESS_FAILED") from None
    if width + height > 10_000 or max(width, height) > 20 * min(width, height):
        raise bad("PHOTO_INVALID_DIMENSIONS")
    return [double.keep(upload[1], f"photos/{upload[0]}", width=width, height=height)]


def _document(double: Double, call: Call, value: str) -> dict[str, Any]:
    upload = _upload(double, call, value)
    if upload is None:
        return {"file_id": value, "file_unique_id": f"u{value}"}
    if len(upload[1]) > 50_000_000:
        raise RejectedError(413, "Request Entity Too Large")
    return double.keep(upload[1], f"documents/{upload[0]}", file_name=upload[0])


def _editable(double: Double, call: Call) -> Message:
    message = _chat(double, call).find(call.values.get("message_id", -1))
    if message is None:
        raise bad("message to edit not found")
    if not message["from"]["is_bot"]:
        raise bad("message can't be edited")
    return message


def _edit(message: Message, content: dict[str, Any], double: Double) -> Message:
    before = {key: message.get(key) for key in ("text", "caption", "reply_markup")}
    after = {**before, "reply_markup": content.get("reply_markup"), **{key: content[key] for key in content if key in before}}
    if before == after:
        raise bad(
            "message is not modified: specified new message content and reply markup are exactly the same as a current content "
            "and reply markup of the message"
        )
    message.pop("reply_markup", None)
    message |= {**content, "edit_date": double.seconds()}
    return message


def edit_message_text(double: Double, call: Call) -> Message:
    message = _editable(double, call)
    if "text" not in message:
        raise bad("there is no text in the message to edit")
    return _edit(message, {**_text(call.values), **_extras(call.values, double.chats[call.values["chat_id"]])}, double)


def edit_message_reply_markup(double: Double, call: Call) -> Message:
    return _edit(_editable(double, call), _extras(call.values, double.chats[call.values["chat_id"]]), double)


def delete_message(double: Double, call: Call) -> bool:
    chat = _chat(double, call)
    message = chat.find(call.values["message_id"])
    if message is None:
        raise bad("message to delete not found")
    chat.messages.remove(message)
    return True


def answer_callback_query(double: Double, call: Call) -> bool:
    if call.values["callback_query_id"] not in double.queries:
        raise bad("query is too old and response timeout expired or query ID is invalid")
    double.queries[call.values["callback_query_id"]] = call.values
    return True


def get_file(double: Double, call: Call) -> dict[str, Any]:
    file_id = call.values["file_id"]
    if file_id not in double.files:
        raise bad("invalid file_id")
    path, content = double.files[file_id]
    if len(content) > 20_000_000:
        raise bad("file is too big")
    return {"file_id": file_id, "file_unique_id": f"u{file_id}", "file_size": len(content), "file_path": path}


def _scope(call: Call) -> str:
    return json.dumps([call.values.get("scope", {"type": "default"}), call.values.get("language_code", "")], sort_keys=True)


def set_my_commands(double: Double, call: Call) -> bool:
    double.commands[_scope(call)] = call.values["commands"]
    return True


def delete_my_commands(double: Double, call: Call) -> bool:
    double.commands.pop(_scope(call), None)
    return True


def set_webhook(double: Double, call: Call) -> bool:
    double.webhook = {key: call.values[key] for key in ("url", "secret_token") if call.values.get(key)}
    if "allowed_updates" in call.values:
        double.allowed = set(call.values["allowed_updates"])
    if double.webhook:
        double.start_pushing()
    return True


def delete_webhook(double: Double, call: Call) -> bool:
    double.webhook = {}
    if call.values.get("drop_pending_updates"):
        double.updates.clear()
    return True


def leave_chat(double: Double, call: Call) -> bool:
    _chat(double, call).refuses = "Forbidden: bot is not a member of the group chat"
    return True


ANSWERS: dict[str, Answer] = {
    "getMe": lambda double, call: {**BOT, "can_join_groups": True, "supports_inline_queries": False},
    "logOut": lambda double, call: True,
    "close": lambda double, call: True,
    "sendMessage": send_message,
    "sendPhoto": send_photo,
    "sendDocument": send_document,
    "sendMediaGroup": send_media_group,
    "editMessageText": edit_message_text,
    "editMessageReplyMarkup": edit_message_reply_markup,
    "deleteMessage": delete_message,
    "answerCallbackQuery": answer_callback_query,
    "getFile": get_file,
    "setMyCommands": set_my_commands,
    "getMyCommands": lambda double, call: double.commands.get(_scope(call), []),
    "deleteMyCommands": delete_my_commands,
    "getChat": lambda double, call: {**_chat(double, call).shown(), "accent_color_id": 0, "max_reaction_count": 11},
    "getChatMember": lambda double, call: {
        "status": "member",
        "user": {"id": call.values["user_id"], "is_bot": False, "first_name": "Ana"},
    },
    "leaveChat": leave_chat,
    "sendChatAction": lambda double, call: bool(_chat(double, call)),
    "setWebhook": set_webhook,
    "deleteWebhook": delete_webhook,
    "getWebhookInfo": lambda double, call: {
        "url": double.webhook.get("url", ""),
        "has_custom_certificate": False,
        "pending_update_count": len(double.updates),
    },
}
