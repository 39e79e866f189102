"""Who may bring somebody into a club, and as what."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from core.club import Refused, Visit
from core.club.joining import add_guest, free_name, invite
from core.store import Store

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
PEOPLE = [Beginner("Ada", ("organiser",)), Beginner("Jutta", ("keeper",)), Beginner("Emil", ("buyer",))]


class Club:
    """A club with an organiser, a keeper and a buyer."""

    def __init__(self, store: Store) -> None:
        self.conversation = Conversation(store, SetClock(NOW))
        self.club, self.people = self.conversation.do(lambda visit: start_club(visit, NOW, "Low Weir Breeders", people=PEOPLE))

    def invites(self, name: str, role: str) -> object:
        def deed(visit: Visit) -> object:
            room = visit.room_of(self.people[name].id, self.club.id)
            return invite(visit, self.people[name].id, self.club.id, room, [role], "Sam", now=NOW, today=NOW.date())  # type: ignore[list-item]

        return self.conversation.do(deed)

    def brings(self, name: str, guest: str) -> object:
        def deed(visit: Visit) -> object:
            room = visit.room_of(self.people[name].id, self.club.id)
            return add_guest(visit, self.people[name].id, self.club.id, room, guest, now=NOW, today=NOW.date())

        return self.conversation.do(deed)


@pytest.fixture
def club(tmp_path: Path) -> Iterator[Club]:
    store = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}")
    yield Club(store)
    store.close()


@pytest.mark.parametrize(
    ("who", "role", "may"),
    [
        ("Ada", "organiser", True),
        ("Ada", "buyer", True),
        ("Jutta", "keeper", True),
        ("Jutta", "organiser", False),
        ("Emil", "buyer", False),
    ],
)
def test_keepers_invite_and_only_organisers_make_organisers(club: Club, who: str, role: str, may: bool) -> None:
    assert isinstance(club.invites(who, role), Refused) is not may


def test_a_keeper_brings_a_guest_once(club: Club) -> None:
    assert not isinstance(club.brings("Jutta", "Frau Berger"), Refused)
    again = club.brings("Jutta", "frau berger")
    assert isinstance(again, Refused)
    assert again.why == "name_taken"


@pytest.mark.parametrize("who", ["Ada", "Emil"])
def test_nobody_else_brings_guests(club: Club, who: str) -> None:
    assert isinstance(club.brings(who, "Frau Berger"), Refused)


def test_nobody_gets_a_name_that_another_bears(club: Club) -> None:
    assert club.conversation.do(lambda visit: free_name(visit, club.club.id, " jutta ")) == "jutta 2"
