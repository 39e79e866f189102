"""A keeper's own spreadsheet: its columns are guessed, bad rows are listed with why, and nothing is half imported."""

from datetime import UTC, date, datetime

import pytest

from core.club.importing import BadRow, guess, proposals, read_sheet
from core.club.recording import Proposal
from core.events import BatchJoined, Joined, StrainAdded
from core.fishroom.state import Fishroom, Place

TODAY, TOLD = date(2026, 3, 2), datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def room() -> Fishroom:
    return Fishroom("r1", places={"tank 1": Place("tank 1", "tank"), "tub": Place("tub", "tub")})


def read(room: Fishroom, text: str, date_order: str = "DMY") -> list[Proposal] | list[BadRow]:
    return proposals(room, read_sheet(text), TODAY, TOLD, person="marit", date_order=date_order)


@pytest.mark.parametrize(
    ("headings", "columns"),
    [
        (["Species", "Qty", "Tank"], {"strain": 0, "count": 1, "place": 2}),
        (["Batch", "Strain", "Number of fish", "Where", "Size (cm)", "Hatched"],
         {"batch": 0, "strain": 1, "count": 2, "place": 3, "length": 4, "born": 5}),
        (["Sex", "Tag", "Fish", "Bought from"], {"sex": 0, "label": 1, "strain": 2, "origin": 3}),
        (["remarks", "price"], {}),
    ],
)  # fmt: skip
def test_columns_are_known_by_what_keepers_call_them(headings: list[str], columns: dict[str, int]) -> None:
    assert guess(headings) == columns


def test_batches_and_known_fish_come_in(room: Fishroom) -> None:
    text = "Strain;Sex;Tag;Count;Tank;Size (cm);Born\nyellow lab;;;40;tub;3,5;01/02/2026\nyellow labs;F;7;;Tank 1;;\n"
    events = [one.event for one in read(room, text) if isinstance(one, Proposal)]
    assert [type(event) for event in events] == [StrainAdded, BatchJoined, Joined]
    batch, fish = events[1], events[2]
    assert isinstance(batch, BatchJoined)
    assert (batch.count, batch.to, batch.mean_mm, batch.born) == (40, "tub", 35.0, date(2026, 2, 1))
    assert isinstance(fish, Joined)
    assert (fish.sex, fish.label, fish.to, fish.strain) == ("female", "7", "tank 1", batch.strain)


def test_the_month_comes_first_where_the_club_writes_so(room: Fishroom) -> None:
    events = [one.event for one in read(room, "strain,count,born\nyellow lab,5,02/01/2026\n", "MDY") if isinstance(one, Proposal)]
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
