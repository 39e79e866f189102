"""The club's own stream: settings and the wanted list."""

from datetime import UTC, date, datetime

from core.events import ClubSetting, Entry, Event, Fed, Voided, Wanted, WishAnswered, WishOffered
from core.fishroom.club import replay_club
from core.fishroom.state import Club, Passed

UNTIL = datetime(2026, 3, 9, tzinfo=UTC)


def club(*events: Event) -> Club:
    day, told = date(2026, 3, 2), datetime(2026, 3, 2, tzinfo=UTC)
    return replay_club(
        "club:1", [Entry("club:1", n, event, day, told, "ana", order=n) for n, event in enumerate(events, start=1)]
    )


def test_a_setting_said_again_replaces_the_first() -> None:
    assert club(ClubSetting("currency", "EUR"), ClubSetting("currency", "USD")).settings == {"currency": "USD"}


def test_a_wish_waits_is_offered_and_passes_on() -> None:
    wished = club(Wanted(1, "oleg", "lab", 6), WishOffered(1, "marit", "A", 6, UNTIL))
    assert (wished.wishes[1].status, wished.wishes[1].offer) == ("offered", ("marit", "A", 6, UNTIL))
    passed = club(Wanted(1, "oleg", "lab", 6), WishOffered(1, "marit", "A", 6, UNTIL), WishAnswered(1, "passed"))
    told = datetime(2026, 3, 2, tzinfo=UTC)
    assert (passed.wishes[1].status, passed.wishes[1].passed) == ("waiting", (Passed("marit", "A", 6, told, said=True),))


def test_silence_is_remembered_when_other_fish_are_proposed() -> None:
    silent = club(Wanted(1, "oleg", "lab", 6), WishOffered(1, "marit", "A", 6, UNTIL), WishOffered(1, "ana", "C", 6, UNTIL))
    assert silent.wishes[1].passed == (Passed("marit", "A", 6, UNTIL, said=False),)


def test_a_wish_met_in_part_waits_for_the_rest() -> None:
    met = club(Wanted(1, "oleg", "lab", 6), WishAnswered(1, "met", 12, 4))
    assert (met.wishes[1].status, met.wishes[1].count) == ("waiting", 2)
    assert club(Wanted(1, "oleg", "lab", 6), WishAnswered(1, "met", 12)).wishes[1].status == "met"


def test_what_does_not_fit_is_a_problem() -> None:
    muddled = club(Wanted(1, "oleg", "lab", 6), Wanted(1, "ana", "lab", 2), WishAnswered(2, "met"), Fed("tub"), Voided(1))
    assert [problem.why for problem in muddled.problems] == ["no_such_wish", "unknown_kind"]
    assert muddled.wishes[1].member == "ana"
