"""A reply as plain JSON values and back, for messages that wait in the store before they are sent."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from typing import Any

from bot.conversation.message import Attachment, Button, Reply


def to_plain(reply: Reply) -> dict[str, Any]:
    """The reply as JSON values; what is empty is left out."""
    plain: dict[str, Any] = {"text": reply.text}
    if reply.buttons:
        plain["buttons"] = [[[button.label, button.token] for button in row] for row in reply.buttons]
    if reply.attachments:
        plain["attachments"] = [
            [each.name, each.media_type, base64.b64encode(each.content).decode()] for each in reply.attachments
        ]
    if reply.replaces:
        plain["replaces"] = True
    return plain


def from_plain(plain: Mapping[str, Any]) -> Reply:
    """The reply that `to_plain` wrote down. Raises KeyError or ValueError for anything else."""
    return Reply(
        text=plain["text"],
        buttons=tuple(tuple(Button(label, token) for label, token in row) for row in plain.get("buttons", ())),
        attachments=tuple(
            Attachment(name, media_type, base64.b64decode(content, validate=True))
            for name, media_type, content in plain.get("attachments", ())
        ),
        replaces=plain.get("replaces", False),
    )
