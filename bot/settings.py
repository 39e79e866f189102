"""What a club's organiser can set in the environment: one table, each with its default; wrong values are refused by name."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from urllib.parse import urlsplit

from platformdirs import user_data_path


class SettingError(ValueError):
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
    Setting("FRYWIRE_WORKER", "telegram", "name of this process among several on one PostgreSQL database; each needs its own"),
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
        _check_address(url)
        return url
    folder: Path = user_data_path("frywire", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{folder / 'frywire.sqlite'}"


def _check_address(url: str) -> None:
    from core.store import UnusableAddress  # only now: what needs no store starts without one
    from core.store.engine import address

    try:
        address(url)
    except UnusableAddress as problem:
        raise SettingError(f"FRYWIRE_DATABASE cannot be used. {problem.sentence}") from None


def whole_number(environ: Mapping[str, str], name: str, default: int, least: int = 1, most: int = 1_000_000) -> int:
    """A whole number of the environment; `SettingError` names the variable."""
    text = environ.get(name, "").strip()
    if not text:
        return default
    if not re.fullmatch(r"[0-9]{1,9}", text) or not least <= int(text) <= most:
        raise SettingError(f"{name} must be a whole number from {least} to {most}, not {text!r}")
    return int(text)


def yes_or_no(environ: Mapping[str, str], name: str) -> bool:
    """A choice of the environment, no by default; `SettingError` names the variable."""
    text = environ.get(name, "").strip().lower()
    if text not in {"", "1", "yes", "true", "on", "0", "no", "false", "off"}:
        raise SettingError(f"{name} must be yes or no, not {text!r}")
    return text in {"1", "yes", "true", "on"}


def web_address(environ: Mapping[str, str], name: str, *schemes: str, example: str) -> str:
    """A web address of the environment, without a slash at its end; "" where there is none. `SettingError` names the variable."""
    text = environ.get(name, "").strip().rstrip("/")
    if text:
        check_web_address(name, text, *schemes, example=example)
    return text


def check_web_address(name: str, text: str, *schemes: str, example: str) -> None:
    """Raises `SettingError`, which names the variable, for what is no web address with one of the schemes."""
    try:
        parts = urlsplit(text)
        well = parts.scheme in schemes and is_host(parts.hostname or "") and (parts.port is None or parts.port > 0)
    except ValueError:
        well = False
    if not well:
        raise SettingError(f"{name} must be something like {example}, not {text!r}")


def host(environ: Mapping[str, str], name: str, default: str) -> str:
    """A host name or an internet address of the environment; `SettingError` names the variable."""
    text = environ.get(name, default).strip()
    if text and not is_host(text):
        raise SettingError(f"{name} must be a host name or an internet address, not {text!r}")
    return text


def is_host(text: str) -> bool:
    """Whether it is a host name (RFC 1123, section 2.1) or an internet address."""
    try:
        return bool(ip_address(text.strip("[]")))
    except ValueError:
        label = r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
        return len(text) <= 253 and bool(re.fullmatch(rf"{label}(?:\.{label})*", text))


def folder(environ: Mapping[str, str], name: str) -> Path | None:
    """A folder of the environment that is there, or can be made; `SettingError` names the variable."""
    text = environ.get(name, "").strip()
    if not text:
        return None
    path = Path(text).absolute()
    try:
        there = next(each for each in (path, *path.parents) if each.exists())
        well = there.is_dir() and os.access(there, os.W_OK)
    except (OSError, ValueError):
        well = False
    if not well:
        raise SettingError(f"{name} must be a folder that Frywire may write to, not {text!r}")
    return path
