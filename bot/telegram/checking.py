"""Whether Telegram can be reached with these settings, told in plain words."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass

from telegram import Bot
from telegram.error import InvalidToken, TelegramError
from telegram.request import HTTPXRequest

from bot.telegram.hiding import cleaned, hide
from bot.telegram.settings import Settings
from bot.telegram.trouble import TokenRejectedError

_SECONDS = 5.0


@dataclass(frozen=True, slots=True)
class Reached:
    """Telegram knows the bot by this name; so many messages wait for it; `webhook` is where they are brought, if anywhere."""

    name: str
    waiting: int
    webhook: str | None


@dataclass(frozen=True, slots=True)
class NotReached:
    """Telegram did not answer as it should; why, in a sentence."""

    why: str


def check(settings: Settings) -> Reached | NotReached:
    """Asks Telegram about the bot. Changes nothing, and may be asked while the bot runs."""
    hide(settings.token)
    return asyncio.run(_ask(settings))


async def _ask(settings: Settings) -> Reached | NotReached:
    request = HTTPXRequest(connect_timeout=_SECONDS, read_timeout=_SECONDS)
    try:
        async with Bot(settings.token, settings.api, settings.files, request=request) as bot:
            hook = await bot.get_webhook_info()
            return Reached(bot.username, hook.pending_update_count, hook.url or None)
    except InvalidToken:
        return NotReached(str(TokenRejectedError()))
    except TelegramError as error:
        return NotReached(f"Telegram cannot be reached at {settings.base_url}: {cleaned(error.message)}.")
