"""`frywire import`: a keeper's own spreadsheet (CSV) into their fishroom. Shows what it takes each column to be, and asks until that is right."""

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
from core.club.importing import BadRow, Brought, Why, brought
from core.club.recording import record
from core.club.sheets import COLUMNS, Sheet, decoded, read_sheet, renamed
from core.store import Store
from core.store.clubs import Club

REASONS: Mapping[Why, str] = {
    "no_strain": "it names no strain",
    "unknown_strain": "I know no strain “{}”; add it first (“new strain …”)",
    "no_count": "it says no number of fish",
    "not_a_count": "“{}” is no number of fish",
    "unknown_place": "there is no place “{}” in the fishroom; add it first (“new tank …”)",
    "not_a_date": "“{}” is no day that I can read (2026-03-01)",
    "future": "“{}” has not come yet",
    "not_a_length": "“{}” is no length",
    "no_unit": "“{}” may be millimetres, centimetres or inches; say which in the heading, like “Size (cm)”",
    "taken": "“{}” is taken already",
    "not_a_sex": "“{}” is no sex (m, f, or empty for young fish)",
    "not_letters": "“{}” is no batch letter",
    "unknown_parent": "there is no {} in the fishroom; bring the parents in first, or in rows above",
}
MOST_SHOWN = 30
"""Bad rows that are listed; of more, how many there are."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("file", type=Path, help="the spreadsheet, saved as CSV with a row of headings")
    parser.add_argument("--as", dest="keeper", required=True, help="the keeper whose fishroom it goes into")
    parser.add_argument(
        "--column", action="append", default=[], metavar="HEADING=WHAT",
        help=f"what a column says, where the guess is wrong: {', '.join(COLUMNS)}; nothing after the = leaves it out",
    )  # fmt: skip
    parser.add_argument("--yes", action="store_true", help="do not ask")


def run(options: argparse.Namespace) -> int:
    """Show, ask, record; 1 where rows cannot be read or the answer is no."""
    try:
        sheet = read_sheet(decoded(options.file.read_bytes()))
        for said in options.column:
            sheet = corrected(sheet, said)
    except (OSError, ValueError) as problem:
        raise SettingError(f"{options.file}: {problem}") from problem
    store = Store.open(database_url(os.environ))
    try:
        return bring_in(Conversation(store, WallClock()), sheet, options.keeper, ask=not options.yes)
    finally:
        store.close()


def corrected(sheet: Sheet, said: str) -> Sheet:
    """The sheet with a column taken as "HEADING = WHAT" says. Raises ValueError."""
    heading, is_said, column = said.rpartition("=")
    if not is_said:
        raise ValueError(f"“{said}” is not of the form HEADING = WHAT")
    return renamed(sheet, heading, column.strip().lower())


def bring_in(conversation: Conversation, sheet: Sheet, name: str, *, ask: bool) -> int:
    """Show what the columns are taken to be until that is right; then one transaction for all rows."""
    now = conversation.clock.now()
    say("\n".join(shown(sheet, name)))
    if ask:
        found = confirmed(sheet, name)
        if found is None:
            say("Nothing was imported.")
            return 1
        sheet = found
    with conversation.visits.read() as visit:
        read = read_for(visit, sheet, name, now)
    if isinstance(read, list):
        say("\n".join(f"Row {one.row}: {REASONS[one.why].format(one.value)}." for one in read[:MOST_SHOWN]))
        say(f"And {len(read) - MOST_SHOWN} more rows." if len(read) > MOST_SHOWN else "", "Nothing was imported.")
        return 1
    return int(conversation.do(lambda visit: _record(visit, sheet, name, now)))


def confirmed(sheet: Sheet, name: str) -> Sheet | None:
    """The sheet as the keeper wants its columns taken; None where they would rather not."""
    while True:
        try:
            said = input('Is that right? yes, no, or a correction like "Alive = count" (nothing after the = leaves a column out): ').strip()
        except EOFError:
            return None
        if said.lower() in ("y", "yes"):
            return sheet
        if "=" not in said:
            return None
        try:
            sheet = corrected(sheet, said)
        except ValueError as problem:
            say(f"{problem}.")
            continue
        say("\n".join(shown(sheet, name)))


def read_for(visit: Visit, sheet: Sheet, name: str, now: datetime) -> Brought | list[BadRow]:
    """The rows, read against the fishroom as it is now."""
    club, person, room = keeper(visit, name)
    return brought(visit.room(room), sheet, now.date(), now, person=person, date_order=club.date_order)


def _record(visit: Visit, sheet: Sheet, name: str, now: datetime) -> int:
    club, person, _ = keeper(visit, name)
    read = read_for(visit, sheet, name, now)
    done = None
    if isinstance(read, Brought):
        done = record(visit, person, club.id, read.proposals, source=None, told=now, today=now.date(), texts=read.texts)
    if not isinstance(done, Recorded):
        say("The book has changed meanwhile, so nothing was imported. Please try again.")
        return 1
    say(f"{len(sheet.rows)} rows imported.")
    return 0


def say(*lines: str) -> None:
    """Print the lines that are not empty."""
    print("\n".join(line for line in lines if line))  # noqa: T201


def keeper(visit: Visit, name: str) -> tuple[Club, str, str]:
    """The club, the person and the fishroom of the keeper of that name."""
    for club in visit.tx.clubs.all():
        person = visit.member_named(club.id, name)
        room = visit.room_of(person, club.id)
        if person is not None and room is not None:
            return club, person, room
    raise SettingError(f"no keeper called {name} with a fishroom (somebody invited keeps one from the moment they accept the invitation)")


def shown(sheet: Sheet, name: str) -> list[str]:
    """What each column is taken to be, with an example."""
    taken = {place: column for column, place in sheet.mapping.items()}
    lines = [f"{len(sheet.rows)} rows for {name}'s fishroom. I take the columns to be:"]
    for place, heading in enumerate(sheet.headings):
        lines.append(f"  {heading or '(no heading)'}: {taken.get(place, 'left out')}   e.g. {sheet.rows[0][place]}")
    return lines
