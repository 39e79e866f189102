"""The board shows the room as it stands, and the shelf what is for sale, without a script."""

from __future__ import annotations

import re

from core import events as e
from core.store import NewEntry, Store
from tests.page.conftest import Visitor
from tests.page.room import MONDAY


def plain(body: bytes) -> str:
    """The words of a page, tags left out."""
    return " ".join(re.sub(r"<[^>]*>", " ", body.decode()).split())


async def test_the_board_shows_who_holds_on_which_day_and_what_is_where(marit: Visitor) -> None:
    text = plain((await marit.get("/board")).body)
    # Held since Saturday 28 February, today is Monday 2 March: day 2.
    assert re.search(r"Female 4 day 2, since Sat 28 Feb tank 10", text)
    assert "5 breeders, 24 young fish" in text
    # Born on 20 December 2025: 72 days.
    assert re.search(r"A yellow lab Number 24 Where tub Age 10 weeks Size .* Measured 3.1 cm on Fri 20 Feb Promised 4\b", text)
    assert text.index("Tank 2 ") < text.index("Tank 10 ")
    assert text.index("Tank 10 ") < text.index("Box 1") < text.index("Tub ")


async def test_a_place_on_the_board_opens_the_log_there(marit: Visitor) -> None:
    assert 'href="/at/r1/tank%2010"' in (await marit.get("/board")).body.decode()


async def test_a_buyer_has_no_board(oleg: Visitor) -> None:
    for path in ("/board", "/board/r1"):
        assert (await oleg.get(path)).code == 403


async def test_the_shelf_is_sifted_by_strain_and_day(oleg: Visitor) -> None:
    assert "Yellow lab batch A, Marit" in plain((await oleg.get("/shelf?strain=yellow-lab")).body)
    assert "Nothing on the shelf fits that" in plain((await oleg.get("/shelf?strain=another")).body)
    odd = plain((await oleg.get("/shelf?day=soon")).body)
    assert "is not a day" in odd
    assert "batch A" in odd


async def test_the_shelf_is_reckoned_again_once_something_was_recorded(oleg: Visitor, store: Store) -> None:
    assert "Sexes 24 unsexed" in plain((await oleg.get("/shelf")).body)
    with store.write() as tx:
        tx.journal.lock(["fishroom:r1"])
        tx.journal.append("fishroom:r1", [NewEntry(e.Died(batch="A", count=3), MONDAY.date(), MONDAY, "marit")])
    assert "Sexes 21 unsexed" in plain((await oleg.get("/shelf")).body)


async def test_reserving_leads_into_the_log(oleg: Visitor) -> None:
    body = (await oleg.get("/shelf")).body.decode()
    link = re.search(r'href="(/\?say=[^"]+)"', body)
    assert link
    assert (await oleg.get(link[1])).code == 200


async def test_a_stranger_sees_the_shelf_only_where_the_organiser_says_so(visitor: Visitor, store: Store) -> None:
    assert (await visitor.get("/shelf?again=1")).code == 401
    with store.write() as tx:
        tx.journal.lock(["club:c1"])
        tx.journal.append("club:c1", [NewEntry(e.ClubSetting("shelf_public", "yes"), MONDAY.date(), MONDAY, "marit")])
    text = plain((await visitor.get("/shelf?again=1")).body)
    assert "Yellow lab batch A" in text
    assert "Reserve" not in text
    assert "oleg" not in text.lower()
    assert (await visitor.get("/board?again=1")).code == 401
