"""The page in a real browser: what a member sees and does, and what an interrupted connection leaves of it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from core.store.page import PageEntry
from tests.page.chromium import NEEDS_CHROMIUM, Open, chromium, expect, lines, open_page, say, sees, signed_in, until
from tests.page.house import House, link
from tests.page.room import MONDAY

pytestmark = NEEDS_CHROMIUM
__all__ = ["chromium", "open_page"]
AXE_CORE = "4.14.1"
TOO_SMALL = """() => {
  const pressed = 'button, nav a, a.gravel, select, textarea, input:not([type=file], [type=hidden]), label.camera, label.album';
  const small = (box) => box.height < 48 || box.width < 48;
  return [...document.querySelectorAll(pressed)]
    .filter((each) => each.offsetParent && small(each.getBoundingClientRect()))
    .map((each) => each.outerHTML);
}"""


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    house.open()
    yield house
    house.close()


def test_a_member_writes_presses_and_finds_everything_after_a_reload(house: House, open_page: Open) -> None:
    page = open_page(link(house.store, house.url, "marit"))
    page.click("text=Open the log")
    say(page, "female 4 holding")
    sees(page, "Heard: female 4 holding.")
    page.click("text=Take back")
    sees(page, "Done: pressed 1aTakeBack0000001.")
    page.fill("#words", "half a sentence")
    before = lines(page)
    page.reload()
    sees(page, "Done: pressed")
    assert lines(page) == before
    assert page.input_value("#words") == "half a sentence"
    assert page.locator("#log h2").count() == 1
    assert before == ["female 4 holding", "Done: pressed 1aTakeBack0000001."]


def test_markup_in_a_message_stays_words(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    say(page, "<img src=x onerror=alert(1)><b>bold</b>")
    sees(page, "Heard: <img src=x onerror=alert(1)><b>bold</b>.")
    assert page.locator("#log img, #log b").count() == 0


def test_a_place_heads_its_list_and_a_long_sentence_does_not(house: House, open_page: Open) -> None:
    told = "I am the memory of your fishroom. Tell me what happens, for example:\n• fed tub\n\nTank 1\n1. Feed."
    with house.store.write() as tx:
        tx.pages.write("marit", [PageEntry("bot", MONDAY, told)])
    page = signed_in(house, open_page, "marit")
    sees(page, "I am the memory")
    assert page.locator("#log b").all_inner_texts() == ["Tank 1"]


def test_enter_sends_and_shift_enter_starts_a_new_line(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit", has_touch=False, is_mobile=False)
    page.keyboard.type("fed tub")
    page.keyboard.press("Shift+Enter")
    page.keyboard.type("fed box 1")
    page.keyboard.press("Enter")
    sees(page, "Heard: fed tub")
    assert lines(page)[0] == "fed tub\nfed box 1"


def test_a_photo_is_made_smaller_and_shown(house: House, open_page: Open, tmp_path: Path) -> None:
    from PIL import Image

    photo = tmp_path / "photo.jpg"
    Image.effect_noise((2400, 1800), 60).convert("RGB").save(photo, quality=95)
    page = signed_in(house, open_page, "marit")
    page.set_input_files("#camera", photo)
    page.fill("#words", "batch A")
    page.click("#send")
    sees(page, "Heard: batch A (")
    sent = int(re.search(r"\((\d+) bytes\)", page.inner_text("#log"))[1])  # type: ignore[index]
    assert 10_000 < sent < photo.stat().st_size
    picture = page.locator("#log .picture img")
    picture.scroll_into_view_if_needed()
    until(page, "document.querySelector('#log .picture img').naturalWidth === 480")


def test_papers_are_saved_and_pictures_shown(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    say(page, "papers")
    with page.expect_download() as saved:
        page.click("text=pickups.ics")
    assert saved.value.suggested_filename == "pickups.ics"
    assert Path(saved.value.path()).read_bytes() == b"BEGIN:VCALENDAR"
    until(page, "document.querySelector('#log .picture img').naturalWidth === 1")


def test_an_old_log_is_read_backwards_day_by_day(house: House, open_page: Open) -> None:
    """250 lines, ten a day: each day has one heading, and every line stands under its own."""
    with house.store.write() as tx:
        told = [PageEntry("bot", MONDAY + timedelta(days=n // 10), f"line {n}") for n in range(250)]
        tx.pages.write("marit", told)
    page = signed_in(house, open_page, "marit")
    sees(page, "line 249")
    while page.locator("#earlier").is_visible():
        first = lines(page)[0]
        page.click("#earlier")
        expect(page.locator("#log .entry p").first).not_to_have_text(first)
    assert lines(page) == [f"line {n}" for n in range(250)]
    days = page.locator("#log > *").evaluate_all("all => all.map(each => each.className === 'day')")
    assert [place for place, is_day in enumerate(days) if is_day] == list(range(0, 275, 11))


def test_what_waits_is_kept_over_a_closed_page(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    page.evaluate("Object.defineProperty(WebSocket.prototype, 'send', {value() {}})")
    say(page, "2 dead in A")
    assert page.locator("#log .waits").count() == 1
    page.reload()
    sees(page, "Heard: 2 dead in A.")
    until(page, "localStorage.getItem('frywire.waiting.page-marit') === '[]'")
    assert page.locator("#log .waits").count() == 0
    assert lines(page).count("2 dead in A") == 1


def test_a_message_that_is_too_long_is_kept_on_the_line(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    page.fill("#words", "x" * 4001)
    page.click("#send")
    expect(page.locator("#state")).to_contain_text("4000 fit in one message")
    assert len(page.input_value("#words")) == 4001


def test_signing_out_elsewhere_is_told_and_what_is_written_is_kept(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    with house.store.write() as tx:
        tx.sessions.end_all("marit")
    say(page, "2 dead in A")
    expect(page.locator("#state")).to_contain_text("You are signed out. One message waits here")


def test_everything_a_thumb_presses_is_large_enough_and_nothing_sticks_out(house: House, open_page: Open) -> None:
    """48 CSS pixels: the size of a touch target in Android's accessibility help; WCAG 2.2, 2.5.5 (AAA) asks for 44."""
    page = signed_in(house, open_page, "marit")
    say(page, "fed tub with a word that is very long: " + "Labidochromis" * 6)
    sees(page, "Heard: fed tub")
    for path in ("/", "/board", "/shelf", "/you", "/join"):
        if path != "/":
            page.goto(house.url.rstrip("/") + path)
        small = page.evaluate(TOO_SMALL)
        assert small == [], path
        assert page.evaluate("document.documentElement.scrollWidth") == 360, path


def test_text_at_twice_its_size_is_never_scrolled_sideways(house: House, open_page: Open) -> None:
    """WCAG 2.2, 1.4.4: text can be made twice as large without loss (a wide table scrolls in a frame of its own)."""
    page = signed_in(house, open_page, "marit")
    say(page, "fed tub")
    sees(page, "Heard: fed tub")
    for path in ("/", "/board", "/shelf", "/you", "/join"):
        if path != "/":
            page.goto(house.url.rstrip("/") + path)
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert page.evaluate("document.documentElement.scrollWidth") == 360, path


def test_the_head_of_a_list_stands_out_and_its_words_stay_as_they_are(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    with house.store.write() as tx:
        text = "Mon 2 Mar: 2 things to do.\n\nTank 1\n1. Test the water.\n\nTub\n2. Count batch A."
        tx.pages.write("marit", [PageEntry("bot", MONDAY, text)], [])
    page.reload()
    sees(page, "Count batch A")
    assert page.locator("#log b").all_inner_texts() == ["Tank 1", "Tub"]
    assert lines(page)[-1] == text


def test_the_line_to_write_on_is_seen_at_every_height(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit")
    for height in (740, 400, 300):
        page.set_viewport_size({"width": 360, "height": height})
        box = page.locator("#words").bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= height
        assert box["y"] > 0


def test_the_log_can_be_used_by_keyboard_alone(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "marit", has_touch=False, is_mobile=False)
    page.keyboard.type("fed tub")
    page.keyboard.press("Enter")
    sees(page, "Heard: fed tub.")
    page.locator("#log button").first.focus()
    page.keyboard.press("Enter")
    sees(page, "Done: pressed 1aTakeBack0000001.")
    assert page.evaluate("document.activeElement.textContent.includes('Done: pressed')")
    expect(page.get_by_role("log", name="What was written")).to_have_attribute("aria-live", "polite")
    expect(page.get_by_role("textbox", name="What happened, or a question")).to_be_visible()


def test_a_link_on_another_site_opens_the_log_at_the_place_without_weakening_the_cookie(house: House, open_page: Open) -> None:
    """`localhost` and `127.0.0.1` are two sites: a click from one to the other brings no strict cookie along."""
    page = signed_in(house, open_page, "marit")
    page.goto(house.url.replace("127.0.0.1", "localhost") + "join")
    expect(page.get_by_role("heading", level=1)).to_have_text("Come in")
    page.evaluate("address => { location.href = address }", f"{house.url}at/r1/tub")
    expect(page.locator("#here")).to_contain_text("tub")


def test_the_board_and_the_shelf_need_no_script(house: House, open_page: Open) -> None:
    page = signed_in(house, open_page, "oleg")
    cookies = page.context.cookies()
    still = open_page("about:blank", java_script_enabled=False)
    still.context.add_cookies(cookies)
    still.goto(house.url + "shelf")
    still.select_option("#strain", label="Yellow lab")
    still.click("text=Show")
    assert "strain=yellow-lab" in still.url
    still.click("text=Reserve")
    assert "say=" in still.url


def test_the_demonstration_changes_seats_and_lets_a_morning_come(tmp_path: Path, open_page: Open) -> None:
    house = House(tmp_path, demo=True)
    house.open()
    try:
        page = open_page(house.url)
        before = house.clock.now()
        page.click(".demo button:has-text('Marit')")
        say(page, "tell oleg your six are ready")
        sees(page, "Heard: tell oleg")
        page.click(".demo button:has-text('Oleg')")
        sees(page, "your six are ready")
        page.click(".demo button:has-text('Next')")
        page.wait_for_load_state()
        assert (house.clock.now().date() - before.date()).days == 1
    finally:
        house.close()


def test_no_page_has_a_serious_accessibility_fault(house: House, open_page: Open) -> None:
    axe = axe_core()
    page = signed_in(house, open_page, "marit")
    say(page, "fed tub")
    sees(page, "Heard: fed tub.")
    seen = {"light": ("/at/r1/tub", "/board", "/shelf", "/you", "/join", "/nothing"), "dark": ("/", "/board", "/shelf")}
    for scheme, paths in seen.items():
        page.emulate_media(color_scheme=scheme)
        for path in paths:
            page.goto(house.url.rstrip("/") + path)
            page.evaluate(axe)
            found = page.evaluate("axe.run().then(r => r.violations.filter(v => ['serious', 'critical'].includes(v.impact)))")
            assert [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found] == [], (scheme, path)


def axe_core() -> str:
    """The rules of axe-core, fetched from the npm registry once and kept in a folder for passing things; skips without them."""
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("npm is not there to fetch axe-core")
    kept = Path(tempfile.gettempdir()) / f"frywire-axe-core-{AXE_CORE}-{os.getuid()}.js"
    if not kept.exists():
        with tempfile.TemporaryDirectory() as folder:
            command = [npm, "pack", f"axe-core@{AXE_CORE}", "--json", "--fetch-retries=0", "--fetch-timeout=20000"]
            try:
                packed = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=60, check=True)
            except (subprocess.CalledProcessError, subprocess.TimeoutExpired):
                pytest.skip("the npm registry cannot be reached to fetch axe-core")
            with tarfile.open(Path(folder) / json.loads(packed.stdout)[0]["filename"]) as archive:
                script = archive.extractfile("package/axe.min.js")
                assert script is not None
                whole = Path(f"{kept}.{os.getpid()}")
                whole.write_bytes(script.read())
        whole.replace(kept)  # in one go, so that nobody reads half of it
    return kept.read_text(encoding="utf-8")
