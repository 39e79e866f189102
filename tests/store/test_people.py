"""People, sessions, invitations and clubs; who is forgotten leaves nothing behind."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

from core.store import Store
from core.store.clubs import Club, Member, Role, Room
from core.store.invitations import GUESSES, ExpiredInvitation, Invitation, TooManyGuesses, UnknownInvitation, UsedInvitation
from core.store.people import Addressed, Person
from core.store.secret import hashed
from core.store.tables import LASTING
from tests.store.traces import SECRET, settle_in

HOUR = timedelta(hours=1)


def test_a_person_keeps_the_choices_they_made(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit = tx.people.add("Marit", now, contact="0470 11 22 33")
        chosen = replace(marit, zone="Asia/Kathmandu", units="us", digest_time=time(6, 45), quiet_from=time(22), quiet_to=time(7))
        tx.people.save(replace(chosen, prefs={"page_only": True}))
    with store.read() as tx:
        found = tx.people.get(marit.id)
    assert found == replace(chosen, prefs={"page_only": True})
    assert (marit.id, marit.name, marit.zone) == ("p1", "Marit", None)


def test_people_are_known_by_the_door_they_come_in(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit = tx.people.add("Marit", now, id="marit")
        tx.people.identify("telegram", "777", "marit", "777")
        tx.people.identify("page", "abc", "marit", "abc")
    with store.read() as tx:
        assert tx.people.by_identity("telegram", "777") == marit
        assert tx.people.by_identity("telegram", "778") is None
        assert tx.people.by_identity("page", "777") is None
        assert [each.door for each in tx.people.identities("marit")] == ["page", "telegram"]


def test_a_blocked_chat_is_open_again_on_the_next_contact(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        tx.people.identify("telegram", "777", "marit", "777")
        tx.people.blocked("telegram", "777", now)
        assert tx.people.identities("marit")[0].blocked == now
        tx.people.identify("telegram", "777", "marit", "777")
        assert tx.people.identities("marit")[0].blocked is None


def test_the_club_last_spoken_to_is_remembered(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        assert tx.people.addressed("marit") == Addressed(None, None)
        tx.people.address("marit", "c1", "r1")
        tx.people.address("marit", "c2", None)
        assert tx.people.addressed("marit") == Addressed("c2", None)


def test_a_person_may_hold_several_roles_in_several_clubs(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit = tx.people.add("Marit", now)
        lakers, pond = tx.clubs.add("Lakers"), tx.clubs.add("Pond people", zone="Europe/Oslo", prefs={"currency": "NOK"})
        assert tx.clubs.join(lakers.id, marit.id, ["keeper"], now) == {"keeper"}
        assert tx.clubs.join(lakers.id, marit.id, ["organiser"], now) == {"keeper", "organiser"}
        tx.clubs.join(pond.id, marit.id, ["buyer"], now)
    with store.read() as tx:
        assert tx.clubs.of(marit.id) == [(lakers, frozenset({"keeper", "organiser"})), (pond, frozenset({"buyer"}))]
        assert tx.clubs.members(pond.id) == [Member(marit, frozenset({"buyer"}))]
        assert tx.clubs.roles(lakers.id, "somebody") == frozenset()
        assert tx.clubs.get(pond.id) == Club("c2", "Pond people", "Europe/Oslo", "metric", "DMY", {"currency": "NOK"})


def test_who_has_no_role_left_is_no_member(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit, club = tx.people.add("Marit", now), tx.clubs.add("Lakers")
        tx.clubs.join(club.id, marit.id, ["keeper", "buyer"], now)
        tx.clubs.set_roles(club.id, marit.id, ["buyer"], now)
        assert tx.clubs.roles(club.id, marit.id) == {"buyer"}
        tx.clubs.set_roles(club.id, marit.id, [], now)
        assert tx.clubs.members(club.id) == []


def test_a_fishroom_may_be_shown_in_two_clubs_and_kept_by_two_people(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit, ivar = tx.people.add("Marit", now), tx.people.add("Ivar", now)
        one, two = tx.clubs.add("Lakers"), tx.clubs.add("Pond people")
        room = tx.clubs.add_room("Cellar", [one.id], [marit.id, ivar.id])
        tx.clubs.show_in(room.id, two.id)
        tx.clubs.show_in(room.id, two.id)
        attic = tx.clubs.add_room("Attic", [two.id], [ivar.id])
    with store.read() as tx:
        assert room == Room("r1", "Cellar")
        assert room.stream == "fishroom:r1"
        assert (tx.clubs.rooms(one.id), tx.clubs.rooms(two.id)) == ([room], [room, attic])
        assert (tx.clubs.keepers(room.id), tx.clubs.clubs_of_room(room.id)) == ([marit.id, ivar.id], [one.id, two.id])
        assert (tx.clubs.rooms_of(marit.id), tx.clubs.rooms_of(ivar.id)) == ([room], [room, attic])


def test_a_keeper_can_hand_a_fishroom_over(store: Store, now: datetime) -> None:
    with store.write() as tx:
        marit, ivar, club = tx.people.add("Marit", now), tx.people.add("Ivar", now), tx.clubs.add("Lakers")
        room = tx.clubs.add_room("Cellar", [club.id], [marit.id])
        tx.clubs.add_keeper(room.id, ivar.id)
        tx.clubs.remove_keeper(room.id, marit.id)
        tx.clubs.hide_from(room.id, club.id)
        assert (tx.clubs.keepers(room.id), tx.clubs.rooms(club.id)) == ([ivar.id], [])


def test_a_group_belongs_to_one_club(store: Store) -> None:
    with store.write() as tx:
        one, two = tx.clubs.add("Lakers"), tx.clubs.add("Pond people")
        tx.clubs.set_group("telegram", "-100", one.id)
        tx.clubs.set_group("telegram", "-100", two.id)
        assert tx.clubs.of_group("telegram", "-100") == two.id
        assert (tx.clubs.groups(one.id), tx.clubs.groups(two.id)) == ([], [("telegram", "-100")])
        tx.clubs.remove_group("telegram", "-100")
        assert tx.clubs.of_group("telegram", "-100") is None


# --- invitations -----------------------------------------------------------------------------------------------------


def invited(store: Store, now: datetime) -> str:
    with store.write() as tx:
        club = tx.clubs.add("Lakers", id="lakers")
        return tx.invitations.make(club.id, ["keeper", "buyer"], "marit", now, now + 48 * HOUR, name="Ivar", room="r1")


def test_an_invitation_works_once_and_for_its_first_user(store: Store, now: datetime) -> None:
    secret = invited(store, now)
    with store.write() as tx:
        found = tx.invitations.open(secret, "telegram:5", now)
        roles: frozenset[Role] = frozenset({"keeper", "buyer"})
        assert found == Invitation(hashed(secret), "lakers", roles, "r1", "Ivar", "marit", now + 48 * HOUR)
        assert tx.invitations.use(found, "ivar", now)
        assert not tx.invitations.use(found, "loki", now)
        assert tx.invitations.open(secret, "telegram:6", now) == UsedInvitation("lakers", "ivar")
        assert tx.invitations.open_of("lakers", now) == []


def test_an_invitation_expires(store: Store, now: datetime) -> None:
    secret = invited(store, now)
    with store.write() as tx:
        assert tx.invitations.open(secret, "telegram:5", now + 48 * HOUR) == ExpiredInvitation("lakers")
        assert isinstance(tx.invitations.open(secret, "telegram:5", now + 47 * HOUR), Invitation)


def test_the_secret_of_an_invitation_is_not_in_the_database(store: Store, now: datetime) -> None:
    secret = invited(store, now)
    with store.read() as tx:
        rows = [repr(tuple(row)) for table in LASTING.sorted_tables for row in tx.connection.execute(table.select())]
    assert any(hashed(secret) in row for row in rows)
    assert not any(secret in row for row in rows)
    assert len(secret) == 22


def test_guessing_codes_is_slowed_down(store: Store, now: datetime) -> None:
    secret = invited(store, now)
    with store.write() as tx:
        for guess in range(GUESSES):
            assert tx.invitations.open(f"guess{guess}", "telegram:66", now) == UnknownInvitation()
        assert tx.invitations.open("another", "telegram:66", now) == TooManyGuesses(now + HOUR)
        assert tx.invitations.open(secret, "telegram:66", now + timedelta(minutes=59)) == TooManyGuesses(now + HOUR)
        assert isinstance(tx.invitations.open(secret, "telegram:5", now), Invitation)
        assert isinstance(tx.invitations.open(secret, "telegram:66", now + HOUR), Invitation)


def test_a_withdrawn_invitation_is_unknown(store: Store, now: datetime) -> None:
    secret = invited(store, now)
    with store.write() as tx:
        [waiting] = tx.invitations.open_of("lakers", now)
        tx.invitations.withdraw(waiting)
        assert tx.invitations.open(secret, "telegram:5", now) == UnknownInvitation()


# --- signing in on the page ------------------------------------------------------------------------------------------


def test_a_sign_in_link_works_once(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        link = tx.sessions.link("marit", now + HOUR)
        person, session = tx.sessions.follow(link, now, now + 24 * HOUR) or ("", "")
        assert person == "marit"
        assert tx.sessions.follow(link, now, now + 24 * HOUR) is None
        assert tx.sessions.person(session, now) == "marit"
        assert tx.sessions.person(session, now + 24 * HOUR) is None
        assert tx.sessions.person(link, now) is None
        tx.sessions.end(session)
        assert tx.sessions.person(session, now) is None


def test_an_old_sign_in_link_is_worth_nothing(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        link = tx.sessions.link("marit", now + HOUR)
        assert tx.sessions.follow(link, now + HOUR, now + 24 * HOUR) is None


def test_signing_out_everywhere_ends_links_too(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        link = tx.sessions.link("marit", now + HOUR)
        tx.sessions.end_all("marit")
        assert tx.sessions.follow(link, now, now + HOUR) is None


# --- being forgotten -------------------------------------------------------------------------------------------------

def test_nothing_of_a_forgotten_member_is_left_but_the_journal(store: Store, now: datetime) -> None:
    person = settle_in(store, now)
    with store.read() as tx:
        before = tx.journal.entries("fishroom:r1")
    with store.write() as tx:
        tx.leaving.forget(person.id, now)
    with store.read() as tx:
        rows = [repr(tuple(row)) for table in LASTING.sorted_tables for row in tx.connection.execute(table.select())]
        assert [row for row in rows if SECRET in row] == []
        assert tx.journal.entries("fishroom:r1") == before
        former = tx.people.get(person.id)
        assert former == Person(person.id, "former member", now, forgotten=now)
        assert tx.people.all() == []
        assert tx.clubs.members("lakers") == []
        assert tx.deliveries.waiting_for(person.id, "telegram", now) == []
        assert tx.mornings.due(now) == []
        assert tx.photos.get("ph1") is not None


def test_forgetting_one_member_leaves_the_others_alone(store: Store, now: datetime) -> None:
    person = settle_in(store, now)
    with store.write() as tx:
        tx.people.add("Ivar", now, id="ivar", contact="ivar@example.org")
        tx.people.identify("telegram", "8", "ivar", "chat8")
        tx.texts.put("t2", "ivar", "a note")
        tx.memory.set("ivar", "telegram", "chat8", {"last": "F4"})
        tx.leaving.forget(person.id, now)
    with store.read() as tx:
        assert tx.people.by_identity("telegram", "8") == Person("ivar", "Ivar", now, "ivar@example.org")
        assert tx.texts.get("t2") == "a note"
        assert tx.memory.get("ivar", "telegram", "chat8") == {"last": "F4"}


def test_a_member_gets_everything_that_is_theirs_and_no_more(store: Store, now: datetime) -> None:
    person = settle_in(store, now)
    with store.write() as tx:
        tx.people.add("Ivar", now, id="ivar", contact="ivar@example.org")
        tx.texts.put("t2", "ivar", "Ivar's note")
    with store.read() as tx:
        mine = tx.leaving.belongings(person.id)
        nobody = tx.leaving.belongings("nobody")
    assert mine["persons"][0]["contact"] == f"{SECRET} street 1"
    assert [row["words"] for row in mine["texts"]] == [SECRET]
    assert [row["event"]["kind"] for row in mine["journal"]] == ["noted", "holding"]
    assert (mine["photos"][0]["id"], "content" in mine["photos"][0]) == ("ph1", False)
    assert "ivar" not in repr(mine).lower()
    assert all(rows == [] for rows in nobody.values())


# --- a chat that moves -----------------------------------------------------------------------------------------------


def test_everything_follows_a_chat_to_its_new_id(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.people.add("Marit", now, id="marit")
        tx.people.identify("telegram", "7", "marit", "-5")
        tx.clubs.add("Lakers", id="lakers")
        tx.clubs.set_group("telegram", "-5", "lakers")
        tx.memory.set("marit", "telegram", "-5", {"last": "F4"})
        tx.memory.set("marit", "page", "-5", {"last": "M1"})
        tx.deliveries.put("d", door="telegram", chat="-5", kind="post", payload={}, due_at=now, now=now)
        tx.leaving.move_chat("telegram", "-5", "-1005")
        assert tx.people.identities("marit")[0].chat == "-1005"
        assert tx.clubs.of_group("telegram", "-1005") == "lakers"
        assert tx.clubs.of_group("telegram", "-5") is None
        assert tx.memory.get("marit", "telegram", "-1005") == {"last": "F4"}
        assert tx.memory.get("marit", "page", "-5") == {"last": "M1"}
        assert [each.chat for each in tx.deliveries.claim(now, 10, HOUR)] == ["-1005"]


def test_a_chat_may_be_told_to_move_twice(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tx.clubs.add("Lakers", id="lakers")
        for chat in ("-5", "-1005"):
            tx.clubs.set_group("telegram", chat, "lakers")
        tx.leaving.move_chat("telegram", "-5", "-1005")
        tx.leaving.move_chat("telegram", "-5", "-1005")
        assert tx.clubs.groups("lakers") == [("telegram", "-1005")]
