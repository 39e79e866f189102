"""What an error of the platform means: for good or for now, certainly unsent or perhaps arrived."""

from __future__ import annotations

from dataclasses import dataclass

import httpx
from telegram.error import BadRequest, ChatMigrated, Forbidden, InvalidToken, NetworkError, RetryAfter, TelegramError, TimedOut

from bot.settings import SettingError


class UnusableError(SettingError):
    """Telegram cannot be used as it is set up."""


class TokenRejectedError(UnusableError):
    """Telegram does not know the token in FRYWIRE_TELEGRAM_TOKEN. Copy it again from the chat with BotFather and start the bot once more."""

    def __str__(self) -> str:
        return str(self.__doc__)


@dataclass(frozen=True, slots=True)
class Gone:
    """This chat can never be written to again: blocked, deleted, or the bot was put out."""

    why: str


@dataclass(frozen=True, slots=True)
class Moved:
    """The group has a new id."""

    to: str


@dataclass(frozen=True, slots=True)
class Wait:
    """The platform wants a pause of so many seconds."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Unsent:
    """It certainly did not arrive, and may be tried again."""

    why: str


@dataclass(frozen=True, slots=True)
class Uncertain:
    """It may have arrived: trying again may double it."""

    why: str


@dataclass(frozen=True, slots=True)
class Wrong:
    """The platform will not take this, however often it is tried."""

    why: str


Verdict = Gone | Moved | Wait | Unsent | Uncertain | Wrong

_NEVER_LEFT = (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout)
_GONE = (
    "chat not found",
    "user not found",
    "peer_id_invalid",
    "user is deactivated",
    "not enough rights to send",
    "have no rights to send",
    "need administrator rights",
    "chat_write_forbidden",
    "group is deactivated",
    "group chat was deactivated",
)


def verdict(error: TelegramError) -> Verdict:
    """What `error` means for the message that was being sent."""
    match error:
        case ChatMigrated():
            return Moved(str(error.new_chat_id))
        case RetryAfter():
            return Wait(seconds_of(error))
        case Forbidden():
            return Gone(error.message)
        case BadRequest():
            return Gone(error.message) if any(sign in error.message.casefold() for sign in _GONE) else Wrong(error.message)
        case InvalidToken():
            return Unsent("the token was not accepted")
        case TimedOut() | NetworkError():
            return _of_network(error)
        case _:
            return Wrong(error.message)


def seconds_of(pause: RetryAfter) -> float:
    """The seconds that the platform wants to be left alone; the library is on its way from numbers to timedeltas."""
    after = pause.retry_after
    return float(after) if isinstance(after, int | float) else after.total_seconds()


def _of_network(error: NetworkError) -> Verdict:
    """An answer of the server (5xx) is a refusal; a connection that broke off tells nothing."""
    cause = error.__cause__
    if isinstance(cause, _NEVER_LEFT) or (cause is None and not isinstance(error, TimedOut)):
        return Unsent(error.message)
    return Uncertain(error.message)
