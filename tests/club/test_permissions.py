"""Who may do what, cell by cell. The expectations were written out by hand from what keepers, sitters, buyers and organisers are for."""

import pytest

from core import events
from core.club.permissions import AREA, MAY, Area, Standing, area_of, may
from core.events import Event, Reserved, Voided, WishAnswered

YES, NO = True, False
TABLE: dict[str, tuple[bool, bool, bool, bool, bool, bool]] = {
    #                        organiser keeper sitter member guest stranger
    "stock":                 (NO,      YES,   NO,    NO,    NO,   NO),
    "care":                  (NO,      YES,   YES,   NO,    NO,   NO),
    "running":               (NO,      YES,   NO,    NO,    NO,   NO),
    "selling":               (NO,      YES,   NO,    NO,    NO,   NO),
    "reserving for another": (NO,      YES,   NO,    NO,    NO,   NO),
    "reserving":             (YES,     YES,   YES,   YES,   YES,  NO),
    "wishing":               (YES,     YES,   YES,   YES,   NO,   NO),
    "club":                  (YES,     NO,    NO,    NO,    NO,   NO),
    "inviting":              (YES,     YES,   NO,    NO,    NO,   NO),
    "seeing the room":       (NO,      YES,   YES,   NO,    NO,   NO),
    "seeing the shelf":      (YES,     YES,   YES,   YES,   YES,  NO),
    "seeing a contact":      (YES,     YES,   NO,    NO,    NO,   NO),
}  # fmt: skip
STANDINGS = ("organiser", "keeper", "sitter", "member", "guest", "stranger")
CELLS = [(area, standing, cell) for area, row in TABLE.items() for standing, cell in zip(STANDINGS, row, strict=True)]
KINDS = [
    kind for kind in vars(events).values() if isinstance(kind, type) and issubclass(kind, Event) and kind not in (Event, Voided)
]


@pytest.mark.parametrize(("area", "standing", "allowed"), CELLS)
def test_every_standing_may_do_what_it_is_for_and_no_more(area: str, standing: str, allowed: bool) -> None:
    assert may([Standing(standing)], Area(area)) is allowed


def test_no_cell_is_left_out() -> None:
    assert {(Area(area), Standing(standing)) for area, standing, _ in CELLS} == {(a, s) for a in Area for s in Standing}
    assert set(MAY) == set(Standing)


def test_whoever_is_several_things_may_do_what_any_of_them_may() -> None:
    assert may([Standing.MEMBER, Standing.ORGANISER], Area.CLUB)
    assert not may([Standing.MEMBER, Standing.GUEST], Area.STOCK)
    assert not may([], Area.SEEING_THE_SHELF)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_everything_that_can_happen_belongs_to_an_area(kind: type[Event]) -> None:
    assert kind in AREA


def test_a_taking_back_has_no_area_of_its_own() -> None:
    assert Voided not in AREA


def test_what_a_sitter_logs_is_food_water_deaths_and_tasks_done() -> None:
    assert {kind.__name__ for kind, area in AREA.items() if area is Area.CARE} == {
        "Died",
        "Fed",
        "WaterTested",
        "WaterChanged",
        "TaskDone",
    }


def test_reserving_for_somebody_else_is_another_thing() -> None:
    reservation = Reserved(1, "bo", "A", 4)
    assert area_of(reservation, own=True) is Area.RESERVING
    assert area_of(reservation, own=False) is Area.RESERVING_FOR_ANOTHER
    assert area_of(WishAnswered(1, "dropped"), own=False) is Area.RESERVING_FOR_ANOTHER
