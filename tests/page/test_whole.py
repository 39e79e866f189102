"""The page's desk with the whole conversation behind it: days, sign-in links, and being forgotten."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation, start_club
from bot.conversation.arriving import Beginner
from bot.conversation.message import Origin, Text
from bot.page import PageSettings, serve
from bot.page.desk import Desk
from bot.page.frames import Pressed, Said
from bot.page.seats import Entered, Seat, Seats
from core.store import Store

MONDAY = date(2026, 3, 2)
MORNING = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)


@dataclass
class Fishroom:
    """Marit at her desk."""

    store: Store
    clock: SetClock
    conversation: Conversation
    seats: Seats
    desk: Desk
    marit: Seat
    said: int = 0

    def say(self, text: str, waited: timedelta = timedelta()) -> str:
        """The words of the answers."""
        self.said += 1
        last = self.store_last()
        self.desk.hear(self.marit, Said(f"message-{self.said}", text, waited))
        return "\n".join(line.words for line in self.desk.after(self.marit.person, last) if line.side == "bot")

    def store_last(self) -> int:
        with self.store.read() as tx:
            return tx.pages.last(self.marit.person)


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Fishroom]:
    store, clock = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}"), SetClock(MORNING)
    conversation = Conversation(store, clock)
    people = (Beginner("Marit", ("keeper",)),)
    _, known = conversation.do(lambda visit: start_club(visit, clock.now(), "Gravel Lane", zone="Europe/Berlin", people=people))
    seats, desk = Seats(store, conversation, clock), Desk(store, conversation, clock)
    with store.write() as tx:
        code = tx.sessions.link(known["Marit"].id, MORNING + timedelta(hours=1))
    entered = seats.enter(code, "")
    assert isinstance(entered, Entered)
    seat = seats.seat(entered.secret)
    assert seat is not None
    room = Fishroom(store, clock, conversation, seats, desk, seat)
    room.say("new tank 1, 240 litres, 26 C")
    room.say("added 2 female yellow labs and a male to tank 1")
    yield room
    store.close()


def test_a_message_of_last_night_is_recorded_last_night(room: Fishroom) -> None:
    room.clock.moment = MORNING + timedelta(days=1)
    room.say("female 1 holding", waited=timedelta(hours=9))
    room.say("female 2 holding")
    with room.conversation.visits.read() as visit:
        found = visit.room(room.marit.rooms[0][0])
    # 06:30 UTC on Tuesday less nine hours is 22:30 in Berlin on Monday.
    assert {brood.female: brood.since for brood in found.broods.values()} == {"F1": MONDAY, "F2": MONDAY + timedelta(days=1)}


async def test_the_bot_hands_out_a_link_to_the_page_in_private_only(room: Fishroom) -> None:
    assert "No page" in room.say("page")
    running = await serve(PageSettings(port=0), room.store, room.conversation, room.clock, tick=3600)
    await running.stop()
    link = re.search(r"http://127\.0\.0\.1:\d+/join/([\w-]+)", room.say("page"))
    assert link
    group = Origin(room.marit.person, "telegram", "-100", "7", group=True)
    assert "/join/" not in room.conversation.hear(Text(group, "page"))[0].text
    entered = room.seats.enter(link[1], "")
    assert isinstance(entered, Entered)
    assert entered.person == room.marit.person
    assert not isinstance(room.seats.enter(link[1], ""), Entered)


def test_a_link_that_is_not_followed_within_the_hour_is_void(room: Fishroom) -> None:
    room.conversation.visits.links["on the page"] = "http://fishroom.lan/join/"
    link = re.search(r"/join/([\w-]+)", room.say("page"))
    assert link
    room.clock.moment = MORNING + timedelta(hours=1, seconds=1)
    assert not isinstance(room.seats.enter(link[1], ""), Entered)


def test_who_is_forgotten_leaves_no_line_and_hears_it_once(room: Fishroom) -> None:
    assert "forget you" in room.say("forget me")
    asked = room.desk.after(room.marit.person, 0)[-1]
    label, token = asked.buttons[0][0]
    assert room.desk.hear(room.marit, Pressed("press-0001", token, label, asked.number))
    assert room.store_last() == 0
    assert "forgotten" in (room.desk.farewell(room.marit) or "")
    assert room.desk.farewell(room.marit) is None
