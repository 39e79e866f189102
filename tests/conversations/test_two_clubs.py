"""Somebody with fishrooms in two clubs: one digest over both, and everything goes where it belongs."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.message import Origin, Press, Reply, Text
from core.club import Visit
from core.fishroom.state import Fishroom
from core.store import Store

MORNING = datetime(2026, 3, 2, 9, tzinfo=UTC)


class Keeper:
    """Jutta, who keeps a fishroom in the club she began in and another in a second club, where Bo buys."""

    def __init__(self, store: Store) -> None:
        self.clock = SetClock(MORNING)
        self.conversation = Conversation(store, self.clock)
        self.ids: dict[str, str] = {}
        self.second = ""
        self.conversation.do(self._begin)
        self.heard = 0

    def _begin(self, visit: Visit) -> None:
        _, here = start_club(visit, MORNING, "Low Weir Breeders", people=[Beginner("Jutta", ("keeper",))])
        club, there = start_club(visit, MORNING, "Cellar Club", people=[Beginner("Bo", ("buyer",))])
        self.ids = {name: person.id for name, person in {**here, **there}.items()}
        for name, person in self.ids.items():
            visit.tx.people.identify("play", name, person, name)
        visit.tx.clubs.join(club.id, self.ids["Jutta"], ["keeper"], MORNING)
        self.second = visit.tx.clubs.add_room("Cellar", in_clubs=[club.id], kept_by=[self.ids["Jutta"]]).id

    def origin(self, name: str) -> Origin:
        self.heard += 1
        return Origin(self.ids[name], "play", name, f"m{self.heard}")

    def say(self, name: str, text: str) -> Reply:
        return self.conversation.hear(Text(self.origin(name), text))[-1]

    def press(self, reply: Reply, label: str) -> Reply:
        token = next(button.token for row in reply.buttons for button in row if button.label == label)
        return self.conversation.hear(Press(self.origin("Jutta"), token))[-1]

    def cellar(self) -> Fishroom:
        with self.conversation.visits.read() as visit:
            return visit.room(self.second)


@pytest.fixture
def jutta(tmp_path: Path) -> Iterator[Keeper]:
    store = Store.open(f"sqlite:///{tmp_path / 'clubs.sqlite'}")
    yield Keeper(store)
    store.close()


def short(jutta: Keeper) -> Reply:
    """The digest in the first club, while a promise is short in the second."""
    for text in (
        "use Cellar Club",
        "new tub, 400 litres, 26 C",
        "bought batch of 30 yellow labs, 5 cm, born 1 sep 2025, into tub",
        "offer A",
    ):
        jutta.say("Jutta", text)
    jutta.say("Bo", "reserve 20 of A")
    jutta.say("Jutta", "counted 10 in A")
    jutta.say("Jutta", "use Low Weir Breeders")
    return jutta.say("Jutta", "what's due")


def test_the_digest_names_the_fishroom_and_the_buyer_of_the_other_club(jutta: Keeper) -> None:
    told = short(jutta).text
    assert told.startswith("[Cellar]\n")
    assert "#1 (Bo, 20 fish" in told


def test_a_button_does_its_work_in_the_club_that_it_belongs_to(jutta: Keeper) -> None:
    jutta.press(short(jutta), "#1: give 10")
    assert jutta.cellar().reservations[1].count == 10


def test_a_task_is_done_by_its_number_in_its_own_fishroom(jutta: Keeper) -> None:
    for club in ("Low Weir Breeders", "Cellar Club"):
        jutta.say("Jutta", f"use {club}")
        jutta.say("Jutta", "new tank 1, 200 litres, 26 C")
        jutta.say("Jutta", "added 2 female yellow labs and a male to tank 1")
        jutta.say("Jutta", "female 1 holding since 20 days ago")
    jutta.say("Jutta", "use Low Weir Breeders")
    listed = jutta.say("Jutta", "what's due").text
    _, _, cellar = listed.partition("[Cellar]")
    number = next(line.partition(".")[0] for line in cellar.splitlines() if line[:1].isdigit())
    jutta.say("Jutta", f"done {number}")
    assert [key.partition("/")[0] for key in jutta.cellar().task_marks] == [jutta.second]


def test_messages_that_may_not_have_arrived_are_counted(jutta: Keeper) -> None:
    def lost(visit: Visit) -> None:
        put = visit.tx.deliveries.put
        for key in ("digest:1", "digest:2"):
            person = jutta.ids["Jutta"]
            put(key, door="play", chat="Jutta", kind="digest", payload={"text": "…"}, due_at=MORNING, now=MORNING, person=person)

    jutta.conversation.do(lost)
    with jutta.conversation.store.write() as tx:
        for sent in tx.deliveries.claim(MORNING, 10, timedelta(minutes=2)):
            tx.deliveries.unsure(sent.id, MORNING, MORNING)
    assert "2 earlier messages" in jutta.say("Jutta", "what's due").text
