"""The Telegram front door: a bot that loses nothing on the way in and doubles nothing on the way out."""

from bot.telegram.application import Telegram, run, serve
from bot.telegram.hiding import hide
from bot.telegram.settings import Settings, Webhook, settings_from
from bot.telegram.trouble import TokenRejectedError, UnusableError

__all__ = ["Settings", "Telegram", "TokenRejectedError", "UnusableError", "Webhook", "hide", "run", "serve", "settings_from"]
