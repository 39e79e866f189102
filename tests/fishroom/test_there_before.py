"""What is set up late may be told of earlier days."""

from datetime import UTC, date, datetime

from core.events import BatchJoined, Entry, Event, Holding, Joined, PlaceAdded, Sexed, Split
from core.fishroom.replay import bring_up, replay
from core.fishroom.state import Fishroom


def told(number: int, on: date, event: Event) -> Entry:
    return Entry("fishroom:r", number, event, on, datetime(2026, 3, 2, 9, number, tzinfo=UTC), "runa", order=number)


MONDAY, SATURDAY = date(2026, 3, 2), date(2026, 2, 28)
SETTING_UP = [
    told(1, MONDAY, PlaceAdded("tank 1", "tank")),
    told(2, MONDAY, Joined("F4", "female", "4", "lab", "tank 1")),
]


def test_a_female_entered_on_monday_may_have_held_since_saturday() -> None:
    room = replay("r", [*SETTING_UP, told(3, SATURDAY, Holding("F4", "brood 1"))])
    assert not room.problems
    brood = room.brood_of("F4")
    assert brood is not None
    assert brood.first_seen == SATURDAY
    assert room.fish["F4"].joined == MONDAY


def test_what_was_told_before_the_female_was_entered_fits_once_she_is() -> None:
    early = told(1, SATURDAY, Holding("F4", "brood 1"))
    entered = told(2, MONDAY, Joined("F4", "female", "4", "lab"))
    before = replay("r", [early])
    assert [problem.why for problem in before.problems] == ["no_such_fish"]
    after = bring_up(before, [entered], lambda: [early, entered])
    assert not after.problems
    assert after.holding == {"F4": "brood 1"}


def test_a_fish_that_was_never_entered_is_a_problem_as_ever() -> None:
    room: Fishroom = replay("r", [*SETTING_UP, told(3, SATURDAY, Holding("F5", "brood 1"))])
    assert [problem.about for problem in room.problems] == ["F5"]


def test_a_letter_set_up_first_and_given_again_to_a_split_stays_set_up() -> None:
    sexed, bought = told(1, SATURDAY, Sexed("C", males=1)), told(2, MONDAY, BatchJoined("C", "lab", 5))
    split = told(3, date(2026, 3, 3), Split("A", "C"))
    at_hand = bring_up(replay("r", [sexed, bought]), [split], lambda: [sexed, bought, split])
    assert at_hand == replay("r", [sexed, bought, split])
    assert "C" not in {problem.about for problem in at_hand.problems if problem.on == SATURDAY}
