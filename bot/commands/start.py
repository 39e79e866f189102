"""`frywire start`: the club for real, at every front door that is set up, until it is told to stop."""

from __future__ import annotations

import argparse
import asyncio
import gc
import logging
import os
import signal
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import AsyncExitStack
from datetime import timedelta
from pathlib import Path
from typing import Any

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.replies.people import ON_TELEGRAM
from bot.settings import SettingError, database_url, folder, whole_number
from core.store import Store

log = logging.getLogger("frywire")
RARELY = (20_000, 20, 50)
"""When Python looks for what refers to itself in circles: the states at hand live for ever, and reading them at a start would take half
as long again if they were all looked through every few hundred lines.
"""
NO_CLUB = 'There is no club yet: "frywire invite NAME --club CLUB --zone ZONE" makes one, also while this runs.'


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("--telegram-base-url", metavar="URL", help="address of another Bot API server")
    parser.add_argument("--no-page", action="store_true", help="do not serve the page")


def run(options: argparse.Namespace) -> int:
    """Open the doors, and keep them open until SIGTERM or SIGINT."""
    from bot import page, telegram

    environ = os.environ
    logging.basicConfig(level=log_level(environ), format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    platform = telegram.settings_from(environ, options.telegram_base_url)
    shown = None if options.no_page else page.read_page_settings(environ)
    if platform is None and shown is None:
        raise SettingError("nothing to open: set FRYWIRE_TELEGRAM_TOKEN, or leave out --no-page")
    backups = backup_settings(environ)
    gc.set_threshold(*RARELY)
    store = Store.open(database_url(environ))
    try:
        warn_without_club(store)
        clock = WallClock()
        conversation = Conversation(store, clock)
        asyncio.run(keep_open(platform, shown, store, conversation, clock, backups))
        conversation.end()
    finally:
        store.close()
    return 0


def warn_without_club(store: Store) -> None:
    """Say how a club is made where there is none: its doors open on nothing."""
    with store.read() as tx:
        if not tx.clubs.all():
            log.warning(NO_CLUB)


def log_level(environ: Mapping[str, str]) -> str:
    """FRYWIRE_LOG_LEVEL, checked."""
    level = environ.get("FRYWIRE_LOG_LEVEL", "WARNING").upper()
    if level not in ("DEBUG", "INFO", "WARNING", "ERROR"):
        raise SettingError(f"FRYWIRE_LOG_LEVEL must be DEBUG, INFO, WARNING or ERROR, not {level!r}")
    return level


def backup_settings(environ: Mapping[str, str]) -> tuple[Path, int] | None:
    """Folder and number of nightly copies, where they are wanted."""
    days, where = whole_number(environ, "FRYWIRE_BACKUP_DAYS", 14), folder(environ, "FRYWIRE_BACKUP_FOLDER")
    return (where, days) if where else None


async def keep_open(
    platform: Any, shown: Any, store: Store, conversation: Conversation, clock: WallClock, backups: tuple[Path, int] | None
) -> None:
    """Serve every door in one loop, with one thread that talks to the store."""
    from bot import page, telegram

    told = asyncio.Event()
    for one in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(one, told.set)
    with ThreadPoolExecutor(1, "frywire") as executor:
        async with AsyncExitStack() as doors:
            if shown is not None:
                running = await page.serve(shown, store, conversation, clock, executor=executor)
                doors.push_async_callback(running.stop)
                log.warning("The page is at %s", running.url)
            waiting: list[asyncio.Task[Any]] = [asyncio.create_task(told.wait())]
            if platform is not None:
                bot = await doors.enter_async_context(telegram.serve(platform, store, conversation, clock))
                waiting.append(asyncio.create_task(fails(bot, conversation)))
            if backups is not None:
                nights = asyncio.create_task(every_night(store, clock, executor, *backups))
                doors.callback(nights.cancel)
            done, _ = await asyncio.wait(waiting, return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()


async def fails(bot: Any, conversation: Conversation) -> None:
    """Waits for as long as the platform's door is well; raises what keeps it from opening. Invitations get the bot's link."""
    await bot.ready()
    conversation.visits.links[ON_TELEGRAM] = bot.link
    await asyncio.Event().wait()


async def every_night(store: Store, clock: WallClock, executor: ThreadPoolExecutor, folder: Path, days: int) -> None:
    """A copy each night, verified; trouble is logged and tried again the next night."""
    from core.store.backup import nightly

    while True:
        try:
            await asyncio.get_running_loop().run_in_executor(executor, nightly, store, folder, clock.now().date(), days)
        except Exception:
            log.exception("The nightly copy failed")
        now = clock.now()
        tomorrow = (now + timedelta(days=1)).replace(hour=2, minute=30, second=0, microsecond=0)
        await asyncio.sleep((tomorrow - now).total_seconds())
