"""A keeper's own spreadsheet: its columns are guessed, bad rows are listed with why, and nothing is half imported."""

from datetime import UTC, date, datetime

import pytest

from core.club.importing import BadRow, Brought, brought
from core.club.sheets import decoded, guess, read_sheet, renamed
from core.events import BatchJoined, Event, Joined, Noted, Parents, StrainAdded
from core.fishroom.state import Fishroom, Place

TODAY, TOLD = date(2026, 3, 2), datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def room() -> Fishroom:
    return Fishroom("r1", places={"tank 1": Place("tank 1", "tank"), "tub": Place("tub", "tub")})


def read(room: Fishroom, text: str, date_order: str = "DMY") -> Brought | list[BadRow]:
    return brought(room, read_sheet(text), TODAY, TOLD, person="marit", date_order=date_order)


def events_of(room: Fishroom, text: str, date_order: str = "DMY") -> list[Event]:
    found = read(room, text, date_order)
    assert isinstance(found, Brought), found
    return [one.event for one in found.proposals]


@pytest.mark.parametrize(
    ("headings", "columns"),
    [
        (["Species", "Qty", "Tank"], {"strain": 0, "count": 1, "place": 2}),
        (["Batch", "Strain", "Number of fish", "Where", "Size (cm)", "Hatched"],
         {"batch": 0, "strain": 1, "count": 2, "place": 3, "length": 4, "born": 5}),
        (["Sex", "Tag", "Fish", "Bought from"], {"sex": 0, "label": 1, "strain": 2, "origin": 3}),
        (["Date", "Mother", "Father", "Fry", "Alive", "Remarks"], {"born": 0, "mother": 1, "father": 2, "count": 4, "note": 5}),
        (["price", "shelf"], {}),
    ],
)  # fmt: skip
def test_columns_are_known_by_what_keepers_call_them(headings: list[str], columns: dict[str, int]) -> None:
    assert guess(headings) == columns


def test_batches_and_known_fish_come_in(room: Fishroom) -> None:
    text = "Strain;Sex;Tag;Count;Tank;Size (cm);Born\nyellow lab;;;40;tub;3,5;01/02/2026\nyellow labs;F;7;;Tank 1;;\n"
    events = events_of(room, text)
    assert [type(event) for event in events] == [StrainAdded, BatchJoined, Joined]
    batch, fish = events[1], events[2]
    assert isinstance(batch, BatchJoined)
    assert (batch.count, batch.to, batch.mean_mm, batch.born) == (40, "tub", 35.0, date(2026, 2, 1))
    assert isinstance(fish, Joined)
    assert (fish.sex, fish.label, fish.to, fish.strain) == ("female", "7", "tank 1", batch.strain)


def test_the_month_comes_first_where_the_club_writes_so(room: Fishroom) -> None:
    events = events_of(room, "strain,count,born\nyellow lab,5,02/01/2026\n", "MDY")
    assert [event.born for event in events if isinstance(event, BatchJoined)] == [date(2026, 2, 1)]


@pytest.mark.parametrize(
    ("row", "why", "value"),
    [
        (",4,tub,", "no_strain", ""),
        ("unicorn,4,tub,", "unknown_strain", "unicorn"),
        ("yellow lab,,tub,", "no_count", ""),
        ("yellow lab,a few,tub,", "not_a_count", "a few"),
        ("yellow lab,0,tub,", "not_a_count", "0"),
        ("yellow lab,4,attic,", "unknown_place", "attic"),
        ("yellow lab,4,tub,31/31/2026", "not_a_date", "31/31/2026"),
        ("yellow lab,4,tub,30.02.2026", "not_a_date", "30.02.2026"),
        ("yellow lab,4,tub,1 Apr 2026", "future", "1 Apr 2026"),
    ],
)
def test_a_row_that_cannot_be_read_is_listed_and_nothing_comes_in(room: Fishroom, row: str, why: str, value: str) -> None:
    found = read(room, f"strain,count,place,born\nyellow lab,4,tub,\n{row}\n")
    assert found == [BadRow(3, why, value)]  # type: ignore[arg-type]


def test_a_letter_is_given_once(room: Fishroom) -> None:
    found = read(room, "batch,strain,count\nB,yellow lab,4\nB,yellow lab,6\n")
    assert found == [BadRow(3, "taken", "B")]


def test_a_sheet_without_rows_is_refused() -> None:
    with pytest.raises(ValueError, match="no rows"):
        read_sheet("strain,count\n")


def test_broods_come_with_their_parents_and_remarks(room: Fishroom) -> None:
    text = (
        "Batch;Mother;Father;Strain;Alive;Sex;Name;Born;Notes\n"
        ";;;yellow lab;;m;Bo;;\n;;;yellow lab;2;f;;;\nB;F2;Bo;yellow lab;~22;;;12 Jan 2026;pale ones\n"
    )
    events = events_of(room, text)
    male, females = events[1], [event for event in events if isinstance(event, Joined) and event.sex == "female"]
    assert isinstance(male, Joined)
    assert (male.nickname, [fish.label for fish in females]) == ("Bo", ["1", "2"])
    batch, parents, note = events[-3:]
    assert isinstance(batch, BatchJoined)
    assert (batch.batch, batch.count, batch.approx, batch.born) == ("B", 22, True, date(2026, 1, 12))
    assert parents == Parents("B", male.fish, females[1].fish)
    assert isinstance(note, Noted)
    found = read(room, text)
    assert isinstance(found, Brought)
    assert found.texts == {note.text: "pale ones"}


def test_parents_nobody_keeps_are_asked_for(room: Fishroom) -> None:
    assert read(room, "strain,count,mother\nyellow lab,4,Rosa\n") == [BadRow(2, "unknown_parent", "female Rosa")]


def test_a_length_without_its_unit_is_not_guessed_at(room: Fishroom) -> None:
    assert read(room, "strain,count,size\nyellow lab,4,2\n") == [BadRow(2, "no_unit", "2")]
    (_, batch) = events_of(room, "strain,count,size\nyellow lab,4,2 in\n")
    assert isinstance(batch, BatchJoined)
    assert batch.mean_mm == 50.8  # an inch is 25.4 mm by definition (NIST Handbook 44, Appendix C)


def test_a_keeper_says_what_a_column_is() -> None:
    sheet = renamed(read_sheet("strain,fry,swimming\nyellow lab,30,12\n"), "Swimming", "count")
    assert sheet.mapping == {"strain": 0, "count": 2}
    assert renamed(sheet, "swimming", "").mapping == {"strain": 0}
    with pytest.raises(ValueError, match="no column headed “tails”"):
        renamed(sheet, "tails", "count")
    with pytest.raises(ValueError, match="is none of"):
        renamed(sheet, "fry", "colour")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_sheet_is_read_however_it_was_saved(encoding: str) -> None:
    assert read_sheet(decoded("strain,place\nacei,Bücherecke\n".encode(encoding))).rows == (("acei", "Bücherecke"),)


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(ValueError, match="no text"):
        decoded(b"PK\x03\x04\x00\x00")
