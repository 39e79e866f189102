"""The command menu: what the platform offers to type, in private chats and in groups. Set only where it is not so already."""

from __future__ import annotations

import logging

from telegram import Bot, BotCommand, BotCommandScope, BotCommandScopeAllGroupChats, BotCommandScopeAllPrivateChats
from telegram.error import TelegramError

from bot.telegram.sentences import COMMANDS_GROUP, COMMANDS_PRIVATE

log = logging.getLogger(__name__)
_MENUS: tuple[tuple[BotCommandScope, tuple[tuple[str, str], ...]], ...] = (
    (BotCommandScopeAllPrivateChats(), COMMANDS_PRIVATE),
    (BotCommandScopeAllGroupChats(), COMMANDS_GROUP),
)


async def set_menus(bot: Bot) -> None:
    """Brings the menus up to date. A menu is a convenience: where the platform refuses, the bot runs without."""
    for scope, entries in _MENUS:
        wanted = tuple(BotCommand(name, description) for name, description in entries)
        try:
            if await bot.get_my_commands(scope) != wanted:
                await bot.set_my_commands(wanted, scope)
        except TelegramError as error:
            log.warning("The command menu could not be set: %s", error)
