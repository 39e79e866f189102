"""How the bot reaches Telegram: its token, where the Bot API is, and whether updates are fetched or brought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

PLATFORM = "https://api.telegram.org"


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

    _TOKEN, _BASE_URL, _WEBHOOK_URL, _WEBHOOK_SECRET, _WEBHOOK_LISTEN, _WEBHOOK_PORT. Raises ValueError where a webhook has no
    secret or its port is no number.
    """

    def read(name: str) -> str:
        return environment.get(f"FRYWIRE_TELEGRAM_{name}", "").strip()

    if not read("TOKEN"):
        return None
    webhook = None
    if read("WEBHOOK_URL"):
        if not read("WEBHOOK_SECRET"):
            raise ValueError("A webhook needs a secret: set FRYWIRE_TELEGRAM_WEBHOOK_SECRET to a long random text.")
        webhook = Webhook(
            read("WEBHOOK_URL"),
            read("WEBHOOK_SECRET"),
            read("WEBHOOK_LISTEN") or "127.0.0.1",
            int(read("WEBHOOK_PORT") or 8443),
        )
    return Settings(read("TOKEN"), base_url or read("BASE_URL") or PLATFORM, webhook)
