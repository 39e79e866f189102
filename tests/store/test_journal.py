"""The journal is appended to in order, never changed, and says what was said before."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

import pytest

from core.events import Counted, Entry, Event, Holding, Measured, Noted, Priced, Source, Voided
from core.store import AlreadyTold, NewEntry, Store, Transaction

ROOM, OTHER = "fishroom:r1", "fishroom:r2"
Tell = Callable[..., NewEntry]


def append(store: Store, stream: str, *drafts: NewEntry, texts: dict[str, str] | None = None) -> list[Entry]:
    with store.write() as tx:
        tx.journal.lock([stream])
        return tx.journal.append(stream, drafts, texts or {})


def entries(store: Store, stream: str = ROOM, after: int = 0) -> list[Entry]:
    with store.read() as tx:
        return tx.journal.entries(stream, after)


def voiding(number: int, message: str, told: datetime, by: str = "marit", revision: int = 0) -> NewEntry:
    return NewEntry(Voided(number), told.date(), told, by, source=Source("telegram:1", message, revision))


def test_entries_are_numbered_from_one_in_each_stream(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("1"), holding("1"))
    append(store, OTHER, holding("2"))
    append(store, ROOM, holding("3"))
    assert [entry.number for entry in entries(store)] == [1, 2, 3]
    assert [entry.number for entry in entries(store, OTHER)] == [1]
    with store.read() as tx:
        assert tx.journal.streams() == {ROOM: 3, OTHER: 1}
        assert (tx.journal.head(ROOM), tx.journal.head("fishroom:none")) == (3, 0)


def test_what_is_read_is_what_was_told(store: Store) -> None:
    told = datetime(2026, 3, 2, 23, 30, 15, 250_001, tzinfo=UTC)
    events: tuple[Event, ...] = (
        Measured("B", lengths=(21.5, 22.0)),
        Priced(Decimal("3.50"), batch="B"),
        Counted("B", 999_999_999_999),
    )
    drafts = [NewEntry(event, date(2026, 3, 1), told, "marit", at=time(18, 5), source=Source("page:9", "m")) for event in events]
    written = append(store, ROOM, *drafts)
    assert entries(store) == written
    assert written[0].told == told
    assert written[0].told.tzinfo is UTC
    assert [entry.event for entry in entries(store)] == list(events)
    assert (written[0].at, written[0].on, written[0].source) == (time(18, 5), date(2026, 3, 1), Source("page:9", "m", 0))


def test_a_moment_told_in_another_zone_is_the_same_moment(store: Store) -> None:
    oslo = timedelta(hours=1)
    told = datetime.fromisoformat("2026-03-02T10:00:00+01:00")
    append(store, ROOM, NewEntry(Holding("F4", "3"), told.date(), told, "marit"))
    found = entries(store)[0].told
    assert (found, found.utcoffset()) == (told, timedelta(0))
    assert told.utcoffset() == oslo


def test_a_moment_without_a_zone_is_refused(store: Store) -> None:
    naive = NewEntry(Holding("F4", "3"), date(2026, 3, 2), datetime(2026, 3, 2, 9), "marit")  # noqa: DTZ001 - what is refused
    with pytest.raises(Exception, match="time zone"):
        append(store, ROOM, naive)
    assert entries(store) == []


def test_only_what_is_new_is_read_after_a_number(store: Store, holding: Tell) -> None:
    append(store, ROOM, *[holding(str(number)) for number in range(5)])
    assert [entry.number for entry in entries(store, after=3)] == [4, 5]


def test_an_entry_takes_its_number_as_order_unless_another_is_given(store: Store, now: datetime) -> None:
    event = Holding("F4", "3")
    first, second = append(store, ROOM, NewEntry(event, now.date(), now, "a"), NewEntry(event, now.date(), now, "a", order=1))
    assert (first.order, second.order) == (1, 1)
    assert [entry.order for entry in entries(store)] == [1, 1]


def test_appending_needs_the_lock(store: Store, holding: Tell) -> None:
    with pytest.raises(RuntimeError, match="locked"), store.write() as tx:
        tx.journal.append(ROOM, [holding("1")], {})
    assert entries(store) == []


def test_the_lock_tells_how_far_each_stream_is(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("1"), holding("1"))
    with store.write() as tx:
        assert tx.journal.lock([OTHER, ROOM]) == {ROOM: 2, OTHER: 0}


def test_a_new_stream_may_begin_after_others_were_locked(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("1"))
    with store.write() as tx:
        tx.journal.lock([ROOM])
        assert tx.journal.lock(["club:c1"]) == {"club:c1": 0}
        assert tx.journal.lock([ROOM]) == {ROOM: 1}
        tx.journal.append("club:c1", [holding("2")], {})
        assert tx.journal.append("club:c1", [], {}) == []
    assert len(entries(store, "club:c1")) == 1


def test_a_message_is_recorded_once(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("7"))
    with pytest.raises(AlreadyTold):
        append(store, ROOM, holding("7"))
    assert len(entries(store)) == 1


def test_a_message_is_recorded_once_even_where_the_second_time_goes_elsewhere(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("7"))
    with pytest.raises(AlreadyTold):
        append(store, OTHER, holding("7"))
    assert entries(store, OTHER) == []


def test_a_message_may_say_several_things_in_several_streams(store: Store, holding: Tell) -> None:
    with store.write() as tx:
        tx.journal.lock([ROOM, OTHER])
        tx.journal.append(ROOM, [holding("7"), holding("7")], {})
        tx.journal.append(OTHER, [holding("7")], {})
    with store.read() as tx:
        found = tx.journal.of_message("telegram:1", "7")
    assert [(entry.stream, entry.number) for entry in found] == [(ROOM, 1), (ROOM, 2), (OTHER, 1)]


def test_an_edit_is_a_revision_of_its_message(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding("7"))
    append(store, ROOM, holding("7", revision=1))
    with store.read() as tx:
        assert len(tx.journal.of_message("telegram:1", "7")) == 2
        assert [entry.number for entry in tx.journal.of_message("telegram:1", "7", revision=1)] == [2]
        assert tx.journal.of_message("page:1", "7") == []


def test_what_goes_wrong_takes_everything_back(store: Store, holding: Tell) -> None:
    def fail(tx: Transaction) -> None:
        tx.journal.lock([ROOM])
        tx.journal.append(ROOM, [holding("1")], {"t1": "a note"})
        tx.journal.counter("c1", "reservation")
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        store.run(fail)
    with store.write() as tx:
        assert tx.journal.entries(ROOM) == []
        assert tx.texts.get("t1") is None
        assert tx.journal.counter("c1", "reservation") == 1


def test_numbers_count_on_in_each_club(store: Store) -> None:
    with store.write() as tx:
        assert [tx.journal.counter("c1", "reservation") for _ in range(3)] == [1, 2, 3]
        assert tx.journal.counter("c2", "reservation") == 1
        assert tx.journal.counter("c1", "brood") == 1
    with store.write() as tx:
        assert tx.journal.counter("c1", "reservation") == 4


# --- taking back -----------------------------------------------------------------------------------------------------


def last_of(store: Store, person: str = "marit", streams: list[str] | None = None) -> tuple[str, list[int]] | None:
    with store.read() as tx:
        found = tx.journal.last_of(person, streams)
    return None if found is None else (found.message, [entry.number for entry in found.entries])


def test_the_last_message_is_the_writers_own_and_whole(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, holding("1", told=now))
    append(store, ROOM, *[holding("2", told=now + timedelta(minutes=1))] * 2)
    append(store, ROOM, holding("3", told=now + timedelta(minutes=2), by="ivar"))
    assert last_of(store) == ("2", [2, 3])
    assert last_of(store, "ivar") == ("3", [4])
    assert last_of(store, "nobody") is None


def test_the_last_message_can_be_asked_for_of_some_streams(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, holding("1"))
    append(store, OTHER, holding("2", told=now + timedelta(minutes=1)))
    assert last_of(store, streams=[ROOM]) == ("1", [1])


def test_taking_back_twice_takes_back_the_message_before(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, holding("1"))
    append(store, ROOM, holding("2", told=now + timedelta(minutes=1)))
    append(store, ROOM, voiding(2, "3", now + timedelta(minutes=2)))
    assert last_of(store) == ("1", [1])
    append(store, ROOM, voiding(1, "4", now + timedelta(minutes=3)))
    assert last_of(store) is None


def test_taking_back_the_taking_back_restores(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, holding("1"))
    append(store, ROOM, voiding(1, "2", now + timedelta(minutes=1)))
    append(store, ROOM, voiding(2, "3", now + timedelta(minutes=2)))
    assert last_of(store) == ("1", [1])
    append(store, ROOM, voiding(3, "4", now + timedelta(minutes=3)))
    assert last_of(store) is None


def test_an_edited_message_stands_as_its_last_revision(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, holding("1"))
    append(store, ROOM, voiding(1, "1", now, revision=1), holding("1", revision=1))
    assert last_of(store) == ("1", [3])


def test_what_nobody_told_is_not_taken_back(store: Store, holding: Tell) -> None:
    append(store, ROOM, holding(None))
    assert last_of(store) is None


def test_a_long_row_of_undone_messages_is_looked_through(store: Store, holding: Tell, now: datetime) -> None:
    append(store, ROOM, *[holding(str(number), told=now + timedelta(seconds=number)) for number in range(120)])
    undoing = [voiding(number + 1, f"u{number}", now + timedelta(hours=1)) for number in range(1, 120)]
    append(store, ROOM, *undoing)
    assert last_of(store) == ("0", [1])


# --- free texts ------------------------------------------------------------------------------------------------------


def test_a_note_stands_beside_the_journal_and_can_be_blanked(store: Store, now: datetime) -> None:
    draft = NewEntry(Noted("t1", fish="F4"), now.date(), now, "marit", source=Source("telegram:1", "1"))
    append(store, ROOM, draft, texts={"t1": "pale, hides behind Berta's old rock"})
    with store.write() as tx:
        assert tx.texts.get_all(["t1", "t2"]) == {"t1": "pale, hides behind Berta's old rock"}
        assert tx.texts.of("marit") == {"t1": "pale, hides behind Berta's old rock"}
        assert tx.texts.blank("marit") == 1
        assert tx.texts.get("t1") is None
    assert [entry.event for entry in entries(store)] == [Noted("t1", fish="F4")]


@pytest.mark.parametrize("words", ["nul \0 inside", "half a \ud800 character", "🐠 ñ 魚 \x07 ' -- \" \\"])
def test_any_text_can_be_kept(store: Store, words: str) -> None:
    with store.write() as tx:
        tx.texts.put("t1", "marit", words)
    with store.read() as tx:
        assert tx.texts.get("t1") == words.replace("\0", "\ufffd").replace("\ud800", "\ufffd")


def test_a_journal_read_some_at_a_time_is_the_same(store: Store, holding: Tell) -> None:
    with store.write() as tx:
        tx.journal.lock([ROOM])
        told = tx.journal.append(ROOM, [holding()] * 2_500, {})
        assert list(tx.journal.each(ROOM)) == tx.journal.entries(ROOM) == told


def test_one_entry_is_found_by_its_number(store: Store, holding: Tell) -> None:
    with store.write() as tx:
        tx.journal.lock([ROOM])
        told = tx.journal.append(ROOM, [holding("1"), holding("2")], {})
        assert tx.journal.entry(ROOM, 2) == told[1]
        with pytest.raises(KeyError):
            tx.journal.entry(ROOM, 3)
