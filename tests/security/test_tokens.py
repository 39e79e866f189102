"""Buttons and invitations, through the whole conversation: forged, foreign, used twice, guessed."""

from datetime import timedelta

import pytest

from core.club.joining import invite_by_house
from tests.fuzz.club import KEEPER, ORGANISER, Club


def test_a_button_is_no_good_in_another_members_hands(club: Club) -> None:
    club.say(KEEPER, "counted 50 in A")
    token = next(button.token for button in reversed(club.buttons[KEEPER]) if button.label == "Take back")
    before = club.heads()
    for who in ("Bo", "Cy", ORGANISER, "Eva", "Mal"):
        [reply] = club.press(who, token)
        assert "somebody else" in reply.text
    assert club.heads() == before


@pytest.mark.parametrize("token", ["", "1a", "1aAAAAAAAAAAAAAAAA", "x" * 64, "' OR 1=1 --", '{"do": "take_back"}', "\x00"])
def test_a_forged_button_changes_nothing(club: Club, token: str) -> None:
    before = club.heads()
    [reply] = club.press(KEEPER, token)
    assert "do not know that button" in reply.text
    assert club.heads() == before


def test_a_button_works_once(club: Club) -> None:
    club.say(KEEPER, "counted 49 in A")
    token = next(button.token for button in reversed(club.buttons[KEEPER]) if button.label == "Take back")
    assert "Taken back" in club.press(KEEPER, token)[0].text
    before = club.heads()
    club.press(KEEPER, token)
    assert club.heads() == before


def code(club: Club, name: str) -> str:
    return str(club.conversation.do(lambda visit: invite_by_house(visit, club.ids[ORGANISER], club.club.id, club.clock.now(), ["buyer"], name)))


def test_an_invitation_lets_one_person_in_and_no_second(club: Club) -> None:
    given = code(club, "Ivar")
    club.conversation.arrive("page", "ivar", "ivar", "Ivar", given)
    club.conversation.arrive("page", "thief", "thief", "Thief", given)
    assert club.conversation.person_of("page", "ivar") is not None
    assert club.conversation.person_of("page", "thief") is None


def test_an_invitation_runs_out(club: Club) -> None:
    given = code(club, "Late")
    club.clock.moment += timedelta(days=15)
    club.conversation.arrive("page", "late", "late", "Late", given)
    assert club.conversation.person_of("page", "late") is None


def test_codes_cannot_be_guessed_for_long(club: Club) -> None:
    """After some wrong ones even the right one is not looked at, for whoever guessed; others get in."""
    given = code(club, "Rikke")
    for guess in range(40):
        club.conversation.arrive("page", "guesser", "guesser", "Guesser", f"guess{guess:015d}")
    club.conversation.arrive("page", "guesser", "guesser", "Guesser", given)
    assert club.conversation.person_of("page", "guesser") is None
    club.conversation.arrive("page", "rikke", "rikke", "Rikke", given)
    assert club.conversation.person_of("page", "rikke") is not None
