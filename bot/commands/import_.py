"""`frywire import`: a keeper's own spreadsheet (CSV) into their fishroom. Shows what it takes each column to be, and asks."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from bot.clock import WallClock
from bot.conversation import Conversation
from bot.settings import SettingError, database_url
from core.club import Recorded, Visit
from core.club.importing import BadRow, Sheet, Why, proposals, read_sheet
from core.club.recording import record
from core.store import Store
from core.store.clubs import Club

REASONS: Mapping[Why, str] = {
    "no_strain": "it names no strain",
    "unknown_strain": "I know no strain “{}”; add it first (“new strain …”)",
    "no_count": "it says no number of fish",
    "not_a_count": "“{}” is no number of fish",
    "unknown_place": "there is no place “{}” in the fishroom; add it first (“new tank …”)",
    "not_a_date": "“{}” is no day that I can read (2026-03-01)",
    "not_a_length": "“{}” is no length",
    "taken": "“{}” is taken already",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("file", type=Path, help="the spreadsheet, saved as CSV with a row of headings")
    parser.add_argument("--as", dest="keeper", required=True, help="the keeper whose fishroom it goes into")
    parser.add_argument("--yes", action="store_true", help="do not ask")


def run(options: argparse.Namespace) -> int:
    """Show, ask, record; 1 where rows cannot be read or the answer is no."""
    try:
        sheet = read_sheet(options.file.read_text("utf-8"))
    except (OSError, UnicodeDecodeError, ValueError) as problem:
        raise SettingError(f"{options.file}: {problem}") from problem
    store = Store.open(database_url(os.environ))
    try:
        conversation = Conversation(store, WallClock())
        return bring_in(conversation, sheet, options)
    finally:
        store.close()


def bring_in(conversation: Conversation, sheet: Sheet, options: argparse.Namespace) -> int:
    """One transaction for all rows."""
    now = conversation.clock.now()
    with conversation.visits.read() as visit:
        club, person, room = keeper(visit, options.keeper)
        read = proposals(visit.room(room), sheet, now.date(), now, person=person, date_order=club.date_order)
    bad = [one for one in read if isinstance(one, BadRow)]
    print("\n".join(shown(sheet, options.keeper)))  # noqa: T201
    if bad:
        print("\n".join(f"Row {one.row}: {REASONS[one.why].format(one.value)}." for one in bad))  # noqa: T201
        print("Nothing was imported.")  # noqa: T201
        return 1
    if not options.yes and input("Is that right? [y/n] ").strip().lower() not in ("y", "yes"):
        print("Nothing was imported.")  # noqa: T201
        return 1
    return int(conversation.do(lambda visit: _record(visit, sheet, options.keeper, now)))


def _record(visit: Visit, sheet: Sheet, name: str, now: datetime) -> int:
    club, person, room = keeper(visit, name)
    read = proposals(visit.room(room), sheet, now.date(), now, person=person, date_order=club.date_order)
    events = [one for one in read if not isinstance(one, BadRow)]
    done = record(visit, person, club.id, events, source=None, told=now, today=now.date()) if len(events) == len(read) else None
    if not isinstance(done, Recorded):
        print("The book has changed meanwhile, so nothing was imported. Please try again.")  # noqa: T201
        return 1
    print(f"{len(sheet.rows)} rows imported.")  # noqa: T201
    return 0


def keeper(visit: Visit, name: str) -> tuple[Club, str, str]:
    """The club, the person and the fishroom of the keeper of that name."""
    for club in visit.tx.clubs.all():
        person = visit.member_named(club.id, name)
        room = visit.room_of(person, club.id)
        if person is not None and room is not None:
            return club, person, room
    raise SettingError(f"no keeper called {name} with a fishroom")


def shown(sheet: Sheet, name: str) -> list[str]:
    """What each column is taken to be, with an example."""
    taken = {place: column for column, place in sheet.mapping.items()}
    lines = [f"{len(sheet.rows)} rows for {name}'s fishroom. I take the columns to be:"]
    for place, heading in enumerate(sheet.headings):
        lines.append(f"  {heading or '(no heading)'}: {taken.get(place, 'left out')}   e.g. {sheet.rows[0][place]}")
    return lines
