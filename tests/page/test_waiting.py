"""What waited for a connection over midnight is recorded on the day it was written."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from bot.clock import SetClock
from bot.conversation import Conversation, start_club
from bot.conversation.arriving import Beginner
from bot.page.desk import Desk
from bot.page.frames import Said
from bot.page.seats import Entered, Seats
from core.club import Visits
from core.store import Store

TUESDAY = datetime(2026, 3, 3, 6, 30, tzinfo=UTC)
MONDAY = date(2026, 3, 2)


def test_a_message_of_last_night_is_recorded_last_night(tmp_path: Path) -> None:
    store, clock = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}"), SetClock(TUESDAY - timedelta(days=1))
    conversation = Conversation(store, clock)
    people = (Beginner("Marit", ("keeper",)),)
    _, known = conversation.do(lambda visit: start_club(visit, clock.now(), "Gravel Lane", zone="Europe/Berlin", people=people))
    seats, desk = Seats(store, conversation, clock), Desk(store, conversation, clock)
    with store.write() as tx:
        code = tx.sessions.link(known["Marit"].id, TUESDAY)
    entered = seats.enter(code, "")
    assert isinstance(entered, Entered)
    seat = seats.seat(entered.secret)
    assert seat is not None
    for number, text in enumerate(("new tank 1, 240 litres, 26 C", "added 2 female yellow labs and a male to tank 1")):
        desk.hear(seat, Said(f"message-{number}", text))
    clock.moment = TUESDAY
    desk.hear(seat, Said("message-8", "female 1 holding", waited=timedelta(hours=9)))
    desk.hear(seat, Said("message-9", "female 2 holding"))
    with Visits(store).read() as visit:
        room = visit.room(seat.rooms[0][0])
    # 06:30 UTC on Tuesday less nine hours is 22:30 in Berlin on Monday.
    assert {brood.female: brood.since for brood in room.broods.values()} == {"F1": MONDAY, "F2": MONDAY + timedelta(days=1)}
    assert desk.after(known["Marit"].id, 0)[-4].at == TUESDAY - timedelta(hours=9)
    store.close()
