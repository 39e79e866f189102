"""A one-time link opens the page once, for the one who uses it; looking at it does not use it up."""

from __future__ import annotations

from datetime import timedelta

from bot.clock import SetClock
from core.store import Store
from tests.page.conftest import MONDAY, Visitor, link_for


def invitation(store: Store, name: str | None = None) -> str:
    with store.write() as tx:
        return tx.invitations.make("c1", ["buyer"], "marit", MONDAY, MONDAY + timedelta(days=7), name=name)


async def test_a_member_joins_by_invitation_and_is_greeted_in_the_log(visitor: Visitor, store: Store) -> None:
    code = invitation(store)
    answer = await visitor.post("/join", token=code, name="  Ana   Lund ")
    assert (answer.code, answer.headers["Location"]) == (303, "/")
    assert "Log of Ana Lund" in (await visitor.get("/")).body.decode()
    with store.read() as tx:
        person = next(each for each in tx.people.all() if each.name == "Ana Lund")
        assert "Welcome, Ana Lund." in [line.words for line in tx.pages.after(person.id, 0, 10)]


async def test_looking_at_a_link_does_not_use_it_up(visitor: Visitor, store: Store) -> None:
    code = invitation(store)
    for _ in range(3):
        assert (await visitor.get(f"/join/{code}")).code == 200
    assert (await visitor.post("/join", token=code, name="Ana")).code == 303


async def test_a_used_link_opens_nothing(visitor: Visitor, store: Store) -> None:
    code = invitation(store)
    await visitor.post("/join", token=code, name="Ana")
    other = Visitor(visitor.page)
    answer = await other.post("/join", token=code, name="Mallory")
    assert answer.code == 403
    assert "frywire" not in other.cookies


async def test_a_sign_in_link_works_once_and_brings_no_second_person(visitor: Visitor, store: Store) -> None:
    code = link_for(store, "marit")
    assert (await visitor.post("/join", token=code)).code == 303
    assert "Log of Marit" in (await visitor.get("/")).body.decode()
    assert (await Visitor(visitor.page).post("/join", token=code)).code == 403
    with store.read() as tx:
        assert len(tx.people.all()) == 2


async def test_a_whole_link_may_be_pasted(visitor: Visitor, store: Store) -> None:
    code = link_for(store, "marit")
    assert (await visitor.post("/join", token=f" {visitor.origin}/join/{code}/ ")).code == 303


async def test_a_link_in_time_is_a_link_and_a_late_one_is_none(visitor: Visitor, store: Store, clock: SetClock) -> None:
    code = link_for(store, "marit")
    clock.moment = MONDAY + timedelta(days=1, seconds=1)
    assert (await visitor.post("/join", token=code)).code == 403


async def test_a_session_ends_after_its_time(marit: Visitor, clock: SetClock) -> None:
    clock.moment = MONDAY + timedelta(days=89)
    assert (await marit.get("/signed-in")).code == 204
    clock.moment = MONDAY + timedelta(days=91)
    assert (await marit.get("/signed-in")).code == 401


async def test_a_stranger_sees_the_way_in_and_nothing_else(visitor: Visitor) -> None:
    assert "Link or code" in (await visitor.get("/?again=1")).body.decode()
    for path in ("/board?again=1", "/shelf?again=1", "/you?again=1", "/file/abc"):
        assert (await visitor.get(path)).code == 401, path


async def test_a_link_from_elsewhere_is_sent_through_our_own_page_once(visitor: Visitor) -> None:
    """A strict cookie does not come along with a click on another site; it does with a refresh of our own page."""
    answer = (await visitor.get("/at/r1/tub%201")).body.decode()
    assert 'http-equiv="refresh" content="0; url=/at/r1/tub%201?again=1"' in answer
    assert "refresh" not in (await visitor.get("/at/r1/tub%201?again=1")).body.decode()


async def test_a_link_from_elsewhere_cannot_send_anybody_away(visitor: Visitor) -> None:
    for path in ("//evil.example", "/%22%3E%3Cscript%3E", "/at/r1/%22%3E?x=%22%3E"):
        body = (await visitor.get(path)).body.decode()
        assert "<script>" not in body
        assert "url=//" not in body
