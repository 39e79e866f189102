"""Where the page listens and by which names it may be called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

LOOPBACK = ("localhost", "127.0.0.1", "::1")
EVERYWHERE = ("", "0.0.0.0", "::")  # noqa: S104 - compared with, not bound to


class PageSettingError(ValueError):
    """A setting of the page cannot be used; the sentence says which and why."""


@dataclass(frozen=True, slots=True)
class PageSettings:
    """How the page is served. Loopback only, unless `host` says otherwise.

    `names` are the host names and addresses people may use to reach it beside loopback: on a home network it answers only under
    these. `address` is its public address where a proxy stands in front ("https://club.example"), and `behind_proxy` says that
    the proxy's X-Forwarded-For can be believed.
    """

    host: str = "127.0.0.1"
    port: int = 8642
    names: tuple[str, ...] = ()
    address: str = ""
    behind_proxy: bool = False

    @property
    def secure(self) -> bool:
        """Whether members reach it over TLS, so that cookies are sent over nothing else."""
        return self.address.startswith("https://")

    @property
    def allowed(self) -> frozenset[str]:
        """Every host name (lower case, no port) that a request may be addressed to."""
        own = (self.host,) if self.host not in EVERYWHERE else ()
        public = (urlsplit(self.address).hostname or "",) if self.address else ()
        return frozenset(name.lower().strip("[]") for name in (*LOOPBACK, *own, *self.names, *public) if name)


def read_page_settings(environ: Mapping[str, str]) -> PageSettings:
    """FRYWIRE_PAGE_HOST, _PORT, _NAMES (comma-separated), _ADDRESS, _PROXY ("yes"); PageSettingError says what is wrong."""
    port = environ.get("FRYWIRE_PAGE_PORT", "8642")
    if not port.isascii() or not port.isdigit() or int(port) > 65535:
        raise PageSettingError(f"FRYWIRE_PAGE_PORT is {port!r}: a number from 0 to 65535 is needed.")
    address = environ.get("FRYWIRE_PAGE_ADDRESS", "").rstrip("/")
    if address and (urlsplit(address).scheme not in {"http", "https"} or not urlsplit(address).hostname):
        raise PageSettingError(f"FRYWIRE_PAGE_ADDRESS is {address!r}: something like https://club.example is needed.")
    names = tuple(name.strip() for name in environ.get("FRYWIRE_PAGE_NAMES", "").split(",") if name.strip())
    return PageSettings(
        host=environ.get("FRYWIRE_PAGE_HOST", "127.0.0.1"),
        port=int(port),
        names=names,
        address=address,
        behind_proxy=environ.get("FRYWIRE_PAGE_PROXY", "").lower() in {"1", "yes", "true", "on"},
    )
