"""The Telegram front door: a bot that loses nothing on the way in and doubles nothing on the way out."""

from bot.telegram.application import Telegram, run, serve
from bot.telegram.checking import NotReached, Reached, check
from bot.telegram.hiding import hide
from bot.telegram.settings import Settings, Webhook, settings_from
from bot.telegram.trouble import TokenRejectedError, UnusableError

__all__ = [
    "NotReached",
    "Reached",
    "Settings",
    "Telegram",
    "TokenRejectedError",
    "UnusableError",
    "Webhook",
    "check",
    "hide",
    "run",
    "serve",
    "settings_from",
]
