"""What somebody gets who asks for their data: all of their own, and how to reach nobody else."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.message import Origin, Text
from core.store import Store

MORNING = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[ZipFile]:
    """Jutta's data, after Emil left his number and reserved."""
    store = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}")
    conversation = Conversation(store, SetClock(MORNING))
    people = [Beginner("Jutta", ("keeper",)), Beginner("Emil", ("buyer",))]
    _, known = conversation.do(lambda visit: start_club(visit, MORNING, "Low Weir Breeders", people=people))
    said = [
        ("Jutta", "my contact: 0650 1234"),
        ("Emil", "my contact: 0699 9876"),
        ("Jutta", "new tub, 400 litres, 26 C"),
        ("Jutta", "bought batch of 30 yellow labs, 5 cm, born 1 sep 2025, into tub"),
        ("Jutta", "offer A"),
        ("Emil", "reserve 6 of A"),
    ]
    for number, (name, text) in enumerate(said):
        conversation.hear(Text(Origin(known[name].id, "play", name, f"m{number}"), text))
    reply = conversation.hear(Text(Origin(known["Jutta"].id, "play", "Jutta", "data"), "send me my data"))[-1]
    yield ZipFile(BytesIO(reply.attachments[0].content))
    store.close()


def test_it_holds_who_they_are_and_what_they_told(archive: ZipFile) -> None:
    assert json.loads(archive.read("person.json"))["contact"] == "0650 1234"
    kept = json.loads(archive.read("everything-kept.json"))
    assert len(kept["journal"]) >= 4
    assert any(name.endswith("batches.csv") for name in archive.namelist())


def test_it_holds_no_contact_of_anybody_else(archive: ZipFile) -> None:
    assert all(b"0699 9876" not in archive.read(name) for name in archive.namelist())
