"""`frywire check`: looks at settings, database, clock, zone data and platform, and says in plain words what is wrong."""

from __future__ import annotations

import argparse
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from bot.clock import WallClock
from bot.settings import SettingError, database_url
from core.store import Store, StoreTrouble

LEAST_FREE_MB = 200
EARLIEST_YEAR = 2025
"""A clock that shows an earlier year was never set."""
NOT_USED = {"stale": "of another version", "foreign": "of another journal", "damaged": "damaged"}
"""Why a snapshot is as good as none."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What was looked at, whether it is well, and what was seen."""

    what: str
    well: bool
    seen: str


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("--offline", action="store_true", help="do not ask the platform")


def run(options: argparse.Namespace) -> int:
    """Print the findings; 1 where something is wrong."""
    looks: list[Callable[[], Iterator[Finding]]] = [settings, database, clock, zones]
    if not options.offline:
        looks.append(platform)
    findings = [finding for look in looks for finding in look()]
    for one in findings:
        print(f"{'ok   ' if one.well else 'WRONG'}  {one.what}: {one.seen}")  # noqa: T201
    return 0 if all(one.well for one in findings) else 1


def settings() -> Iterator[Finding]:
    """Every front door's settings can be read."""
    from bot import page, telegram
    from bot.commands.start import backup_settings, log_level

    environ = os.environ
    for what, read in (
        ("page settings", lambda: page.read_page_settings(environ)),
        ("Telegram settings", lambda: telegram.settings_from(environ)),
        ("backup settings", lambda: backup_settings(environ)),
        ("log level", lambda: log_level(environ)),
    ):
        try:
            found = read()
            yield Finding(what, True, "not set up" if found is None else "fine")
        except (SettingError, ValueError) as problem:
            yield Finding(what, False, str(problem))


def database() -> Iterator[Finding]:
    """The database opens and holds a club; there is room on its disk."""
    try:
        url = database_url(os.environ)
        store = Store.open(url)
    except (SettingError, StoreTrouble) as problem:
        yield Finding("database", False, str(problem))
        return
    try:
        with store.read() as tx:
            clubs, entries = tx.clubs.all(), sum(tx.journal.streams().values())
        names = ", ".join(club.name for club in clubs)
        yield Finding("database", True, f"{store.dialect}, {entries} journal entries")
        yield Finding("club", bool(clubs), names or 'none yet: "frywire invite NAME --club CLUB --zone ZONE" makes one')
        yield from book(store)
    except StoreTrouble as problem:
        yield Finding("database", False, str(problem))
    finally:
        store.close()
    if url.startswith("sqlite:///"):
        free = shutil.disk_usage(Path(url.removeprefix("sqlite:///")).absolute().parent).free // 1_000_000
        yield Finding("disk", free >= LEAST_FREE_MB, f"{free} MB free")


def book(store: Store) -> Iterator[Finding]:
    """Every stream is whole and every entry and choice readable."""
    from core.store.tidying import look_through, odd_values

    broken = [f"{stream} is not whole" for stream in look_through(store).broken]
    odd = [*broken, *odd_values(store)]
    yield Finding("book", not odd, "; ".join(odd) or "whole and readable")
    yield snapshots(store)


def snapshots(store: Store) -> Finding:
    """Every snapshot says what its journal says."""
    from core.club.looking_through import look_at_snapshots

    found = look_at_snapshots(store)
    said = [f"{found.agree} agree with their journals"] if found.agree else []
    said += [f"{count} {NOT_USED[why]}, so not used" for why, count in sorted(found.unused.items())]
    said += [f"that of fishroom {room} was wrong and is thrown away: start Frywire again" for room in found.wrong]
    return Finding("snapshots", not found.wrong, "; ".join(said) or "none yet")


def clock() -> Iterator[Finding]:
    """The clock has been set."""
    now = WallClock().now()
    yield Finding("clock", now.year >= EARLIEST_YEAR, f"{now:%Y-%m-%d %H:%M} UTC")


def zones() -> Iterator[Finding]:
    """Time zones are known."""
    try:
        ZoneInfo("Europe/Berlin")
        yield Finding("time zones", True, f"{len(available_timezones())} known")
    except ZoneInfoNotFoundError:
        yield Finding("time zones", False, 'no zone data: install the package "tzdata"')


def platform() -> Iterator[Finding]:
    """The platform answers, and knows the token. The token is never shown."""
    import asyncio

    from bot import telegram

    try:
        found = telegram.settings_from(os.environ)
    except ValueError:
        return
    if found is None:
        return
    telegram.hide(found.token)
    try:
        name = asyncio.run(_who(found))
        yield Finding("Telegram", True, f"answers as @{name}")
    except Exception as problem:
        yield Finding("Telegram", False, f"does not answer ({type(problem).__name__}); look at the token and the network")


async def _who(settings: object) -> str:
    from telegram import Bot

    token, api, files = settings.token, settings.api, settings.files  # type: ignore[attr-defined]
    async with Bot(token, base_url=api, base_file_url=files) as bot:
        return str((await bot.get_me()).username)
