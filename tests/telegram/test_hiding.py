"""The token reaches no log and no error message, however talkative the libraries are told to be."""

from __future__ import annotations

import asyncio
import io
import logging
import traceback
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import httpx
import pytest

from bot.clock import WallClock
from bot.settings import SettingError
from bot.telegram import Settings, Telegram, TokenRejectedError, hide, serve
from core.store import Store
from tests.telegram.conftest import settled
from tests.telegram.double import TOKEN, Double, Fault, Member
from tests.telegram.notebook import Notebook
from tests.telegram.runner import start

pytestmark = pytest.mark.xdist_group("processes")  # one server forks them all, and is not started thrice


@pytest.fixture
def log() -> Iterator[io.StringIO]:
    """Everything anybody logs, down to the last detail."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    root, levels = logging.getLogger(), {name: logging.getLogger(name).level for name in ("", "httpx", "httpcore")}
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield written
    root.removeHandler(handler)
    for name, level in levels.items():
        logging.getLogger(name).setLevel(level)


async def test_a_busy_day_logs_no_token(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, log: io.StringIO
) -> None:
    logging.getLogger("httpx").setLevel(logging.DEBUG)
    door.handling.pauses = (0.0, 0.0, 0.0)
    double.fail(Fault("sendMessage", 400, f"Bad Request: {TOKEN} is no good"))
    double.fail(Fault("getUpdates", 502, f"Bad Gateway at /bot{TOKEN}/getUpdates"))
    double.fail(Fault("getFile", hang_up=True))
    notebook.fails[f"say {TOKEN}"] = 3
    for text in ("hello", f"say {TOKEN}", "hello again"):
        marit.say(text)
    marit.photo(b"x")
    await double.until(lambda: "noted: hello again" in marit.texts)
    await settled(double, door)
    assert "sendMessage" in log.getvalue(), "the log is a talkative one"
    assert TOKEN not in log.getvalue()
    assert TOKEN.split(":")[1] not in log.getvalue()


def test_an_address_in_a_traceback_is_cleaned(log: io.StringIO) -> None:
    hide(TOKEN, "a-webhook-secret")
    try:
        raise httpx.ConnectError(f"cannot reach https://api.telegram.org/bot{TOKEN}/getMe")
    except httpx.ConnectError:
        logging.getLogger("anybody").exception("Failed with %s and a-webhook-secret", TOKEN)
    logging.getLogger("anybody").warning("another one: 123456789:AAHfiqksKZ8WmR2zSjiQ7_v4TMAKdiHm9T0")
    text = log.getvalue()
    assert "cannot reach https://api.telegram.org/bot[hidden]/getMe" in text
    assert TOKEN not in text
    assert "a-webhook-secret" not in text
    assert "AAHfiqks" not in text


def test_settings_do_not_show_their_token() -> None:
    assert TOKEN not in repr(Settings(TOKEN))


async def test_a_token_the_platform_does_not_know_is_told_in_plain_words_without_it(
    double: Double, settings: Settings, store: Store, notebook: Notebook, log: io.StringIO
) -> None:
    wrong = replace(settings, token="990:AAWrongTokenThatNobodyKnows_0123456789")
    with pytest.raises(TokenRejectedError, match="BotFather") as told:
        await asyncio.to_thread(_run_in_thread, wrong, store, notebook)
    everything = "".join(traceback.format_exception(told.value)) + log.getvalue()
    assert wrong.token not in everything
    assert isinstance(told.value, SettingError), "the command line tells it in one sentence"
    assert "AAWrong" not in everything


def _run_in_thread(settings: Settings, store: Store, notebook: Notebook) -> None:
    """`run` without its signals, which belong to the main thread."""

    async def main() -> None:
        async with serve(settings, store, notebook, WallClock()) as door:
            await door.ready()

    asyncio.run(main())


async def test_the_bot_as_a_process_writes_no_token_to_its_log_and_stops_cleanly_when_told(
    double: Double, tmp_path: Path, marit: Member
) -> None:
    process = start(double.base_url, tmp_path, log=True)
    marit.say("hello")
    await double.until(lambda: bool(marit.texts), 20)
    process.terminate()
    await asyncio.to_thread(process.join, 10)
    text = (tmp_path / "log").read_text()
    assert process.exitcode == 0
    assert "Traceback" not in text
    assert "getUpdates" in text
    assert TOKEN not in text

