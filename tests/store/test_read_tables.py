"""The read tables say what the journal says, and are thrown away where they may not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest

from core.store import NewEntry, Store, Transaction
from core.store.shelf import PedigreeRow, ShelfRow, TaskRow

HOUR = timedelta(hours=1)
MARCH, APRIL, MAY = date(2026, 3, 1), date(2026, 4, 1), date(2026, 5, 1)
Tell = Callable[..., NewEntry]


@pytest.fixture
def rooms(store: Store, holding: Tell) -> Store:
    """Two clubs; the cellar is shown in both, the attic in the second; each room's journal has one entry."""
    with store.write() as tx:
        for club in ("lakers", "pond"):
            tx.clubs.add(club, id=club)
        tx.clubs.add_room("Cellar", ["lakers", "pond"], id="cellar")
        tx.clubs.add_room("Attic", ["pond"], id="attic")
        tx.journal.lock(["fishroom:cellar", "fishroom:attic"])
        tx.journal.append("fishroom:cellar", [holding("1")], {})
        tx.journal.append("fishroom:attic", [holding("2")], {})
    return store


YELLOW = ShelfRow("cellar", "B", "yellow", 6, "female", APRIL, 34.5, Decimal("3.50"), {"held": 2})
YOUNG = ShelfRow("cellar", "C", "yellow", 20, "any", MAY, 12.0)
BLUE = ShelfRow("attic", "A", "blue", 3, "male", MARCH, 40.0)
GONE = ShelfRow("attic", "D", "blue", 0, "male", MARCH, 60.0)


def fill(tx: Transaction) -> None:
    tx.shelf.replace("cellar", [YELLOW, YOUNG])
    tx.shelf.replace("attic", [BLUE, GONE])


def test_a_club_sees_what_its_fishrooms_can_promise(rooms: Store) -> None:
    with rooms.write() as tx:
        fill(tx)
    with rooms.read() as tx:
        assert tx.shelf.find(club="lakers") == [YELLOW, YOUNG]
        assert tx.shelf.find(club="pond") == [BLUE, YELLOW, YOUNG]
        assert tx.shelf.find(room="attic") == [BLUE]


def test_the_shelf_is_searched_by_strain_sex_size_and_day(rooms: Store) -> None:
    with rooms.write() as tx:
        fill(tx)
        assert tx.shelf.find(club="pond", strain="blue") == [BLUE]
        assert tx.shelf.find(club="pond", sex="female") == [YELLOW, YOUNG]
        assert tx.shelf.find(club="pond", min_mm=34.5) == [BLUE, YELLOW]
        assert tx.shelf.find(club="pond", ready_by=APRIL) == [BLUE, YELLOW]


def test_new_rows_take_the_place_of_a_fishrooms_old_ones(rooms: Store) -> None:
    with rooms.write() as tx:
        fill(tx)
        tx.shelf.replace("cellar", [replace(YELLOW, promisable=5)])
        assert [row.promisable for row in tx.shelf.find(club="lakers")] == [5]
        tx.shelf.replace("cellar", [])
        assert tx.shelf.find(club="lakers") == []


def test_rows_are_stale_when_never_filled_behind_their_journal_or_past_their_moment(
    rooms: Store, holding: Tell, now: datetime
) -> None:
    with rooms.write() as tx:
        assert tx.read_tables.stale(now) == ["attic", "cellar"]
        tx.read_tables.refreshed("cellar", 1, now + HOUR)
        tx.read_tables.refreshed("attic", 1, None)
        assert tx.read_tables.stale(now) == []
        assert tx.read_tables.stale(now + HOUR) == ["cellar"]
        tx.journal.lock(["fishroom:attic"])
        tx.journal.append("fishroom:attic", [holding("3")], {})
        assert tx.read_tables.stale(now) == ["attic"]
        tx.read_tables.empty()
        assert tx.read_tables.stale(now) == ["attic", "cellar"]


def test_due_tasks_come_urgent_first_and_place_by_place(rooms: Store) -> None:
    rows = [
        TaskRow("cellar", "strip/3", APRIL, "tank 2", data={"female": "F4"}),
        TaskRow("cellar", "water/1", MARCH, "tank 1"),
        TaskRow("cellar", "nitrite", APRIL, "tub", urgent=True),
        TaskRow("cellar", "measure", MAY, "tub"),
    ]
    with rooms.write() as tx:
        tx.tasks.replace("cellar", rows)
        assert [row.key for row in tx.tasks.due(["cellar", "attic"], APRIL)] == ["nitrite", "water/1", "strip/3"]
        assert tx.tasks.due(["cellar"], APRIL)[2] == rows[0]
        assert tx.tasks.due(["attic"], MAY) == []


def test_a_pedigree_reaches_over_fishrooms(rooms: Store) -> None:
    sire = PedigreeRow("cellar/M1", "cellar", "yellow", "male")
    mixed = PedigreeRow("attic/A", "attic", "yellow", "unsexed", [["cellar/M1", None, 0.75], [None, None, 0.25]], "cellar/B")
    with rooms.write() as tx:
        tx.pedigree.replace("cellar", [sire])
        tx.pedigree.replace("attic", [mixed])
        assert tx.pedigree.all() == [mixed, PedigreeRow("cellar/M1", "cellar", "yellow", "male", [])]
        assert tx.pedigree.get("attic/A") == mixed
        assert tx.pedigree.get("attic/Z") is None
        assert (tx.pedigree.count(), len(tx.pedigree.of_rooms(["attic"]))) == (2, 1)


def test_ten_thousand_mornings_are_asked_for_by_the_moment(store: Store, now: datetime) -> None:
    with store.write() as tx:
        people = [tx.people.add(f"Member {number}", now) for number in range(30)]
        for number, person in enumerate(people):
            tx.mornings.set(person.id, now + number * HOUR)
    with store.write() as tx:
        assert [person for person, _ in tx.mornings.due(now + 2 * HOUR)] == ["p1", "p2", "p3"]
        assert len(tx.mornings.due(now + 100 * HOUR, limit=4)) == 4
        tx.mornings.set("p1", now + 24 * HOUR)
        tx.mornings.clear("p2")
    with store.read() as tx:
        assert tx.mornings.due(now + 2 * HOUR) == [("p3", now + 2 * HOUR)]
        assert (tx.mornings.next_of("p1"), tx.mornings.next_of("p2")) == (now + 24 * HOUR, None)
        assert tx.mornings.first() == now + 2 * HOUR


def test_a_photo_is_kept_by_us_with_the_names_platforms_give_it(store: Store) -> None:
    content = bytes(range(256))
    with store.write() as tx:
        photo = tx.photos.put(content, "image/jpeg", 800, 600, "marit")
        assert tx.photos.put(content, "image/jpeg", 800, 600, "marit") == photo
        assert tx.photos.put(content, "image/jpeg", 800, 600, "ivar") != photo
        tx.photos.set_file(photo, "telegram", "AgAC1")
        tx.photos.set_file(photo, "telegram", "AgAC2")
    with store.read() as tx:
        found = tx.photos.get(photo)
        assert found is not None
        assert (found.content, found.width, found.height, found.by) == (content, 800, 600, "marit")
        # SHA-256 of the bytes 00 01 … ff, by coreutils sha256sum.
        assert found.sha256 == "40aff2e9d2d8922e47afd4648e6967497158785fbd1da870e7110266bf944880"
        assert (tx.photos.file(photo, "telegram"), tx.photos.file(photo, "page")) == ("AgAC2", None)
        assert tx.photos.of("marit") == [photo]
        assert tx.photos.get("none") is None
