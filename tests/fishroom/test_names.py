"""What the next one is called, and who goes by a name."""

from core.events import (
    BatchJoined,
    BroodLost,
    Died,
    Holding,
    Joined,
    Mixed,
    Moved,
    Named,
    PlaceAdded,
    PlaceRetired,
    Sold,
    WaterTested,
)
from core.fishroom.names import (
    batch_id,
    find_batch,
    find_fish,
    fish_id,
    next_batch,
    next_brood,
    next_label,
    pedigree_id,
)
from tests.fishroom.conftest import Telling


def test_letters_are_given_in_order_and_go_on_after_z(marit: Telling, empty: Telling) -> None:
    assert next_batch(empty.room) == "A"
    assert next_batch(marit.room) == "C"
    assert next_batch(marit.room, taken=("C",)) == "D"
    for letter in "CDEFGHIJKLMNOPQRSTUVWXYZ":
        marit.on(1, BatchJoined(letter, "lab", 1))
    assert next_batch(marit.room) == "AA"


def test_a_letter_asked_for_is_free_once_its_fish_are_gone(marit: Telling) -> None:
    assert batch_id(marit.room, "b") is None
    marit.on(1, Sold("B", 10))
    assert batch_id(marit.room, "b") == "B.2"
    marit.on(2, BatchJoined("B.2", "lab", 4))
    found = find_batch(marit.room, "B")
    assert found is not None
    assert (found.id, found.label) == ("B.2", "B")


def test_a_letter_lives_on_in_the_stock_it_was_mixed_into(marit: Telling) -> None:
    marit.on(1, Mixed(("A", "B"), "A", "tub"))
    found = find_batch(marit.room, "B")
    assert found is not None
    assert found.id == "A"
    assert batch_id(marit.room, "B") is None


def test_labels_count_on_by_sex(marit: Telling) -> None:
    assert (next_label(marit.room, "female"), next_label(marit.room, "male")) == ("2", "2")
    assert next_label(marit.room, "female", taken=("2", "3")) == "7"


def test_a_label_given_again_names_the_living_fish(marit: Telling) -> None:
    marit.on(1, Died(fish="F4"))
    assert find_fish(marit.room, "female", "4") is None
    assert fish_id(marit.room, "female", "4") == "F4.2"
    marit.on(2, Joined("F4.2", "female", "4", "lab"), Named("F4.2", "Rook"))
    found = find_fish(marit.room, "female", "4")
    assert found is not None
    assert (found.id, found.nickname) == ("F4.2", "Rook")


def test_broods_are_numbered_on(marit: Telling) -> None:
    assert next_brood(marit.room) == "brood 1"
    marit.on(1, Holding("F4", "brood 1")).on(3, BroodLost("F4")).on(30, Holding("F5", "brood 4"))
    assert next_brood(marit.room) == "brood 5"
    assert next_brood(marit.room, taken=("brood 5",)) == "brood 6"


def test_a_fish_keeps_its_pedigree_id_when_it_changes_hands(marit: Telling) -> None:
    marit.on(1, Joined("F9", "female", "9", "lab", formerly="oleg/F2"))
    assert pedigree_id(marit.room, marit.room.fish["F9"]) == "oleg/F2"
    assert pedigree_id(marit.room, marit.room.fish["F4"]) == "marit/F4"


def test_a_box_is_tested_with_its_tank(marit: Telling) -> None:
    marit.on(1, WaterTested("box 1", ph=7.8, temp_c=25.0))
    assert [test.ph for test in marit.room.water_tests["tank 1"]] == [7.8]


def test_a_place_said_again_changes_only_what_is_said(marit: Telling) -> None:
    marit.on(1, PlaceRetired("tub")).on(2, PlaceAdded("tub", "tub", temp_c=24.0, loop=True))
    tub = marit.room.places["tub"]
    assert (tub.litres, tub.temp_c, tub.loop, tub.retired) == (500.0, 24.0, True, False)


def test_fish_in_a_place_nobody_added_are_there_and_it_is_said(marit: Telling) -> None:
    marit.on(1, Moved("attic", fish="F4"))
    assert marit.room.fish["F4"].place == "attic"
    assert marit.problems == [("no_such_place", "attic")]
