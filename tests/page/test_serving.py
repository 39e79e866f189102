"""How the page starts and stops: on loopback unless told otherwise, with a clear sentence where it cannot."""

from __future__ import annotations

import re
import signal
import socket
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.page import PageSettingError, PageSettings, RunningPage, read_page_settings, serve
from bot.settings import SettingError
from core.store import Store
from tests.page.conftest import Visitor
from tests.page.echo import Echo
from tests.page.house import free_port, process


def test_the_page_is_served_on_loopback_unless_told_otherwise() -> None:
    settings = read_page_settings({})
    assert settings.host == "127.0.0.1"
    assert settings.allowed == {"localhost", "127.0.0.1", "::1"}
    assert not settings.secure


def test_names_of_a_home_network_are_answered() -> None:
    settings = read_page_settings({"FRYWIRE_PAGE_HOST": "0.0.0.0", "FRYWIRE_PAGE_NAMES": "Fishroom.lan, 192.168.1.5"})
    assert {"fishroom.lan", "192.168.1.5", "localhost"} <= settings.allowed
    assert "0.0.0.0" not in settings.allowed


def test_behind_a_proxy_with_tls_cookies_go_over_nothing_else() -> None:
    settings = read_page_settings({"FRYWIRE_PAGE_ADDRESS": "https://club.example/", "FRYWIRE_PAGE_PROXY": "yes"})
    assert settings.secure
    assert settings.behind_proxy
    assert "club.example" in settings.allowed


@pytest.mark.parametrize(
    ("name", "value"),
    [("FRYWIRE_PAGE_PORT", "many"), ("FRYWIRE_PAGE_PORT", "70000"), ("FRYWIRE_PAGE_PORT", "²"), ("FRYWIRE_PAGE_ADDRESS", "club")],
)
def test_a_wrong_setting_is_named(name: str, value: str) -> None:
    with pytest.raises(SettingError, match=name):
        read_page_settings({name: value})


async def test_a_port_that_is_taken_is_named(page: RunningPage, store: Store, echo: Echo, clock: SetClock) -> None:
    port = int(page.url.rsplit(":", 1)[1].strip("/"))
    with pytest.raises(PageSettingError, match=f"port {port}.*FRYWIRE_PAGE_PORT"):
        await serve(PageSettings(port=port), store, echo, clock)


async def test_a_secure_cookie_is_bound_to_its_host(store: Store, echo: Echo, clock: SetClock) -> None:
    settings = PageSettings(port=0, address="https://club.example", behind_proxy=True)
    running = await serve(settings, store, echo, clock, tick=3600)
    assert running.url == "https://club.example/"
    running.url = f"http://127.0.0.1:{running.port}/"
    try:
        visitor = Visitor(running)
        with store.write() as tx:
            code = tx.sessions.link("marit", clock.moment.replace(year=2027))
        answer = await visitor.post("/join", token=code)
        cookie = next(line for line in answer.headers.get_list("Set-Cookie") if line.startswith("__Host-frywire="))
        assert "Secure" in cookie
        assert "Domain" not in cookie
    finally:
        await running.stop()


async def test_a_shared_thread_is_left_running(store: Store, echo: Echo, clock: SetClock) -> None:
    with ThreadPoolExecutor(1) as executor:
        running = await serve(PageSettings(port=0), store, echo, clock, executor=executor, tick=3600)
        await running.stop()
        assert executor.submit(lambda: 1).result(5) == 1


def test_told_to_stop_it_stops_cleanly_with_a_browser_connected(tmp_path: Path) -> None:
    port = free_port()
    with process(tmp_path, port) as running, socket.create_connection(("127.0.0.1", port)) as connected:
        connected.sendall(b"GET /join HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert connected.recv(100).startswith(b"HTTP/1.1 200")
        running.send_signal(signal.SIGTERM)
        assert running.wait(20) == 0


def test_links_name_an_address_that_others_can_open() -> None:
    everywhere = read_page_settings({"FRYWIRE_PAGE_HOST": "0.0.0.0", "FRYWIRE_PAGE_NAMES": "fishroom.lan"})
    assert everywhere.shown_address(8642) == "http://fishroom.lan:8642"
    assert read_page_settings({"FRYWIRE_PAGE_ADDRESS": "https://club.example"}).shown_address(8642) == "https://club.example"
    assert read_page_settings({"FRYWIRE_PAGE_HOST": "::1"}).shown_address(80) == "http://[::1]:80"


def test_every_script_is_asked_for_at_once() -> None:
    """On a slow network each import that waits for the one before it costs another way there and back."""
    page = Path(__file__).parents[2] / "bot/page"
    imported = set(re.findall(r'from "\./(\w+\.js)"', (page / "static/page.js").read_text("utf-8")))
    template = (page / "templates/log.html").read_text("utf-8")
    assert imported == set(re.findall(r'"(\w+\.js)"', template.partition("modulepreload")[0]))
    assert not any(re.search(r'from "\./', (page / "static" / name).read_text("utf-8")) for name in imported)
