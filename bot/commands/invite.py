"""`frywire invite`: a one-time invitation. The first one makes the club, and its organiser."""

from __future__ import annotations

import argparse
import os
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.clock import WallClock
from bot.conversation import Conversation, start_club
from bot.page import read_page_settings
from bot.settings import SettingError, database_url
from core.club import Visit
from core.club.joining import invite_by_house
from core.store import Store
from core.units import DATE_ORDERS, UNITS


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("name", help="whom it is for")
    parser.add_argument(
        "--as", dest="roles", default="organiser,keeper", help="roles, separated by commas (organiser, keeper, buyer)"
    )
    parser.add_argument("--club", help="the club's name; made if there is none yet")
    parser.add_argument("--zone", default="UTC", help="a new club's time zone, such as Europe/Berlin")
    parser.add_argument("--units", choices=UNITS, default="metric", help="a new club's units")
    parser.add_argument("--dates", choices=DATE_ORDERS, default="DMY", help="a new club's order of day and month")


def run(options: argparse.Namespace) -> int:
    """Print the invitation's code and links."""
    roles = [role.strip() for role in options.roles.split(",") if role.strip()]
    if not roles or set(roles) - {"organiser", "keeper", "buyer"}:
        raise SettingError("--as takes organiser, keeper and buyer, separated by commas")
    try:
        ZoneInfo(options.zone)
    except (ZoneInfoNotFoundError, ValueError) as problem:
        raise SettingError(f"--zone {options.zone}: no such time zone") from problem
    store = Store.open(database_url(os.environ))
    try:
        conversation = Conversation(store, WallClock())
        club, code = conversation.do(lambda visit: made(visit, options, roles, conversation))
    finally:
        store.close()
    page = read_page_settings(os.environ)
    address = page.shown_address(page.port)
    print(f"Invitation to {club} for {options.name}, as {' and '.join(roles)}. It works once, within two weeks.")  # noqa: T201
    print(f"  on the page:  {address}/join/{code}")  # noqa: T201
    print(f"  on Telegram:  send your bot   /start {code}")  # noqa: T201
    return 0


def made(visit: Visit, options: argparse.Namespace, roles: list[str], conversation: Conversation) -> tuple[str, str]:
    """The club's name and a new code; the club is made where there is none."""
    now = conversation.clock.now()
    clubs = visit.tx.clubs.all()
    found = next((club for club in clubs if club.name == options.club), None) if options.club else next(iter(clubs), None)
    if found is None:
        found, _ = start_club(
            visit, now, options.club or "Our club", zone=options.zone, units=options.units, date_order=options.dates
        )
    code = invite_by_house(visit, "organiser", found.id, now, roles, options.name)  # type: ignore[arg-type]
    return found.name, code
