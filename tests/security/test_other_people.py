"""Other members' fish, other clubs' data, and contacts: who has no business there gets nothing and changes nothing."""

import json
from io import BytesIO
from zipfile import ZipFile

import pytest

from tests.fuzz.club import BUYERS, KEEPER, ORGANISER, Club
from tests.security.conftest import SECRET

FACTS = ("2 died in A", "counted 3 in A", "sold 5 of A", "female 1 holding", "moved A to tank 1", "price of A 5 each", "hold back 5 of A")
MEDDLING = (*FACTS, "cancel #1", "confirm #1", "decline #1", "collected #1", "#1 no show", "pickup for #1 saturday", "deposit 10 for #1")
QUESTIONS = (
    "history of A",
    "history of female 1",
    "what's available",
    "promises on A",
    "my reservations",
    "what's due",
    "kinship of 1 and 2",
    "water in tub",
    "forecast for A",
    "where is female 1",
)


@pytest.mark.parametrize("text", MEDDLING)
@pytest.mark.parametrize("way", ["{}", "At Marit's: {}", "at Marit: {}"])
def test_a_member_changes_nothing_in_another_keepers_fishroom(club: Club, text: str, way: str) -> None:
    before = club.heads()
    club.say("Cy", way.format(text))
    assert club.heads() == before


@pytest.mark.parametrize("text", ["promise level 50%", "invite Eve as organiser", "invite Eve as keeper"])
@pytest.mark.parametrize("who", BUYERS[:1])
def test_a_buyer_neither_sets_the_club_nor_invites(club: Club, who: str, text: str) -> None:
    before, invitations = club.heads(), count(club, "invitations")
    club.say(who, text)
    assert (club.heads(), count(club, "invitations")) == (before, invitations)


def test_a_keeper_makes_no_organiser(club: Club) -> None:
    before = count(club, "invitations")
    club.say(KEEPER, "invite Eve as organiser")
    assert count(club, "invitations") == before


@pytest.mark.parametrize("text", [*MEDDLING, "reserve 4 of A", "reserve 4 of Marit's A", "reserve 4 yellow labs"])
@pytest.mark.parametrize("who", ["Eva", "Mal"])
def test_a_member_of_another_club_changes_nothing(club: Club, who: str, text: str) -> None:
    before = club.heads()
    for way in ("{}", "At Marit's: {}"):
        club.say(who, way.format(text))
        club.say(who, "yes")
    assert club.heads() == before


@pytest.mark.parametrize("text", QUESTIONS)
@pytest.mark.parametrize("who", ["Eva", "Mal"])
def test_a_member_of_another_club_learns_nothing(club: Club, who: str, text: str) -> None:
    for way in ("{}", "At Marit's: {}"):
        told = " ".join(reply.text for reply in club.say(who, way.format(text)))
        for secret in ("60", "500", "Bo", "uncle", SECRET):
            assert secret not in told.replace("At Marit's", "")


@pytest.mark.parametrize("text", QUESTIONS)
def test_what_a_buyer_asks_shows_no_notes_and_no_contacts(club: Club, text: str) -> None:
    for way in ("{}", "At Marit's: {}"):
        told = " ".join(reply.text for reply in club.say("Cy", way.format(text)))
        assert "uncle" not in told
        assert SECRET not in told
        assert "Bo" not in told


def test_the_keepers_contact_is_for_the_buyer_of_a_confirmed_reservation(club: Club) -> None:
    assert SECRET in " ".join(reply.text for reply in club.say("Bo", "papers for #1"))
    assert SECRET not in " ".join(reply.text for reply in club.say("Cy", "papers for #1"))


@pytest.mark.parametrize("text", ["what's available", "history of A", "promises on A", "books", "wanted list"])
@pytest.mark.parametrize("who", [KEEPER, ORGANISER, *BUYERS])
def test_no_answer_to_anybody_holds_a_contact_by_the_way(club: Club, who: str, text: str) -> None:
    replies = club.say(who, text)
    assert SECRET not in " ".join(reply.text for reply in replies)
    for reply in replies:
        for file in reply.attachments:
            assert SECRET.encode() not in file.content


def test_what_a_member_takes_along_is_their_own(club: Club) -> None:
    """ "Give me my data" of a buyer: no other person's contact, note, or reservation."""
    [file] = [file for reply in club.say("Bo", "give me my data") for file in reply.attachments]
    with ZipFile(BytesIO(file.content)) as packed:
        held = {name: packed.read(name) for name in packed.namelist()}
    everything = b"\n".join(held.values()).decode("utf-8", "replace")
    assert SECRET not in everything
    assert "uncle" not in everything
    assert [one["number"] for one in json.loads(held["reservations.json"])] == [1]


def test_what_a_keeper_takes_along_holds_no_buyers_contact(club: Club) -> None:
    club.say("Bo", "my phone is +44 7700 900 123")
    [file] = [file for reply in club.say(KEEPER, "give me my data") for file in reply.attachments]
    with ZipFile(BytesIO(file.content)) as packed:
        everything = b"\n".join(packed.read(name) for name in packed.namelist())
    assert b"900 123" not in everything
    assert SECRET.encode() in everything


def count(club: Club, table: str) -> int:
    with club.store.read() as tx:
        return int(tx.connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar_one())
