"""Answers about what comes next: tasks, windows, sizes, rations, water, kinship."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.conversation.message import Reply
from bot.conversation.scene import Scene

Slots = Mapping[str, Any]

OUTLOOK_ANSWERS: Mapping[str, Callable[[Scene, Slots], list[Reply]]] = {}
