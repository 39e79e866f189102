"""How the bot reaches Telegram: its token, where the Bot API is, and whether updates are fetched or brought."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from bot.settings import SettingError, check_web_address, host, web_address, whole_number

PLATFORM = "https://api.telegram.org"
_TOKEN = re.compile(r"[0-9]+:[A-Za-z0-9_-]+")
_WORKER = re.compile(r"[A-Za-z0-9_.-]{1,64}")
WORKER = "telegram"
"""The worker's name where it is the only one."""
_SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")


@dataclass(frozen=True, slots=True)
class Webhook:
    """Updates are brought to `url` (https, from outside); the bot listens on `listen`:`port` behind it.

    `secret` (1-256 of A-Z a-z 0-9 _ -) comes with each of them, and what comes without it is refused.
    """

    url: str
    secret: str
    listen: str = "127.0.0.1"
    port: int = 8443

    @property
    def path(self) -> str:
        """The path the bot listens on."""
        return urlsplit(self.url).path.strip("/")


@dataclass(frozen=True, slots=True)
class Settings:
    """What the Telegram front door needs to know. Its `repr` does not show the token."""

    token: str
    base_url: str = PLATFORM
    webhook: Webhook | None = None
    tick_seconds: float = 20.0
    """How often what fell due is looked for."""
    worker: str = WORKER
    """What this process is called among several on one database; two of one name would answer twice."""

    def __repr__(self) -> str:
        return f"Settings(token=[hidden], base_url={self.base_url!r}, webhook={bool(self.webhook)})"

    @property
    def api(self) -> str:
        """Where methods are called: this, the token, a slash and the method's name."""
        return f"{self._root}/bot"

    @property
    def files(self) -> str:
        """Where files are fetched from: this, the token, a slash and the file's path."""
        return f"{self._root}/file/bot"

    @property
    def _root(self) -> str:
        return self.base_url.rstrip("/").removesuffix("/bot")


def settings_from(environment: Mapping[str, str], base_url: str | None = None) -> Settings | None:
    """The settings in an environment's FRYWIRE_TELEGRAM_… variables; None without a token.

    _TOKEN, _BASE_URL, _WEBHOOK_URL, _WEBHOOK_SECRET, _WEBHOOK_LISTEN, _WEBHOOK_PORT. Raises `SettingError`, which names the
    variable and never shows token or secret.
    """
    token = environment.get("FRYWIRE_TELEGRAM_TOKEN", "").strip()
    if not token:
        return None
    if not _TOKEN.fullmatch(token):
        raise SettingError("FRYWIRE_TELEGRAM_TOKEN must be the token as it was given: a number, a colon, and letters and digits")
    if base_url:
        check_web_address("--telegram-base-url", base_url, "http", "https", example="http://localhost:8081")
    own = base_url or web_address(environment, "FRYWIRE_TELEGRAM_BASE_URL", "http", "https", example="http://localhost:8081")
    return Settings(token, own or PLATFORM, _webhook(environment), worker=_worker(environment))


def _worker(environment: Mapping[str, str]) -> str:
    name = environment.get("FRYWIRE_WORKER", "").strip() or WORKER
    if not _WORKER.fullmatch(name):
        raise SettingError("FRYWIRE_WORKER must be 1 to 64 of the letters A-Z and a-z, digits, _ . and -")
    return name


def _webhook(environment: Mapping[str, str]) -> Webhook | None:
    url = web_address(environment, "FRYWIRE_TELEGRAM_WEBHOOK_URL", "https", example="https://club.example/hook")
    secret = environment.get("FRYWIRE_TELEGRAM_WEBHOOK_SECRET", "").strip()
    if secret and not _SECRET.fullmatch(secret):
        raise SettingError("FRYWIRE_TELEGRAM_WEBHOOK_SECRET must be 1 to 256 of the letters A-Z and a-z, digits, _ and -")
    if url and not secret:
        raise SettingError("A webhook needs a secret: set FRYWIRE_TELEGRAM_WEBHOOK_SECRET to a long random text.")
    listen = host(environment, "FRYWIRE_TELEGRAM_WEBHOOK_LISTEN", "127.0.0.1") or "127.0.0.1"
    port = whole_number(environment, "FRYWIRE_TELEGRAM_WEBHOOK_PORT", 8443, 1, 65535)
    return Webhook(url, secret, listen, port) if url else None
