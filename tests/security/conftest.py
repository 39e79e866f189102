"""Two clubs in one installation: the harbour's with fish and a promise, and strangers of another club who come by the same bot."""

from collections.abc import Iterator

import pytest

from bot.conversation.arriving import Beginner, start_club
from tests.fuzz.club import FIRST, KEEPER, SETTING_UP, Club

SECRET = "+47 555 01 99"


@pytest.fixture(scope="module")
def club() -> Iterator[Club]:
    """One for all tests of a module: most of them show that nothing changes."""
    made = Club()
    for text in (*SETTING_UP, "note on female 1: bought from a shady uncle", f"my phone is {SECRET}"):
        made.say(KEEPER, text)
    made.say("Bo", "reserve 4 of A for today")
    _, others = made.conversation.do(
        lambda visit: start_club(
            visit, FIRST, "Hill Club", people=[Beginner("Eva", ("keeper", "organiser")), Beginner("Mal", ("buyer",))]
        )
    )
    made.ids |= {name: person.id for name, person in others.items()}
    made.buttons |= {name: [] for name in others}
    yield made
    made.close()
