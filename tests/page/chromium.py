"""A real browser for the tests: where it is, how it is started, and how a member uses the page in it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.page.house import House, link

try:
    from playwright.sync_api import Browser, Page, expect, sync_playwright
except ImportError:  # the tests that need it skip, and say so
    Browser = Page = expect = sync_playwright = None  # type: ignore[assignment, misc]

BROWSERS = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium"]
"""Debian's; the first has no window to keep up and asks for a third of the other's time."""
CHROMIUM = os.environ.get("FRYWIRE_CHROMIUM") or next(filter(os.path.exists, BROWSERS), BROWSERS[-1])
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--in-process-gpu",  # this and the next two: fewer processes, a fifth less time
    "--renderer-process-limit=1",
    "--disable-site-isolation-trials",
]
NEEDS_CHROMIUM = [
    pytest.mark.browser,
    pytest.mark.xdist_group("browser"),
    pytest.mark.skipif(sync_playwright is None, reason="Playwright for Python is not installed"),
    pytest.mark.skipif(not Path(CHROMIUM).exists(), reason=f"no Chromium at {CHROMIUM} (FRYWIRE_CHROMIUM names another)"),
]
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
PATIENCE = 15_000
"""Milliseconds, for a machine that is busy with other tests; answers themselves take a few."""
Open = Callable[..., "Page"]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """Started once for a module; not longer, since its loop and those of other tests do not go together."""
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium: Browser) -> Iterator[Open]:
    """Opens an address in a browser of its own; a script's fault or a breach of the policy is a failure."""
    contexts = []
    faults: list[str] = []

    def open_(url: str, **options: object) -> Page:
        context = chromium.new_context(**{**PHONE, **options})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda line: faults.append(line.text) if "Content Security Policy" in line.text else None)
        page.goto(url)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert faults == []


def say(page: Page, text: str) -> None:
    """Write a message and send it."""
    page.fill("#words", text)
    page.click("#send")


def lines(page: Page) -> list[str]:
    """The words of every line in the log."""
    return [text.strip() for text in page.locator("#log .entry p").all_inner_texts()]


def sees(page: Page, text: str) -> None:
    """The log shows the words, or will in a moment."""
    expect(page.locator("#log")).to_contain_text(text)


def signed_in(house: House, open_page: Open, person: str, url: str = "", **options: object) -> Page:
    """The log of a member, opened by a sign-in link."""
    page = open_page(link(house.store, url or house.url, person), **options)
    page.click("text=Open the log")
    page.wait_for_selector("#send:enabled")
    return page


def until(page: Page, expression: str) -> None:
    """Wait until an expression holds in the page (whose policy forbids what a waiting function of the browser would need)."""
    for _ in range(PATIENCE // 50):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never so: {expression}")
