"""Nobody gets in by another name, from another page, or too often; and nothing of others is ever loaded."""

from __future__ import annotations

import contextlib
import json

import pytest
from tornado.httpclient import HTTPClientError
from tornado.websocket import WebSocketClientConnection, WebSocketClosedError

from bot.page import RunningPage
from bot.page.guard import Rate, called_by_name, from_here
from core.store import Store
from tests.page.conftest import Visitor, link_for

EVERY_PAGE = [
    "/",
    "/join",
    "/join/abc",
    "/shelf",
    "/board",
    "/you",
    "/signed-in",
    "/nothing",
    "/static/page.js",
    "/file/abc",
    "/at/r1/tub",
]


async def test_a_foreign_name_is_refused_everywhere(visitor: Visitor) -> None:
    for path in EVERY_PAGE:
        answer = await visitor.get(path, Host="evil.example")
        assert answer.code == 421, path
        assert b"evil" not in answer.body, path
        assert "evil" not in str(dict(answer.headers)), path


async def test_a_name_the_organiser_gave_is_answered(visitor: Visitor) -> None:
    assert (await visitor.get("/join", Host="fishroom.lan:8642")).code == 200


async def test_a_socket_from_another_page_is_refused(marit: Visitor) -> None:
    for origin in ("http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"):
        with pytest.raises(HTTPClientError) as refused:
            await marit.socket(origin=origin)
        assert refused.value.code == 403, origin


async def test_a_socket_by_a_rebound_name_is_refused(marit: Visitor) -> None:
    with pytest.raises(HTTPClientError) as refused:
        await marit.socket(origin="http://evil.example", host="evil.example")
    assert refused.value.code == 421


async def test_a_socket_without_a_session_is_refused(visitor: Visitor) -> None:
    with pytest.raises(HTTPClientError) as refused:
        await visitor.socket()
    assert refused.value.code == 401


async def test_a_form_from_another_page_is_refused(marit: Visitor, store: Store) -> None:
    for headers in ({"Origin": "http://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = await marit.post("/out", headers=headers, which="all")
        assert answer.code == 403
    assert (await marit.get("/signed-in")).code == 204


async def test_a_form_without_its_own_token_is_refused(marit: Visitor) -> None:
    marit.cookies["_xsrf"] = "2|00000000|00000000000000000000000000000000|1"
    answer = await marit.post("/out", _xsrf="another")
    assert answer.code == 403
    assert (await marit.get("/signed-in")).code == 204


async def test_the_session_cookie_is_kept_from_scripts_and_other_sites(visitor: Visitor, store: Store) -> None:
    answer = await visitor.post("/join", token=link_for(store, "marit"))
    cookie = next(line for line in answer.headers.get_list("Set-Cookie") if line.startswith("frywire="))
    flags = {part.strip().lower() for part in cookie.split(";")}
    assert {"httponly", "samesite=strict", "path=/"} <= flags
    # 32 url-safe characters hold 192 bits.
    assert len(cookie.split(";")[0].removeprefix("frywire=")) >= 32


async def test_only_the_hash_of_a_session_is_kept(marit: Visitor, store: Store) -> None:
    secret = marit.cookies["frywire"].encode()
    with store.read() as tx:
        dump = "\n".join(str(row) for row in tx.connection.exec_driver_sql("SELECT * FROM sessions"))
    assert dump
    assert secret.decode() not in dump


async def test_every_answer_forbids_what_is_not_ours(visitor: Visitor) -> None:
    for path in EVERY_PAGE:
        answer = await visitor.get(path)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy, path
        assert "unsafe" not in policy, path
        assert "frame-ancestors 'none'" in policy or "sandbox" in policy, path
        assert answer.headers["X-Content-Type-Options"] == "nosniff", path
        assert answer.headers["X-Frame-Options"] == "DENY", path
        assert answer.headers["Referrer-Policy"] == "no-referrer", path
        assert answer.headers["Cache-Control"] in ("no-store", "no-cache"), path
        assert "Server" not in answer.headers, path


async def test_no_page_holds_a_script_or_style_of_its_own(marit: Visitor) -> None:
    for path in ("/", "/join/abc", "/shelf", "/board", "/you", "/at/r1/tub"):
        answer = await marit.get(path)
        assert answer.code == 200, path
        body = answer.body.decode()
        assert "<style" not in body, path
        assert "style=" not in body, path
        assert "onclick" not in body, path
        assert all("src=" in tag.split(">")[0] for tag in body.split("<script")[1:]), path
        assert "http:" not in body, path
        assert "https:" not in body, path


async def test_signing_in_cannot_be_tried_for_ever(visitor: Visitor) -> None:
    codes = [(await visitor.post("/join", token=f"guess-{n}")).code for n in range(12)]
    assert codes[:10] == [403] * 10
    assert codes[10:] == [429, 429]


async def test_messages_that_come_too_fast_wait_and_are_not_lost(marit: Visitor, page: RunningPage) -> None:
    page.context.writing = Rate(burst=2, per_second=1, clock=lambda: 0.0)
    socket = await marit.socket()
    for n in range(3):
        await socket.write_message(json.dumps({"t": "text", "id": f"message-{n}", "text": f"line {n}"}))
    later = await _until(socket, "later")
    assert later["id"] == "message-2"
    assert later["seconds"] >= 1


async def test_pages_cannot_be_asked_for_without_end(visitor: Visitor, page: RunningPage) -> None:
    page.context.asking = Rate(burst=3, per_second=1, clock=lambda: 0.0)
    codes = [(await visitor.get("/join")).code for _ in range(5)]
    assert codes == [200, 200, 200, 429, 429]


async def test_a_flood_of_frames_closes_the_socket(marit: Visitor, page: RunningPage) -> None:
    page.context.framing = Rate(burst=2, per_second=1, clock=lambda: 0.0)
    socket = await marit.socket()
    for _ in range(4):
        with contextlib.suppress(WebSocketClosedError):
            await socket.write_message("{}")
    while await socket.read_message() is not None:
        pass
    assert socket.close_code == 1008  # RFC 6455 section 7.4.1: a message that breaks the policy


async def test_a_member_cannot_open_sockets_without_end(marit: Visitor) -> None:
    opened = [await marit.socket() for _ in range(12)]
    with pytest.raises(HTTPClientError) as refused:
        await marit.socket()
    assert refused.value.code == 429
    opened[0].close()


async def test_an_oversized_frame_closes_the_socket_and_nothing_else(marit: Visitor, page: RunningPage) -> None:
    socket = await marit.socket()
    with contextlib.suppress(WebSocketClosedError):
        await socket.write_message("x" * (12 * 1024 * 1024 + 1))
    while await socket.read_message() is not None:
        pass
    assert (await marit.get("/signed-in")).code == 204


async def test_an_oversized_form_is_refused(visitor: Visitor) -> None:
    answer = await visitor.post("/join", token="x" * 40_000)
    assert answer.code in (400, 413)


async def test_signing_out_everywhere_closes_open_logs(marit: Visitor) -> None:
    socket = await marit.socket()
    await marit.post("/out", which="all")
    while await socket.read_message() is not None:
        pass
    assert socket.close_code == 4401
    assert (await marit.get("/signed-in")).code == 401


def test_a_name_is_compared_without_its_port_and_case() -> None:
    names = frozenset({"fishroom.lan", "::1"})
    assert called_by_name("FishRoom.lan:8642", names)
    assert called_by_name("[::1]:8642", names)
    for foreign in (
        "fishroom.lan.evil.example",
        "evil.example",
        "",
        "[",
        "user@evil.example",
        "fishroom.lan; script-src *",
        "fishroom.lan@evil.example",
    ):
        assert not called_by_name(foreign, names), foreign


def test_only_the_same_host_and_port_is_from_here() -> None:
    names = frozenset({"fishroom.lan"})
    assert from_here("http://fishroom.lan:8642", "fishroom.lan:8642", names)
    for origin in (
        None,
        "",
        "null",
        "http://fishroom.lan",
        "http://fishroom.lan:1",
        "file://fishroom.lan:8642",
        "http://[",
        "http://evil.example",
    ):
        assert not from_here(origin, "fishroom.lan:8642", names), origin


def test_a_bucket_fills_again_with_time() -> None:
    now = [0.0]
    rate = Rate(burst=2, per_second=0.5, clock=lambda: now[0])
    assert [rate.wait("a"), rate.wait("a")] == [0.0, 0.0]
    assert rate.wait("a") == pytest.approx(2.0)
    assert rate.wait("b") == 0.0
    now[0] = 2.0
    assert rate.wait("a") == 0.0


async def _until(socket: WebSocketClientConnection, kind: str) -> dict[str, object]:
    while True:
        message = await socket.read_message()
        assert message is not None
        frame: dict[str, object] = json.loads(message)
        if frame["t"] == kind:
            return frame
