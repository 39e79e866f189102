"""The log of the page: heard once, answered where every browser of the member sees it, and there again after a reload."""

from __future__ import annotations

import base64
import io
import json
from typing import Any

from PIL import Image
from tornado.websocket import WebSocketClientConnection

from bot.clock import SetClock
from bot.conversation.message import Origin, Reply, Text
from core.store import DiskFull, Store
from core.store.page import PageEntry
from tests.page.conftest import Visitor
from tests.page.echo import PNG, Echo


class Browser:
    """A socket that remembers every line it was sent."""

    def __init__(self, socket: WebSocketClientConnection) -> None:
        self.socket = socket
        self.lines: list[dict[str, Any]] = []

    async def say(self, client: str, text: str, **more: object) -> None:
        await self.send({"t": "text", "id": client, "text": text, **more})

    async def send(self, frame: dict[str, object]) -> None:
        await self.socket.write_message(json.dumps(frame))

    async def until(self, kind: str, **values: object) -> dict[str, Any]:
        while True:
            message = await self.socket.read_message()
            assert message is not None
            frame: dict[str, Any] = json.loads(message)
            if frame["t"] == "lines":
                self.lines += frame["lines"]
            if frame["t"] == kind and values.items() <= frame.items():
                return frame

    @property
    def texts(self) -> list[str]:
        return [line["text"] for line in self.lines]


async def browser(visitor: Visitor, after: int = 0) -> Browser:
    opened = Browser(await visitor.socket(after=after))
    await opened.until("lines")
    return opened


async def test_a_message_is_answered_with_its_buttons(marit: Visitor) -> None:
    log = await browser(marit)
    await log.say("message-1", "female 4 holding")
    await log.until("taken", id="message-1")
    mine, answer = log.lines
    assert (mine["who"], mine["text"], mine["client"]) == ("member", "female 4 holding", "message-1")
    assert (answer["who"], answer["text"]) == ("bot", "Heard: female 4 holding.")
    assert [label for label, _ in answer["buttons"][0]] == ["Take back", "More"]
    # 09:00 UTC on 2 March 2026 is 10:00 in Berlin (CET, UTC+1), a Monday.
    assert (mine["day"], mine["clock"]) == ("Mon 2 Mar", "10:00")


async def test_a_message_sent_again_has_no_second_effect(marit: Visitor, echo: Echo) -> None:
    log = await browser(marit)
    for _ in range(3):
        await log.say("message-1", "2 dead")
        await log.until("taken", id="message-1")
    again = await browser(marit)
    await again.say("message-1", "2 dead")
    await again.until("taken")
    assert echo.effects() == ["2 dead"]
    assert again.texts == ["2 dead", "Heard: 2 dead."]


async def test_an_answer_lost_on_the_way_is_written_when_the_message_comes_again(marit: Visitor, echo: Echo) -> None:
    """The process died after the effect and before the log line: the browser, which had no word, sends again."""
    origin = Origin(person="marit", door="page", chat="page-marit", message="message-1")
    echo.hear(Text(origin, "2 dead"))
    log = await browser(marit)
    assert log.lines == []
    await log.say("message-1", "2 dead")
    await log.until("taken")
    assert log.texts == ["2 dead", "Heard: 2 dead."]
    assert echo.effects() == ["2 dead"]


async def test_a_reload_shows_the_same_log(marit: Visitor) -> None:
    log = await browser(marit)
    for n in range(3):
        await log.say(f"message-{n}", f"line {n}")
        await log.until("taken", id=f"message-{n}")
    again = await browser(marit)
    assert again.lines == log.lines
    late = await browser(marit, after=log.lines[3]["n"])
    assert late.lines == log.lines[4:]


async def test_a_second_browser_of_the_member_sees_it_at_once(marit: Visitor) -> None:
    first, second = await browser(marit), await browser(marit)
    await first.say("message-1", "fed tub")
    await second.until("lines")
    assert second.texts == ["fed tub", "Heard: fed tub."]


async def test_nobody_sees_another_members_log(marit: Visitor, oleg: Visitor) -> None:
    log = await browser(marit)
    await log.say("message-1", "a secret")
    await log.until("taken")
    assert (await browser(oleg)).lines == []


async def test_what_others_are_told_reaches_their_open_log_and_waits_for_a_closed_one(marit: Visitor, oleg: Visitor) -> None:
    log, other = await browser(marit), await browser(oleg)
    await log.say("message-1", "tell oleg your six are ready")
    await other.until("lines")
    assert other.texts == ["your six are ready"]
    assert other.lines[0]["alone"]
    assert (await browser(oleg)).texts == ["your six are ready"]


async def test_a_pressed_button_puts_the_answer_in_place_of_the_old_line(marit: Visitor) -> None:
    log = await browser(marit)
    await log.say("message-1", "fed tub")
    await log.until("taken")
    answer = log.lines[1]
    label, token = answer["buttons"][0][0]
    await log.send({"t": "press", "id": "press-0001", "entry": answer["n"], "label": label, "token": token})
    await log.until("taken", id="press-0001")
    pressed, new = log.lines[2:]
    assert (pressed["text"], pressed["about"], pressed["token"]) == ("[Take back]", answer["n"], token)
    assert (new["text"], new["instead"]) == (f"Done: pressed {token}.", answer["n"])


async def test_pictures_are_shown_and_papers_are_downloads_for_their_owner_only(marit: Visitor, oleg: Visitor) -> None:
    log = await browser(marit)
    await log.say("message-1", "papers")
    await log.until("taken")
    picture, paper = log.lines[1]["files"]
    shown = await marit.get(f"/file/{picture['id']}")
    assert (shown.code, shown.body, shown.headers["Content-Type"]) == (200, PNG, "image/png")
    assert shown.headers["Content-Disposition"].startswith("inline")
    saved = await marit.get(f"/file/{paper['id']}")
    assert saved.headers["Content-Disposition"] == "attachment; filename*=UTF-8''pickups.ics"
    assert "sandbox" in saved.headers["Content-Security-Policy"]
    assert (await oleg.get(f"/file/{picture['id']}")).code == 404


async def test_a_photo_goes_to_the_conversation_and_a_small_copy_into_the_log(marit: Visitor) -> None:
    photo = io.BytesIO()
    Image.new("RGB", (1600, 1200), "teal").save(photo, "JPEG")
    log = await browser(marit)
    content = base64.b64encode(photo.getvalue()).decode()
    await log.send({"t": "photo", "id": "photo-0001", "content": content, "caption": "batch B"})
    await log.until("taken", id="photo-0001")
    assert log.lines[0]["text"] == "batch B"
    assert log.lines[1]["text"] == f"Heard: batch B ({len(photo.getvalue())} bytes)."
    small = await marit.get(f"/file/{log.lines[0]['files'][0]['id']}")
    with Image.open(io.BytesIO(small.body)) as opened:
        assert opened.size == (480, 360)
        assert not opened.getexif()


async def test_a_photo_that_is_none_is_still_heard(marit: Visitor) -> None:
    log = await browser(marit)
    content = base64.b64encode(b"GIF89a not a picture").decode()
    await log.send({"t": "photo", "id": "photo-0001", "content": content, "caption": ""})
    await log.until("taken")
    assert log.lines[0]["text"] == "(a photo)"
    assert log.lines[0]["files"] == []


async def test_the_scanned_place_comes_along(marit: Visitor) -> None:
    log = await browser(marit)
    await log.say("message-1", "2 dead", here="tub")
    await log.until("taken")
    assert log.texts[1] == "Heard: 2 dead at tub."
    body = (await marit.get("/at/r1/tub")).body.decode()
    assert 'data-here="tub"' in body


async def test_bad_frames_are_answered_and_the_socket_stays(marit: Visitor, echo: Echo) -> None:
    log = await browser(marit)
    bad: list[object] = [
        [],
        "x",
        {"t": "text"},
        {"t": "text", "id": "short", "text": "x"},
        {"t": "text", "id": "message-1", "text": 5},
        {"t": "text", "id": "message-1", "text": "   "},
        {"t": "text", "id": "message-1", "text": "x" * 4001},
        {"t": "press", "id": "message-1", "entry": True, "label": "x", "token": "<>"},
        {"t": "press", "id": "message-1", "entry": 10**30, "label": "x", "token": "1aTakeBack0000001"},
        {"t": "photo", "id": "message-1", "content": "%%%"},
        {"t": "earlier", "before": -1},
        {"t": "earlier", "before": 10**30},
        {"t": "nothing", "id": "message-1"},
    ]
    for frame in bad:
        await log.socket.write_message(json.dumps(frame))
        assert (await log.until("refused"))["why"], frame
    await log.socket.write_message("[" * 100_000)
    assert (await log.until("refused"))["why"]
    await log.say("message-2", "fed tub", waited="long")
    await log.until("taken", id="message-2")
    assert echo.effects() == ["fed tub"]


async def test_a_message_that_fails_three_times_is_set_aside_and_others_go_on(marit: Visitor, echo: Echo) -> None:
    log = await browser(marit)
    for _ in range(2):
        await log.say("message-1", "crash")
        await log.until("later", id="message-1")
    await log.say("message-1", "crash")
    await log.until("taken", id="message-1")
    assert "set aside" in log.texts[-1]
    await log.say("message-2", "fed tub")
    await log.until("taken", id="message-2")
    assert echo.effects() == ["fed tub"]


async def test_a_long_log_comes_in_pieces(marit: Visitor, store: Store, clock: SetClock) -> None:
    with store.write() as tx:
        tx.pages.write("marit", [PageEntry("bot", clock.now(), f"line {n}") for n in range(1, 251)])
    log = Browser(await marit.socket())
    first = await log.until("lines")
    assert (log.texts[0], log.texts[-1], first["more"]) == ("line 151", "line 250", True)
    await log.send({"t": "earlier", "before": 151})
    earlier = await log.until("earlier")
    assert (earlier["lines"][0]["text"], earlier["lines"][-1]["text"], earlier["more"]) == ("line 51", "line 150", True)
    behind = await browser(marit, after=20)
    await behind.say("message-1", "fed tub")
    await behind.until("taken")
    assert behind.texts[:230] == [f"line {n}" for n in range(21, 251)]


async def test_a_label_of_another_fishroom_or_a_place_that_is_gone_opens_nothing(marit: Visitor, oleg: Visitor) -> None:
    assert (await oleg.get("/at/r1/tub")).code == 403
    assert (await marit.get("/at/r1/tub%209")).code == 404
    assert (await marit.get("/at/r9/tub")).code == 403


async def test_a_full_disk_is_told_and_the_message_comes_again_until_there_is_room(marit: Visitor, echo: Echo) -> None:
    log = await browser(marit)
    hear = echo.hear
    echo.hear = _disk_full  # type: ignore[method-assign]
    for _ in range(4):
        await log.say("message-1", "2 dead")
        assert "The disk is full" in (await log.until("later", id="message-1"))["why"]
    echo.hear = hear  # type: ignore[method-assign]
    await log.say("message-1", "2 dead")
    await log.until("taken", id="message-1")
    assert log.texts == ["2 dead", "Heard: 2 dead."]


def _disk_full(_: object) -> list[Reply]:
    raise DiskFull
