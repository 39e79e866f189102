"""Many buyers at once: never oversold, and whoever comes too late is told so honestly. On every database, by threads and by workers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random
from threading import Barrier

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.message import Origin, Text
from core.store import Store
from tests.databases import DATABASES, fresh_database
from tests.fuzz.club import BUYERS, FIRST, KEEPER, SETTING_UP, Club

SIX = "counted 6 in A"


@pytest.fixture(params=DATABASES)
def club(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Club]:
    with fresh_database(request.param, tmp_path) as url:
        made = Club(url)
        for text in (*SETTING_UP, SIX):
            made.say(KEEPER, text)
        yield made
        made.close()


class Worker:
    """A bot process of its own on the club's database (or, sharing the conversation, a thread of the same one)."""

    def __init__(self, club: Club, *, own: bool) -> None:
        self.store = Store.open(club.url) if own else None
        self.conversation = Conversation(self.store, SetClock(FIRST)) if self.store else club.conversation

    def hear(self, club: Club, who: str, text: str, message: str) -> str:
        replies = self.conversation.hear(Text(Origin(club.ids[who], "page", who, message), text))
        return replies[0].text

    def close(self) -> None:
        if self.store:
            self.store.close()


def at_once(club: Club, said: list[tuple[str, str]], *, own_stores: bool) -> list[str]:
    """All of it said at the same moment; the answers in the order of `said`."""
    workers = [Worker(club, own=own_stores) for _ in said]
    ready = Barrier(len(said))

    def one(place: int) -> str:
        who, text = said[place]
        ready.wait()
        return workers[place].hear(club, who, text, f"race {club.clock.moment.isoformat()} {place}")

    try:
        with ThreadPoolExecutor(len(said)) as pool:
            return list(pool.map(one, range(len(said))))
    finally:
        for worker in workers:
            worker.close()


def promised(club: Club) -> int:
    return sum(one.left for one in club.room_anew().reservations.values() if one.open_at(club.clock.now()))


@pytest.mark.parametrize("own_stores", [False, True], ids=["threads", "workers"])
def test_of_two_who_take_the_last_six_one_gets_them_and_the_other_is_told(club: Club, own_stores: bool) -> None:
    answers = at_once(club, [("Bo", "reserve 6 of A for today"), ("Cy", "reserve 6 of A for today")], own_stores=own_stores)
    yes = [answer for answer in answers if answer.startswith("Reservation #")]
    no = [answer for answer in answers if answer not in yes]
    assert (len(yes), len(no)) == (1, 1)
    assert re.search(r"promised|gone|can be had", no[0])
    assert promised(club) == 6


@pytest.mark.parametrize("own_stores", [False, True], ids=["threads", "workers"])
def test_many_buyers_at_once_are_never_promised_more_than_there_is(club: Club, own_stores: bool) -> None:
    chance = Random(7)
    for _ in range(3):
        said = [(chance.choice(BUYERS), f"reserve {chance.randint(1, 4)} of A for today") for _ in range(6)]
        answers = at_once(club, said, own_stores=own_stores)
        taken = [answer for answer in answers if answer.startswith("Reservation #")]
        assert promised(club) <= 6
        assert len({re.search(r"#(\d+)", answer)[0] for answer in taken}) == len(taken)  # type: ignore[index]
        for number in club.room_anew().reservations:
            club.say(KEEPER, f"cancel #{number}")


def test_reservation_numbers_leave_none_out_and_give_none_twice(club: Club) -> None:
    at_once(club, [(who, "reserve 1 of A for today") for who in BUYERS], own_stores=True)
    assert sorted(club.room_anew().reservations) == [1, 2, 3]


@given(order=st.permutations(range(5)), wanted=st.lists(st.integers(1, 7), min_size=5, max_size=5))
@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
def test_whoever_is_first_in_whatever_order_is_served_first(order: list[int], wanted: list[int]) -> None:
    """One after the other, in any order: exactly those are served whose fish were still free when they asked."""
    club = Club()
    try:
        for text in (*SETTING_UP, SIX):
            club.say(KEEPER, text)
        free = 6
        for place in order:
            who = BUYERS[place % 3]
            answer = club.say(who, f"reserve {wanted[place]} of A for today")[0].text
            if answer.startswith("You reserved just that"):
                answer = club.say(who, "yes")[0].text
            served = answer.startswith("Reservation #")
            assert served == (wanted[place] <= free)
            free -= wanted[place] if served else 0
    finally:
        club.close()
