"""Who may talk to the page at all: by which name it is called, from which page, how often, and what a browser may load."""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

_NETLOC = re.compile(r"[A-Za-z0-9.\-\[\]:]{1,260}")
KEPT = 10_000
"""Buckets remembered at most; the longest unused goes first."""


def host_name(netloc: str) -> str:
    """The host of a `Host` header without its port, lower case; "" where it cannot be read."""
    try:
        return (urlsplit(f"//{netloc}").hostname or "").lower()
    except ValueError:
        return ""


def called_by_name(netloc: str, allowed: frozenset[str]) -> bool:
    """Whether a `Host` header names us. A foreign name that resolves to this machine (rebinding) does not."""
    return _NETLOC.fullmatch(netloc) is not None and host_name(netloc) in allowed


def from_here(origin: str | None, netloc: str, allowed: frozenset[str]) -> bool:
    """Whether an `Origin` header is this very page: same host and port as the (allowed) `Host` it was sent to."""
    if not origin or not called_by_name(netloc, allowed):
        return False
    try:
        parts = urlsplit(origin)
    except ValueError:
        return False
    return parts.scheme in {"http", "https"} and parts.netloc.lower() == netloc.lower()


def policy(netloc: str) -> str:
    """The content security policy: our own files and our own socket, nothing inline, nothing of others, in nobody's frame."""
    return "; ".join(
        (
            "default-src 'none'",
            "script-src 'self'",
            "style-src 'self'",
            "img-src 'self' blob:",
            f"connect-src 'self' ws://{netloc} wss://{netloc}",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )


def headers(netloc: str) -> dict[str, str]:
    """What every answer carries. `netloc` is a `Host` header that was found to be ours."""
    return {
        "Content-Security-Policy": policy(netloc),
        "Cache-Control": "no-store",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": "geolocation=(), microphone=(), payment=()",
    }


@dataclass(slots=True)
class Rate:
    """A bucket for each key: `burst` at once, then `per_second`. `clock` gives seconds that only ever grow."""

    burst: float
    per_second: float
    clock: Callable[[], float]
    _buckets: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)

    def wait(self, key: str) -> float:
        """Take one for the key: 0 where it was there to take, else the seconds until it will be (and nothing is taken)."""
        now = self.clock()
        left, since = self._buckets.pop(key, (self.burst, now))
        left = min(self.burst, left + (now - since) * self.per_second)
        allowed = left >= 1.0
        self._buckets[key] = (left - 1.0 if allowed else left, now)
        while len(self._buckets) > KEPT:
            self._buckets.popitem(last=False)
        return 0.0 if allowed else (1.0 - left) / self.per_second
