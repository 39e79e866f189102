"""A wish is answered by whoever wished."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from core.club import Proposal, Refused, Visit
from core.club.recording import record
from core.events import Wanted, WishAnswered
from core.store import Store
from tests.club.test_joining import NOW, Club


@pytest.fixture
def club(tmp_path: Path) -> Iterator[Club]:
    store = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}")
    yield Club(store)
    store.close()


def test_nobody_answers_for_anothers_wish(club: Club) -> None:
    told = {"source": None, "told": NOW, "today": NOW.date()}
    stream = f"club:{club.club.id}"
    emil, ada = club.people["Emil"].id, club.people["Ada"].id

    def deed(visit: Visit) -> tuple[object, object]:
        record(visit, emil, club.club.id, [Proposal(stream, Wanted(1, emil, "yellow-lab", 4), NOW.date())], **told)  # type: ignore[arg-type]
        dropped = [Proposal(stream, WishAnswered(1, "dropped"), NOW.date())]
        return (record(visit, ada, club.club.id, dropped, **told), record(visit, emil, club.club.id, dropped, **told))  # type: ignore[arg-type]

    by_another, by_oneself = club.conversation.do(deed)
    assert isinstance(by_another, Refused)
    assert not isinstance(by_oneself, Refused)
