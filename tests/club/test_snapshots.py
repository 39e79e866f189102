"""After a restart a fishroom is what it was, and it does not take long to say so."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import update

from bot.clock import SetClock
from bot.conversation import Conversation
from core.club import Visits, at_hand
from core.fishroom.replay import replay
from core.fishroom.state import Fishroom
from core.store.journal import Journal
from core.store.tables import snapshots
from tests.bench.clubs import Member, Size, club

ROOMS = 3
ENTRIES = 300
"""In each fishroom."""


class House:
    """A club with three fishrooms; `restarted` gives it again as a new process finds it."""

    def __init__(self, conversation: Conversation, clock: SetClock) -> None:
        self.clock = clock
        self.conversation = conversation
        self.store = conversation.store
        self.keeper = Member(conversation, clock)
        with self.store.read() as tx:
            self.rooms = [room.id for room in tx.clubs.all_rooms()]
            self.own = next(room.id for room in tx.clubs.rooms_of("p1"))

    def restarted(self) -> House:
        house = House(Conversation(self.store, self.clock), self.clock)
        house.keeper.said = self.keeper.said
        return house

    @property
    def visits(self) -> Visits:
        return self.conversation.visits

    def say(self, text: str) -> str:
        return self.keeper.say(text)[0].text

    def state(self, room: str | None = None) -> Fishroom:
        with self.visits.read() as visit:
            return visit.room(room or self.own)

    def replayed(self, room: str | None = None) -> Fishroom:
        with self.store.read() as tx:
            return replay(room or self.own, tx.journal.entries(f"fishroom:{room or self.own}"))

    def kept(self) -> dict[str, int]:
        with self.store.read() as tx:
            return {room: upto for room in self.rooms if (upto := tx.snapshots.upto(room))}


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    with club(Size(members=5, keepers=ROOMS, entries=ROOMS * ENTRIES), tmp_path) as (conversation, clock):
        yield House(conversation, clock)


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, int]]:
    """What is read of fishrooms' journals: stream, and after which entry."""
    seen: list[tuple[str, int]] = []
    entries = Journal.entries

    def counted(journal: Journal, stream: str, after: int = 0) -> list:
        if stream.startswith("fishroom:"):
            seen.append((stream, after))
        return entries(journal, stream, after)

    monkeypatch.setattr(Journal, "entries", counted)
    return seen


def test_after_a_restart_only_what_was_told_since_is_read(house: House, read: list[tuple[str, int]]) -> None:
    house.say("fed tub")
    house.conversation.due()
    assert house.kept() == {room: ENTRIES + (room == house.own) for room in house.rooms}
    house.say("2 died in A")
    del read[:]
    again = house.restarted()
    assert "57" in again.say("counted 57 in A")
    assert set(read) == {(f"fishroom:{room}", ENTRIES + (room == house.own)) for room in house.rooms}
    assert again.state() == again.replayed()


@pytest.fixture
def long(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fishrooms' journals count as long ones."""
    monkeypatch.setattr(at_hand, "LONG", 100)


SLIPS = ("take back", "yesterday 2 died in A", "water change tank 1 30% yesterday")


def days_go_by(house: House, days: int) -> None:
    """Eight messages a day."""
    for _ in range(4 * days):
        house.say("fed tub")
        house.say("A average 35 mm")


@pytest.mark.usefixtures("long")
@pytest.mark.parametrize("slip", SLIPS)
def test_what_is_put_right_of_late_is_replayed_from_the_days_before(house: House, read: list[tuple[str, int]], slip: str) -> None:
    days_go_by(house, 3)
    del read[:]
    house.say(slip)
    assert all(after > ENTRIES for _, after in read)
    assert house.state() == house.replayed()


@pytest.mark.usefixtures("long")
@pytest.mark.parametrize("slip", SLIPS)
def test_what_is_put_right_after_a_restart_is_replayed_from_the_snapshot(
    house: House, read: list[tuple[str, int]], slip: str
) -> None:
    days_go_by(house, 3)
    house.conversation.end()
    assert ENTRIES < house.kept()[house.own] < house.state().number - 8
    again = house.restarted()
    del read[:]
    again.say(slip)
    assert all(after > ENTRIES or stream != f"fishroom:{house.own}" for stream, after in read)
    assert again.state() == again.replayed()


@pytest.mark.usefixtures("long")
def test_what_is_put_right_of_long_ago_has_all_replayed(house: House, read: list[tuple[str, int]]) -> None:
    days_go_by(house, 3)
    del read[:]
    house.say("fed tub on 20 feb")
    assert (f"fishroom:{house.own}", 0) in read
    assert house.state() == house.replayed()


@pytest.mark.usefixtures("long")
def test_what_was_told_of_long_ago_does_not_slow_the_next_start(house: House, read: list[tuple[str, int]]) -> None:
    days_go_by(house, 3)
    house.conversation.end()
    house.say("fed tub on 20 feb")
    house.conversation.due()
    house.say("fed tub")
    again = house.restarted()
    del read[:]
    assert "57" in again.say("counted 57 in A")
    assert all(after > ENTRIES or stream != f"fishroom:{house.own}" for stream, after in read)
    assert again.state() == again.replayed()


@pytest.mark.usefixtures("long")
def test_what_is_put_right_again_and_again_comes_out_as_a_replay_of_all(house: House) -> None:
    for text in ("fed tub on 20 feb", "take back", "fed tub 2 days ago", "1 died in A", "fed tub yesterday", "take back"):
        days_go_by(house, 1)
        house.say(text)
        house.say("water change tank 1 30%")
        house.say("take back")
        house.conversation.due()
        assert house.state() == house.replayed()
        assert house.restarted().state() == house.replayed()


def test_no_reply_waits_for_a_snapshot(house: House) -> None:
    house.say("fed tub")
    assert house.kept() == {}


def test_a_snapshot_is_made_anew_once_the_journal_moved_on(house: House) -> None:
    house.say("fed tub")
    assert house.visits.at_hand.keep_snapshots() == ROOMS
    house.say("fed tub")
    assert house.visits.at_hand.keep_snapshots() == 0
    assert house.visits.at_hand.keep_snapshots(moved_on=1) == 1
    assert house.kept()[house.own] == ENTRIES + 2


def test_many_snapshots_are_made_a_few_at_a_time(house: House) -> None:
    house.say("fed tub")
    assert [house.visits.at_hand.keep_snapshots(at_once=2) for _ in range(3)] == [2, 1, 0]


def test_closing_the_house_keeps_what_is_worth_it(house: House) -> None:
    house.say("fed tub")
    house.conversation.end()
    assert len(house.kept()) == ROOMS
    for _ in range(19):
        house.say("fed tub")
    house.conversation.end()
    assert house.kept()[house.own] == ENTRIES + 1
    house.say("fed tub")
    house.conversation.end()
    assert house.kept()[house.own] == ENTRIES + 21


def test_a_worker_does_not_make_what_another_has_made(house: House) -> None:
    other = house.restarted()
    house.say("fed tub")
    assert other.state(house.own).number == ENTRIES + 1
    assert house.visits.at_hand.keep_snapshots() == ROOMS
    assert other.visits.at_hand.keep_snapshots() == 0


def test_a_worker_goes_on_from_another_ones_snapshot(house: House) -> None:
    house.say("3 died in A")
    house.visits.at_hand.keep_snapshots()
    other = house.restarted()
    assert "54" in other.say("counted 54 in A")
    assert house.say("counted 50 in A").count("54") == 1
    assert house.state() == house.replayed() == other.state()


@pytest.mark.parametrize("after", ["take back", "yesterday 2 died in A", "moved 10 of A to tank 2 yesterday"])
def test_what_reaches_back_behind_a_snapshot_finds_the_whole_journal(house: House, after: str) -> None:
    house.say("counted 57 in A")
    house.visits.at_hand.keep_snapshots()
    again = house.restarted()
    again.say(after)
    assert again.state().number > ENTRIES + 1
    assert again.state() == again.replayed()
    assert again.restarted().state() == again.replayed()


@pytest.mark.parametrize("spoilt", [{"state": b"nothing"}, {"mark": "of another version"}, {"entry": "of another journal"}])
def test_a_snapshot_that_does_not_hold_is_made_again_from_the_journal(house: House, spoilt: dict[str, object]) -> None:
    house.say("fed tub")
    house.visits.at_hand.keep_snapshots()
    with house.store.write() as tx:
        tx.connection.execute(update(snapshots).values(**spoilt))
    again = house.restarted()
    assert "57" in again.say("counted 57 in A")
    assert again.state() == again.replayed()
    assert again.kept() == {}
    again.conversation.due()
    assert again.kept()[house.own] == ENTRIES + 2


def test_a_number_beyond_all_measure_only_costs_the_snapshot(house: House) -> None:
    house.say("fed tub")
    house.state().settings["tanks"] = 2**70  # type: ignore[assignment]
    assert house.visits.at_hand.keep_snapshots() == ROOMS - 1
    assert house.visits.at_hand.keep_snapshots() == 0
