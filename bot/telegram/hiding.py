"""Tokens never reach a log: every record is cleaned as it is made, its traceback included.

A bot's token is part of every address it calls, so that any library that logs an address, or an error that quotes one, would give
it away.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from typing import Any

HIDDEN = "[hidden]"
_TOKEN = re.compile(r"\b\d{3,}(:|%3A)[A-Za-z0-9_-]{30,}")
_known: set[str] = set()
_formatter = logging.Formatter()


def hide(*secrets: str | None) -> None:
    """From now on, these (and anything that looks like a bot's token) are left out of all log records of this process."""
    _known.update(secret for secret in secrets if secret)
    factory = logging.getLogRecordFactory()
    if not getattr(factory, "cleans", False):
        logging.setLogRecordFactory(_cleaning(factory))
    logging.getLogger("httpx").setLevel(logging.WARNING)


def cleaned(text: str) -> str:
    """`text` without secrets."""
    for secret in _known:
        text = text.replace(secret, HIDDEN)
    return _TOKEN.sub(HIDDEN, text)


def _cleaning(factory: Callable[..., logging.LogRecord]) -> Callable[..., logging.LogRecord]:
    def make(*args: Any, **kwargs: Any) -> logging.LogRecord:
        record = factory(*args, **kwargs)
        record.msg, record.args = cleaned(_message(record)), None
        if record.exc_info:
            # The formatter uses a text that is there already; the exception itself stays for those who count them.
            record.exc_text = cleaned(_formatter.formatException(record.exc_info))
        return record

    make.cleans = True  # type: ignore[attr-defined]
    return make


def _message(record: logging.LogRecord) -> str:
    try:
        return record.getMessage()
    except Exception:  # a record that cannot be worded must not stop the bot
        return f"{record.msg!r} {record.args!r}"
