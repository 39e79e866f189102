"""The double is as strict as the platform, so that a bot that passes here passes there.

The limits are those of the public Bot API manual: 4096 and 1024 characters after entities parsing, 64 bytes of button data, 2 to
10 items in an album, 200 characters in a callback answer; 8 buttons a row and 100 in all are python-telegram-bot's constants
(`InlineKeyboardMarkupLimit`), as the manual does not tell.
"""

from __future__ import annotations

import asyncio
import json
from typing import Any

import pytest
import tornado.httpclient

from tests.telegram.double import TOKEN, Double, Fault, Member
from tests.telegram.markup import MarkupError, parse_html, units
from tests.telegram.schema import METHODS, TYPES, RejectedError, read_call


class Caller:
    """A bot that calls by hand."""

    def __init__(self, double: Double) -> None:
        self.double = double
        self.client = tornado.httpclient.AsyncHTTPClient(force_instance=True)

    async def __call__(self, method: str, *, token: str = TOKEN, **values: Any) -> dict[str, Any]:
        answer = await self.client.fetch(
            f"{self.double.base_url}/bot{token}/{method}",
            method="POST",
            headers={"Content-Type": "application/x-www-form-urlencoded"},
            body=tornado.httputil.url_concat("", {k: _form(v) for k, v in values.items()}).removeprefix("?"),
            raise_error=False,
        )
        body: dict[str, Any] = json.loads(answer.body)
        assert body["ok"] == (answer.code == 200)
        return body


def _form(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value)


@pytest.fixture
def call(double: Double) -> Caller:
    return Caller(double)


def keyboard(*rows: int, data: str = "d") -> str:
    return json.dumps({"inline_keyboard": [[{"text": "x", "callback_data": data}] * count for count in rows]})


@pytest.mark.parametrize(
    ("values", "complaint"),
    [
        ({}, "chat_id"),
        ({"chat_id": "1"}, "text"),
        ({"chat_id": "1", "text": ""}, "empty"),
        ({"chat_id": "1", "text": "x" * 4097}, "too long"),
        ({"chat_id": "1", "text": "🐟" * 2049}, "too long"),
        ({"chat_id": "1", "text": "x", "parse_mode": "Markdown"}, "parse_mode"),
        ({"chat_id": "1", "text": "GH > 4 < 7", "parse_mode": "HTML"}, "can't parse entities"),
        ({"chat_id": "1", "text": "<b>x", "parse_mode": "HTML"}, "can't parse entities"),
        ({"chat_id": "1", "text": "x", "colour": "red"}, "colour"),
        ({"chat_id": "1", "text": "x", "reply_markup": "{"}, "can't parse"),
        ({"chat_id": "1", "text": "x", "reply_markup": '{"inline_keyboard": [[{"callback_data": "d"}]]}'}, "reply_markup"),
        ({"chat_id": "1", "text": "x", "reply_markup": '{"inline_keyboard": [[{"text": "x"}]]}'}, "unallowed"),
        ({"chat_id": "1", "text": "x", "reply_markup": keyboard(1, data="d" * 65)}, "callback_data"),
        ({"chat_id": "1", "text": "x", "reply_markup": keyboard(1, data="é" * 33)}, "callback_data"),
        ({"chat_id": "1", "text": "x", "reply_markup": keyboard(9)}, "in a row"),
        ({"chat_id": "1", "text": "x", "reply_markup": keyboard(*[8] * 13)}, "too many buttons"),
    ],
)
def test_a_message_that_breaks_a_rule_is_refused(values: dict[str, str], complaint: str) -> None:
    with pytest.raises(RejectedError, match=complaint) as refused:
        read_call("sendMessage", values, {})
    assert refused.value.code == 400


@pytest.mark.parametrize(
    ("method", "values"),
    [
        ("sendMessage", {"chat_id": "1", "text": "&lt;" * 4096, "parse_mode": "HTML"}),
        ("sendMessage", {"chat_id": "1", "text": "🐟" * 2048, "reply_markup": keyboard(*[8] * 12, 4)}),
        ("sendMessage", {"chat_id": "@thegroup", "text": "x", "reply_markup": keyboard(1, data="d" * 64)}),
        ("sendPhoto", {"chat_id": "1", "photo": "file1", "caption": "x" * 1024}),
        ("answerCallbackQuery", {"callback_query_id": "q", "text": "x" * 200}),
        ("getUpdates", {"offset": "-1", "limit": "100", "timeout": "0", "allowed_updates": "[]"}),
    ],
)
def test_what_just_keeps_the_rules_is_taken(method: str, values: dict[str, str]) -> None:
    assert set(read_call(method, values, {})) == set(values)


@pytest.mark.parametrize(
    ("method", "values"),
    [
        ("sendPhoto", {"chat_id": "1", "photo": "file1", "caption": "x" * 1025}),
        ("answerCallbackQuery", {"callback_query_id": "q", "text": "x" * 201}),
        ("getUpdates", {"limit": "101"}),
        ("getUpdates", {"offset": "soon"}),
        ("setWebhook", {"url": "https://x.example", "secret_token": "no spaces"}),
        ("setMyCommands", {"commands": '[{"command": "Help me", "description": "x"}]'}),
        ("sendMediaGroup", {"chat_id": "1", "media": '[{"type": "photo", "media": "file1"}]'}),
    ],
)
def test_other_calls_are_held_to_their_rules(method: str, values: dict[str, str]) -> None:
    with pytest.raises(RejectedError):
        read_call(method, values, {})


def test_the_trimmed_schema_hangs_together() -> None:
    kinds = {
        kind.lstrip("!*").replace("*", "")
        for fields in (*METHODS.values(), *(shape for shape in TYPES.values() if isinstance(shape, dict)))
        for field in fields.values()
        for kind in field.split(" ")[0].split("|")
    }
    assert kinds - {"Integer", "Float", "String", "Boolean", "True"} <= set(TYPES)


def test_markup_is_read_as_the_platform_reads_it() -> None:
    assert parse_html("a &amp; b &#128031; &nbsp; <b>4 &lt; 5</b>") == (
        "a & b 🐟 &nbsp; 4 < 5",
        [{"type": "bold", "offset": 16, "length": 5}],
    )
    for wrong in ("<b><i>x</b></i>", "</b>", "a <- b"):
        with pytest.raises(MarkupError):
            parse_html(wrong)
    assert units("a🐟") == 3


async def test_the_token_and_the_method_have_to_be_known(double: Double, call: Caller) -> None:
    assert (await call("getMe", token="1:wrong"))["error_code"] == 401
    assert (await call("getCoffee"))["error_code"] == 404
    assert (await call("getMe"))["result"]["username"] == "frywire_test_bot"


async def test_updates_come_again_until_an_offset_confirms_them(double: Double, call: Caller, marit: Member) -> None:
    marit.say("one")
    marit.say("two")
    first = (await call("getUpdates"))["result"]
    assert [update["message"]["text"] for update in first] == ["one", "two"]
    assert (await call("getUpdates"))["result"] == first
    assert (await call("getUpdates", offset=first[0]["update_id"] + 1))["result"] == first[1:]
    assert (await call("getUpdates", offset=first[1]["update_id"] + 1, timeout=0))["result"] == []


async def test_a_long_poll_ends_when_something_happens(double: Double, call: Caller, marit: Member) -> None:
    polling = asyncio.ensure_future(call("getUpdates", timeout=30))
    await double.until(lambda: double.count("getUpdates") == 1)
    marit.say("hello")
    assert len((await asyncio.wait_for(polling, 2))["result"]) == 1


async def test_only_one_may_poll_and_none_beside_a_webhook(double: Double, call: Caller) -> None:
    first = asyncio.ensure_future(call("getUpdates", timeout=30))
    await double.until(lambda: double.count("getUpdates") == 1)
    second = asyncio.ensure_future(call("getUpdates", timeout=1))
    assert (await asyncio.wait_for(first, 2))["error_code"] == 409
    assert (await second)["ok"]
    await call("setWebhook", url="http://127.0.0.1:9/x")
    assert (await call("getUpdates"))["error_code"] == 409
    await call("deleteWebhook")
    assert (await call("getUpdates"))["ok"]


async def test_kinds_of_updates_nobody_asked_for_do_not_come(double: Double, call: Caller, marit: Member) -> None:
    await call("getUpdates", allowed_updates=["callback_query"])
    marit.say("hello")
    assert (await call("getUpdates"))["result"] == []


async def test_chats_answer_as_the_platform_does(double: Double, call: Caller, marit: Member) -> None:
    assert "chat not found" in (await call("sendMessage", chat_id=424242, text="x"))["description"]
    sent = (await call("sendMessage", chat_id=marit.chat.id, text="<i>x</i>", parse_mode="HTML"))["result"]
    assert (sent["text"], sent["entities"][0]["type"]) == ("x", "italic")
    edit = {"chat_id": marit.chat.id, "message_id": sent["message_id"]}
    assert "not modified" in (await call("editMessageText", **edit, text="x"))["description"]
    assert (await call("editMessageText", **edit, text="y"))["result"]["text"] == "y"
    group = double.group("The club")
    new = group.migrate()
    assert (await call("sendMessage", chat_id=group.id, text="x"))["parameters"] == {"migrate_to_chat_id": new.id}
    marit.block()
    assert (await call("sendMessage", chat_id=marit.chat.id, text="x"))["error_code"] == 403


async def test_faults_strike_as_often_as_they_are_told_to(double: Double, call: Caller, marit: Member, oleg: Member) -> None:
    double.fail(Fault("sendMessage", 429, "Too Many Requests: retry after 3", {"retry_after": 3}, chat=marit.chat.id, times=2))
    codes = [(await call("sendMessage", chat_id=chat.id, text="x")).get("error_code") for chat in [marit.chat] * 3 + [oleg.chat]]
    assert codes == [429, 429, None, None]


async def test_the_platforms_own_limit_can_be_switched_on(double: Double, call: Caller, marit: Member) -> None:
    double.limit_per_second = 3
    codes = [(await call("sendMessage", chat_id=marit.chat.id, text="x")).get("error_code") for _ in range(5)]
    assert codes[:3] == [None] * 3
    assert 429 in codes[3:]
