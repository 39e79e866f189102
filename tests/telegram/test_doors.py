"""Starting, listening by polling or by webhook, and stopping."""

from __future__ import annotations

import asyncio
import logging
import socket
from dataclasses import replace
from datetime import timedelta

import pytest
import tornado.httpclient

from bot.clock import WallClock
from bot.telegram import NotReached, Reached, Settings, Webhook, check, serve, settings_from
from bot.telegram.application import UPDATES
from core.store import Store
from tests.telegram.conftest import settled
from tests.telegram.double import TOKEN, Double, Fault, Member
from tests.telegram.notebook import Notebook


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


@pytest.fixture
def by_webhook(settings: Settings) -> Settings:
    port = free_port()
    return replace(settings, webhook=Webhook(f"http://127.0.0.1:{port}/from-telegram", "s3cret_-x", port=port))


async def test_the_menus_are_set_once(double: Double, settings: Settings, store: Store, notebook: Notebook) -> None:
    for _ in range(2):
        async with serve(settings, store, notebook, WallClock()) as door:
            await door.ready()
    assert double.count("setMyCommands") == 2
    names = {scope: [each["command"] for each in commands] for scope, commands in double.commands.items()}
    private, group = sorted(names.items(), key=lambda item: "group" in item[0])
    assert ("all_private_chats" in private[0], private[1]) == (True, ["start", "due", "help", "page", "settings"])
    assert ("all_group_chats" in group[0], group[1]) == (True, ["help"])


async def test_it_says_which_updates_it_wants_and_drops_none(
    double: Double, settings: Settings, store: Store, notebook: Notebook, marit: Member
) -> None:
    marit.say("while you were away")
    async with serve(settings, store, notebook, WallClock()) as door:
        await door.ready()
        await settled(double, door)
    assert notebook.said == ["while you were away"]
    assert all(call.values["allowed_updates"] == list(UPDATES) for call in double.calls_of("getUpdates"))
    assert not any(call.values.get("drop_pending_updates") for call in double.calls_of("deleteWebhook"))


async def test_a_bot_started_before_the_network_waits_for_it(
    double: Double, settings: Settings, store: Store, notebook: Notebook, marit: Member
) -> None:
    double.fail(Fault("getMe", 502, "Bad Gateway"))
    async with serve(settings, store, notebook, WallClock()) as door:
        assert marit.texts == []
        marit.say("hello")
        await door.ready()
        await settled(double, door)
        assert marit.texts == ["noted: hello"]


async def test_a_bot_that_never_gets_through_can_be_stopped(store: Store, notebook: Notebook) -> None:
    unreachable = Settings(TOKEN, f"http://127.0.0.1:{free_port()}")
    async with serve(unreachable, store, notebook, WallClock()):
        await asyncio.sleep(0.2)


async def test_a_second_bot_with_the_same_token_is_told_in_plain_words(
    double: Double, settings: Settings, store: Store, notebook: Notebook, caplog: pytest.LogCaptureFixture
) -> None:
    async with serve(settings, store, notebook, WallClock()) as one, serve(settings, store, notebook, WallClock()) as other:
        await asyncio.gather(one.ready(), other.ready())
        async with asyncio.timeout(8):
            while not any("only one may run" in record.getMessage() for record in caplog.records):
                await asyncio.sleep(0.02)


@pytest.mark.parametrize("fault", [Fault("getUpdates", 502), Fault("getUpdates", 401, "Unauthorized"), Fault("getUpdates", hang_up=True)])
async def test_polling_goes_on_after_trouble(
    double: Double, settings: Settings, store: Store, notebook: Notebook, marit: Member, fault: Fault
) -> None:
    double.fail(replace(fault))
    async with serve(settings, store, notebook, WallClock()) as door:
        await door.ready()
        marit.say("hello")
        await settled(double, door)
    assert marit.texts == ["noted: hello"]


async def test_updates_are_brought_to_a_webhook_with_its_secret(
    double: Double, by_webhook: Settings, store: Store, notebook: Notebook, marit: Member
) -> None:
    async with serve(by_webhook, store, notebook, WallClock()) as door:
        await door.ready()
        for number in range(3):
            marit.say(f"{number}")
        await settled(double, door)
        assert notebook.said == [f"{number}" for number in range(3)]
        assert set(double.pushed) == {200}
        assert double.count("getUpdates") == 0


async def test_a_webhook_takes_nothing_without_its_secret(
    double: Double, by_webhook: Settings, store: Store, notebook: Notebook, marit: Member
) -> None:
    assert by_webhook.webhook
    client = tornado.httpclient.AsyncHTTPClient(force_instance=True)
    body = '{"update_id": 1, "message": {"message_id": 1, "date": 1, "chat": {"id": 1, "type": "private"}, "text": "forged"}}'
    async with serve(by_webhook, store, notebook, WallClock()) as door:
        await door.ready()
        for headers in ({}, {"X-Telegram-Bot-Api-Secret-Token": "guessed"}):
            answer = await client.fetch(
                by_webhook.webhook.url,
                method="POST",
                body=body,
                headers={"Content-Type": "application/json", **headers},
                raise_error=False,
            )
            assert answer.code == 403
        await door.settled()
    assert notebook.incoming == []


async def test_a_webhook_that_cannot_keep_an_update_has_it_brought_again(
    double: Double, by_webhook: Settings, store: Store, notebook: Notebook, marit: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with serve(by_webhook, store, notebook, WallClock()) as door:
        await door.ready()
        keep, troubles = door.inbox._keep, iter([OSError("disk")])

        def troubled(update: object) -> bool:
            for trouble in troubles:
                raise trouble
            return keep(update)  # type: ignore[arg-type]

        monkeypatch.setattr(door.inbox, "_keep", troubled)
        marit.say("one dead")
        await settled(double, door)
    assert double.pushed == [500, 200]
    assert notebook.said == ["one dead"]


async def test_a_day_without_updates_is_warned_about(
    double: Double, settings: Settings, store: Store, notebook: Notebook, caplog: pytest.LogCaptureFixture
) -> None:
    with store.write() as tx:
        tx.inbox.keep("telegram", "1", "1", {"update_id": 1}, WallClock().now() - timedelta(hours=30))
        arrived = tx.inbox.get("telegram", "1")
        assert arrived
        tx.inbox.done(arrived.id)
    with caplog.at_level(logging.WARNING):
        async with serve(settings, store, notebook, WallClock()) as door:
            await door.ready()
    assert any("keeps messages for a day" in record.message for record in caplog.records)


async def test_the_platform_is_asked_whether_it_knows_the_bot(double: Double, settings: Settings, marit: Member) -> None:
    marit.say("hello")
    assert await asyncio.to_thread(check, settings) == Reached("frywire_test_bot", 1, None)
    wrong = await asyncio.to_thread(check, replace(settings, token="990:AAWrong_0123456789012345678901234"))
    assert isinstance(wrong, NotReached)
    assert "BotFather" in wrong.why
    nowhere = await asyncio.to_thread(check, Settings(TOKEN, f"http://127.0.0.1:{free_port()}"))
    assert isinstance(nowhere, NotReached)
    assert "cannot be reached" in nowhere.why
    assert TOKEN not in nowhere.why


async def test_however_soon_it_is_stopped_the_last_call_confirms_what_was_heard(
    double: Double, settings: Settings, store: Store, notebook: Notebook
) -> None:
    rounds = 8
    for _ in range(rounds):
        async with serve(settings, store, notebook, WallClock()) as door:
            await door.ready()
    assert sum(call.values.get("timeout", 0) == 0 for call in double.calls_of("getUpdates")) == rounds


async def test_what_was_handled_long_ago_is_forgotten(
    double: Double, settings: Settings, store: Store, notebook: Notebook
) -> None:
    with store.write() as tx:
        for external, days in (("1", 4), ("2", 2)):
            tx.inbox.keep("telegram", external, "1", {"update_id": 1}, WallClock().now() - timedelta(days=days))
            arrived = tx.inbox.get("telegram", external)
            assert arrived
            tx.inbox.done(arrived.id)
    async with serve(settings, store, notebook, WallClock()) as door:
        await door.ready()
        await door.tick()
    with store.read() as tx:
        assert (tx.inbox.get("telegram", "1") is None, tx.inbox.get("telegram", "2") is None) == (True, False)


def test_settings_are_read_from_the_environment() -> None:
    assert settings_from({}) is None
    plain = settings_from({"FRYWIRE_TELEGRAM_TOKEN": " 1:a "}, base_url="http://127.0.0.1:8081/bot/")
    assert plain
    assert (plain.token, plain.webhook) == ("1:a", None)
    assert (plain.api, plain.files) == ("http://127.0.0.1:8081/bot", "http://127.0.0.1:8081/file/bot")
    hooked = settings_from(
        {
            "FRYWIRE_TELEGRAM_TOKEN": "1:a",
            "FRYWIRE_TELEGRAM_WEBHOOK_URL": "https://club.example/telegram/in",
            "FRYWIRE_TELEGRAM_WEBHOOK_SECRET": "s",
            "FRYWIRE_TELEGRAM_WEBHOOK_PORT": "8444",
        }
    )
    assert hooked
    assert hooked.webhook == Webhook("https://club.example/telegram/in", "s", "127.0.0.1", 8444)
    assert hooked.webhook.path == "telegram/in"
    assert hooked.api == "https://api.telegram.org/bot"
    with pytest.raises(ValueError, match="secret"):
        settings_from({"FRYWIRE_TELEGRAM_TOKEN": "1:a", "FRYWIRE_TELEGRAM_WEBHOOK_URL": "https://club.example/in"})
