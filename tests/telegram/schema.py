"""What the platform accepts: each call held against a trimmed schema of the Bot API, with its limits.

The schema (`botapi.json`) is trimmed from PaulSonOfLars/telegram-bot-api-spec (MIT), which reads it off the platform's manual.
Limits said to hold "after entities parsing" count UTF-16 units, as all lengths of the platform do.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from tests.telegram.markup import MarkupError, parse_html, units

SCHEMA: dict[str, Any] = json.loads((Path(__file__).parent / "botapi.json").read_text())
METHODS: dict[str, dict[str, str]] = SCHEMA["methods"]
TYPES: dict[str, Any] = SCHEMA["types"]
_FIELD = re.compile(r"(?P<required>!?)(?P<types>\S+)(?: (?P<limit>\w+) (?P<low>\d+)-(?P<high>\d+))?")


class RejectedError(Exception):
    """The platform says no: an error code and the reason it gives."""

    def __init__(self, code: int, description: str, **parameters: int) -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        self.parameters = parameters


def bad(description: str) -> RejectedError:
    return RejectedError(400, f"Bad Request: {description}")


def read_call(method: str, raw: Mapping[str, str], files: Mapping[str, Any]) -> dict[str, Any]:
    """The parameters of a call as values, or RejectedError. `raw` are form fields as sent, `files` the uploaded parts."""
    fields = METHODS[method]
    unknown = set(raw) - set(fields) - set(files)
    if unknown:
        raise bad(f"unexpected parameters {sorted(unknown)}")
    values = {name: _decode(fields[name], text, name) for name, text in raw.items() if name in fields}
    values |= {name: f"attach://{name}" for name in files if name in fields}
    _check_fields(fields, values, method, parse_mode=values.get("parse_mode"))
    _check_rules(method, values)
    return values


def _decode(field: str, text: str, name: str) -> Any:
    types = _split(field)[1]
    if types & {"String", "InputFile"}:
        return int(text) if "Integer" in types and re.fullmatch(r"-?\d+", text) else text
    try:
        return json.loads(text)
    except ValueError:
        raise bad(f"can't parse parameter {name}") from None


def _split(field: str) -> tuple[bool, set[str], tuple[str, int, int] | None]:
    found = _FIELD.fullmatch(field)
    assert found, field
    limit = (found["limit"], int(found["low"]), int(found["high"])) if found["limit"] else None
    return bool(found["required"]), set(found["types"].split("|")), limit


def _check_fields(fields: Mapping[str, str], values: Mapping[str, Any], where: str, parse_mode: str | None) -> None:
    for name, field in fields.items():
        required, types, limit = _split(field)
        if name not in values:
            if required:
                raise bad(f"parameter {name} of {where} is required")
            continue
        if not any(_fits(kind, values[name], f"{where}.{name}") for kind in types):
            raise bad(f"{where}.{name} is not of type {'|'.join(sorted(types))}")
        if limit:
            _check_limit(limit, values[name], f"{where}.{name}", parse_mode)


_SCALARS: dict[str, Callable[[Any], bool]] = {
    "Integer": lambda value: isinstance(value, int) and not isinstance(value, bool),
    "Float": lambda value: isinstance(value, int | float),
    "String": lambda value: isinstance(value, str),
    "Boolean": lambda value: isinstance(value, bool),
    "True": lambda value: value is True,
    "InputFile": lambda value: isinstance(value, str) and value.startswith("attach://"),
}


def _fits(kind: str, value: Any, where: str) -> bool:
    if kind in _SCALARS:
        return _SCALARS[kind](value)
    if kind.startswith("*"):
        return isinstance(value, list) and all(_fits(kind[1:], item, where) for item in value)
    shape = TYPES[kind]
    if isinstance(shape, str):
        return any(_fits(one, value, where) for one in shape.split("|"))
    if not isinstance(value, dict) or (set(value) - set(shape)):
        return False
    if any(_split(field)[0] and name not in value for name, field in shape.items()):
        return False
    _check_fields(shape, value, where, parse_mode=value.get("parse_mode"))
    return True


def _check_limit(limit: tuple[str, int, int], value: Any, where: str, parse_mode: str | None) -> None:
    kind, low, high = limit
    match kind:
        case "parsed":
            size = units(parsed(value, parse_mode)[0])
        case "text":
            size = units(value)
        case "bytes":
            size = len(value.encode())
        case "items":
            size = len(value)
        case _:
            size = value
    if size > high:
        raise bad("message is too long" if where.endswith("text") else f"{where} is too long")
    if size < low:
        raise bad("message text is empty" if where.endswith("text") else f"{where} is empty")


def parsed(text: str, parse_mode: str | None) -> tuple[str, list[dict[str, Any]]]:
    """A text as the platform shows it, and its entities."""
    if parse_mode is None:
        return text.strip(), []
    if parse_mode != "HTML":
        raise bad("unsupported parse_mode")
    try:
        shown, entities = parse_html(text)
    except MarkupError as error:
        raise bad(f"can't parse entities: {error}") from None
    if len(entities) > 100:
        raise bad("too many entities")
    return shown, entities


def _check_rules(method: str, values: Mapping[str, Any]) -> None:
    """Rules the schema only tells in prose."""
    markup = values.get("reply_markup")
    if isinstance(markup, dict) and "inline_keyboard" in markup:
        _check_keyboard(markup["inline_keyboard"])
    if method == "setMyCommands":
        if len(values["commands"]) > 100:
            raise bad("too many commands")
        if not all(re.fullmatch("[a-z0-9_]{1,32}", command["command"]) for command in values["commands"]):
            raise bad("BOT_COMMAND_INVALID")
    if method == "setWebhook" and not re.fullmatch("[A-Za-z0-9_-]+", values.get("secret_token", "x")):
        raise bad("secret token contains unallowed characters")


def _check_keyboard(rows: list[list[dict[str, Any]]]) -> None:
    if sum(len(row) for row in rows) > 100:
        raise bad("too many buttons")
    for row in rows:
        if len(row) > 8:
            raise bad("too many buttons in a row")
        for button in row:
            if not button["text"].strip():
                raise bad("button text is empty")
            if len(set(button) - {"text", "style", "icon_custom_emoji_id"}) != 1:
                raise bad("text buttons are unallowed in the inline keyboard")
