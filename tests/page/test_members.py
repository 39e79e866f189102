"""Members of a club at the page, in a real browser, with the whole of Frywire behind it."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.page.chromium import NEEDS_CHROMIUM, Open, chromium, expect, lines, open_page, say, sees, signed_in, until
from tests.page.house import House, free_port, process

pytestmark = NEEDS_CHROMIUM
__all__ = ["chromium", "open_page"]
TOLD = [
    "new tank 1, 240 litres, 26 C",
    "new tub, 200 litres, 25 C",
    "added 4 female yellow labs and a male to tank 1",
    "bought 8 yellow labs, 55 mm, to tub",
    "offer 6 of A at 6 each",
]


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a club to which everything was told; each test gets a copy."""
    folder = tmp_path_factory.mktemp("told")
    House(folder, told=TOLD).store.close()
    return folder


@pytest.fixture
def house(told: Path, tmp_path: Path) -> Iterator[House]:
    shutil.copy(told / "club.sqlite", tmp_path)
    house = House(tmp_path, told=TOLD)
    house.open()
    yield house
    house.close()


def test_a_keeper_joins_by_link_logs_and_takes_back(house: House, open_page: Open) -> None:
    page = open_page(house.invitation("Kim", "keeper"))
    page.click("text=Open the log")
    sees(page, "Kim")
    assert page.get_attribute("#words", "placeholder") == "new tank 1"
    for text in (
        "new tank 1, 200 litres, 26 C",
        "added 2 female saulosi and a male to tank 1",
        "female 1 holding since yesterday",
    ):
        say(page, text)
        expect(page.locator("#log .mine").last).to_contain_text(text)
    sees(page, "Female 1")
    sees(page, "Strip window")
    page.locator("#log .entry").last.get_by_role("button", name="Take back").click()
    sees(page, "Taken back: Female 1")
    page.reload()
    assert page.get_attribute("#words", "placeholder") == "female 4 holding"
    page.wait_for_selector("#send:enabled")
    say(page, "who is holding?")
    sees(page, "Nobody")
    before = lines(page)
    page.reload()
    sees(page, "Nobody")
    assert lines(page) == before


def test_a_buyer_reserves_from_the_shelf_and_the_keeper_is_told(house: House, open_page: Open) -> None:
    keeper = signed_in(house, open_page, house.people["Marit"].id)
    buyer = signed_in(house, open_page, house.people["Oleg"].id)
    buyer.click("nav >> text=Shelf")
    buyer.click("text=Reserve")
    buyer.wait_for_selector("#send:enabled")
    assert re.fullmatch(r"reserve \d of Marit's A", buyer.input_value("#words"))
    buyer.fill("#words", "reserve 2 of Marit's A")
    buyer.click("#send")
    sees(buyer, "2 fish of")
    assert [found.count for found in house.room().reservations.values()] == [2]
    house.clock.ahead += _until_morning(house)
    sees(keeper, "Oleg")


def test_the_last_six_go_once(house: House, open_page: Open) -> None:
    """Six fish, two buyers who ask for six in the same moment: one gets them, the other is told."""
    pages = [signed_in(house, open_page, house.people[name].id) for name in ("Oleg", "Ana")]
    for page in pages:
        page.fill("#words", "reserve 6 of A")
    for page in pages:
        page.evaluate("document.getElementById('send').click()")
    for page in pages:
        expect(page.locator("#log .from-bot")).to_have_count(1)
    held = [found for found in house.room().reservations.values() if found.status == "confirmed"]
    assert [found.count for found in held] == [6]
    answers = [" ".join(lines(page)) for page in pages]
    assert sum("Reservation #" in answer for answer in answers) == 1


def test_what_is_told_while_the_server_is_dead_is_recorded_once(house: House, tmp_path: Path, open_page: Open) -> None:
    """Killed without a word, and back: what waited in the browser arrives in order, each message once."""
    port = free_port()
    with process(tmp_path, port, "whole") as first:
        page = signed_in(house, open_page, house.people["Marit"].id, f"http://127.0.0.1:{port}/")
        say(page, "female 4 holding")
        sees(page, "Strip window")
        first.kill()
        expect(page.locator("#state")).to_contain_text("No connection")
        say(page, "2 dead in A")
        say(page, "female 3 holding")
        expect(page.locator("#state")).to_contain_text("2 messages wait here")
        assert page.locator("#log .waits").count() == 2
    with process(tmp_path, port, "whole"):
        expect(page.locator("#log .from-bot")).to_have_count(3)
        expect(page.locator("#log .waits")).to_have_count(0)
        expect(page.locator("#state")).to_be_empty()
        page.reload()
        expect(page.locator("#log .from-bot")).to_have_count(3)
        assert page.locator("#log .mine p").all_inner_texts() == ["female 4 holding", "2 dead in A", "female 3 holding"]
    room = house.room()
    assert room.batches["A"].count == 6
    assert [change.count for change in room.batches["A"].changes if change.kind == "died"] == [-2]
    assert set(room.holding) == {"F3", "F4"}


def test_who_uses_only_the_page_finds_the_digest_there(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, house.people["Marit"].id)
    say(page, "female 4 holding since 17 days ago")
    sees(page, "Female 4")
    house.clock.ahead += _until_morning(house)
    expect(page.locator("#log .from-bot")).to_have_count(2)
    assert "emale 4" in lines(page)[-1]


def test_who_is_forgotten_leaves_nothing_in_the_browser(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, house.people["Oleg"].id)
    say(page, "forget me")
    page.get_by_role("button", name="Yes, forget me").click()
    expect(page.locator("#state")).to_contain_text("forgotten")
    assert page.locator("#log .entry").count() == 0
    assert page.evaluate("Object.keys(localStorage)") == []
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_pictures_come_into_the_log(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, house.people["Marit"].id)
    say(page, "chart A")
    page.wait_for_selector("#log .picture img")
    page.locator("#log .picture img").first.scroll_into_view_if_needed()
    until(page, "document.querySelector('#log .picture img').naturalWidth >= 600")


def test_at_a_labels_place_a_short_message_is_about_that_place(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, house.people["Marit"].id)
    page.goto(f"{house.url}at/{house.room().id}/tank%201")
    expect(page.locator("#here")).to_contain_text("tank 1")
    say(page, "w/c 30%")
    sees(page, "Tank 1")
    assert [change.percent for change in house.room().water_changes["tank 1"]] == [30]


def _until_morning(house: House) -> timedelta:
    now = house.clock.now().astimezone(ZoneInfo("Europe/Berlin"))
    return datetime.combine(now.date() + timedelta(days=1), time(9), now.tzinfo) - now
