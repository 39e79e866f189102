"""What a club's organiser can set in the environment: one table, each with its default; wrong values are refused by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path


class SettingError(Exception):
    """A setting in the environment cannot be used."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One environment variable: its name, its default as shown, and what it is for."""

    name: str
    default: str
    meaning: str


SETTINGS = (
    Setting("FRYWIRE_DATABASE", "a file in your data folder", "where everything is kept: sqlite:///PATH or postgresql://…"),
    Setting("FRYWIRE_TELEGRAM_TOKEN", "none: no Telegram", "the token that the platform gave you for your bot"),
    Setting("FRYWIRE_TELEGRAM_BASE_URL", "the platform's own", "address of another Bot API server"),
    Setting("FRYWIRE_TELEGRAM_WEBHOOK_URL", "none: long polling", "public https address for the webhook"),
    Setting("FRYWIRE_TELEGRAM_WEBHOOK_SECRET", "none", "secret that the platform sends with each webhook call (needed with it)"),
    Setting("FRYWIRE_TELEGRAM_WEBHOOK_LISTEN", "127.0.0.1", "address on which the webhook listens"),
    Setting("FRYWIRE_TELEGRAM_WEBHOOK_PORT", "8443", "port on which the webhook listens"),
    Setting("FRYWIRE_PAGE_HOST", "127.0.0.1", "where the page listens; loopback only unless set"),
    Setting("FRYWIRE_PAGE_PORT", "8642", "the page's port"),
    Setting("FRYWIRE_PAGE_NAMES", "localhost", "host names under which the page may be called, separated by commas"),
    Setting("FRYWIRE_PAGE_ADDRESS", "none", "the page's public address where a proxy stands in front: https://club.example"),
    Setting("FRYWIRE_PAGE_PROXY", "no", "yes: believe the proxy's X-Forwarded-For"),
    Setting("FRYWIRE_BACKUP_FOLDER", "none: no nightly copy", "folder for the nightly backup"),
    Setting("FRYWIRE_BACKUP_DAYS", "14", "how many nightly copies are kept"),
    Setting("FRYWIRE_LOG_LEVEL", "WARNING", "DEBUG, INFO, WARNING or ERROR"),
)


def database_url(environ: Mapping[str, str]) -> str:
    """The database's address; by default a file in the user's data folder, which is made."""
    if url := environ.get("FRYWIRE_DATABASE", "").strip():
        if not url.startswith(("sqlite:///", "postgresql://", "postgres://", "postgresql+psycopg://")):
            raise SettingError("FRYWIRE_DATABASE must begin with sqlite:/// or postgresql://")
        return url
    folder: Path = user_data_path("frywire", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{folder / 'frywire.sqlite'}"


def whole_number(environ: Mapping[str, str], name: str, default: int, least: int = 1) -> int:
    """A whole number of the environment; `SettingError` names the variable."""
    text = environ.get(name, "").strip()
    if not text:
        return default
    if not text.isdigit() or int(text) < least:
        raise SettingError(f"{name} must be a whole number of at least {least}, not {text!r}")
    return int(text)
