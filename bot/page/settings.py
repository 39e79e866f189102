"""Where the page listens and by which names it may be called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from bot.settings import SettingError, host, is_host, web_address, whole_number, yes_or_no

LOOPBACK = ("localhost", "127.0.0.1", "::1")
EVERYWHERE = ("", "0.0.0.0", "::")  # noqa: S104 - compared with, not bound to


class PageSettingError(SettingError):
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

    def shown_address(self, port: int) -> str:
        """The address people open: the public one, else that of this machine, by its name where it listens everywhere."""
        host = self.host if self.host not in EVERYWHERE else next(iter(self.names), "localhost")
        return self.address or f"http://{f'[{host}]' if ':' in host else host}:{port}"

    @property
    def allowed(self) -> frozenset[str]:
        """Every host name (lower case, no port) that a request may be addressed to."""
        own = (self.host,) if self.host not in EVERYWHERE else ()
        public = (urlsplit(self.address).hostname or "",) if self.address else ()
        return frozenset(name.lower().strip("[]") for name in (*LOOPBACK, *own, *self.names, *public) if name)


def read_page_settings(environ: Mapping[str, str]) -> PageSettings:
    """FRYWIRE_PAGE_HOST, _PORT, _NAMES (comma-separated), _ADDRESS, _PROXY ("yes"); `SettingError` says what is wrong."""
    names = tuple(name.strip() for name in environ.get("FRYWIRE_PAGE_NAMES", "").split(",") if name.strip())
    for name in names:
        if not is_host(name):
            raise PageSettingError(f"FRYWIRE_PAGE_NAMES must be host names separated by commas, and {name!r} is none.")
    return PageSettings(
        host=host(environ, "FRYWIRE_PAGE_HOST", "127.0.0.1"),
        port=whole_number(environ, "FRYWIRE_PAGE_PORT", 8642, 0, 65535),
        names=names,
        address=web_address(environ, "FRYWIRE_PAGE_ADDRESS", "http", "https", example="https://club.example"),
        behind_proxy=yes_or_no(environ, "FRYWIRE_PAGE_PROXY"),
    )
