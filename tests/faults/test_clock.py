"""A clock that jumps: one digest a local day and no burst, holds and questions end once, and nothing is younger than nothing."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, datetime, timedelta

import pytest

from core.store.backup import nightly
from tests.faults.conftest import MONDAY, Fishrooms

HOUR, MONTH = timedelta(hours=1), timedelta(days=31)


@pytest.fixture
def breeding(club: Fishrooms) -> Fishrooms:
    """Something to say every morning: a holding female in each fishroom."""
    for person in ("marit", "oleg"):
        club.say(person, "female 2 holding for 14 days")
    return club


def tick_until(club: Fishrooms, moment: datetime, step: timedelta = timedelta(minutes=20)) -> None:
    while club.clock.moment < moment:
        club.clock.moment += step
        club.conversation.due()


def digests(club: Fishrooms, person: str) -> Counter[str]:
    return Counter(key for key, _ in club.sent(person) if key.startswith("digest:"))


def test_an_hour_back_brings_no_digest_twice(breeding: Fishrooms) -> None:
    morning = MONDAY + timedelta(days=1)
    tick_until(breeding, morning)
    before = digests(breeding, "marit")
    assert before == {f"digest:marit:{date(2026, 3, 3)}": 1}
    for _ in range(3):
        breeding.clock.moment -= HOUR
        breeding.conversation.due()
    tick_until(breeding, morning)
    assert digests(breeding, "marit") == before
    tick_until(breeding, morning + timedelta(days=1))
    assert len(digests(breeding, "marit")) == 2, "and the next one comes on its day"


def test_a_month_forward_is_one_morning_not_thirty(breeding: Fishrooms) -> None:
    breeding.clock.moment += MONTH
    for _ in range(3):
        breeding.conversation.due()
    assert len(digests(breeding, "marit")) <= 1
    assert len(breeding.sent("marit")) <= 3, "no burst"


def test_a_clock_put_right_again_does_not_silence_the_mornings_of_a_month(breeding: Fishrooms) -> None:
    breeding.clock.moment += MONTH
    breeding.conversation.due()
    breeding.clock.moment -= MONTH
    breeding.conversation.due()
    tick_until(breeding, MONDAY + timedelta(days=3))
    days = {key.rsplit(":", 1)[1] for key in digests(breeding, "marit")}
    assert {"2026-03-03", "2026-03-04"} <= days
    assert all(count == 1 for count in digests(breeding, "marit").values())


def test_a_hold_lapses_once_however_the_clock_jumps(breeding: Fishrooms) -> None:
    breeding.say("marit", "batch of 20 yellow lab fry in tank 1, born 1 dec, 4 cm")
    breeding.say("marit", "offer A at 5 each")
    breeding.say("wren", "reserve 2 of batch A from Marit")
    breeding.clock.moment += MONTH
    breeding.conversation.due()
    breeding.clock.moment -= HOUR
    breeding.conversation.due()
    breeding.clock.moment += 2 * HOUR
    breeding.conversation.due()
    told = [words for key, words in breeding.sent("wren") + breeding.sent("marit") if "laps" in key or "hold" in key]
    assert len(told) == len(set(told))


def test_an_open_question_is_let_go_aloud_once(breeding: Fishrooms) -> None:
    breeding.say("marit", "3 dead")
    with breeding.store.read() as tx:
        assert tx.drafts.open_of("marit")
    for jump in (MONTH, -HOUR, -MONTH, MONTH, HOUR):
        breeding.clock.moment += jump
        breeding.conversation.due()
    assert sum(key.startswith("draft:") for key, _ in breeding.sent("marit")) == 1


@pytest.mark.parametrize("back", [HOUR, timedelta(days=1), MONTH])
def test_nothing_is_younger_than_nothing(back: timedelta, breeding: Fishrooms) -> None:
    breeding.say("marit", "batch of 20 yellow lab fry in tank 1, 4 cm")
    breeding.clock.moment -= back
    asked = ("how big is batch A?", "when can I strip 2?", "what is due", "female 2", "history of female 2", "what's on today?")
    for question in asked:
        answer = breeding.say("marit", question)
        assert not re.search(r"(?<![\w.–-])[-−]\d+(?:\.\d+)? ?(?:d|day|week|month|mm|cm)", answer), answer


def test_a_wrong_clock_does_not_make_every_copy_look_old(breeding: Fishrooms) -> None:
    folder = breeding.path.parent / "copies"
    for day in (1, 2, 3):
        nightly(breeding.store, folder, date(2026, 3, day), 3)
    nightly(breeding.store, folder, date(2026, 4, 15), 3)
    assert sorted(path.name[8:18] for path in folder.iterdir()) == ["2026-03-02", "2026-03-03", "2026-04-15"]
