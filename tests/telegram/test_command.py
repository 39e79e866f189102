"""The shipped command, pointed at another Bot API server: an organiser comes in by an invitation, keeps fish, and the bot is stopped."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from asyncio.subprocess import PIPE, Process
from pathlib import Path

from tests.telegram.double import TOKEN, Double, Member


async def frywire(*arguments: str, folder: Path) -> Process:
    """The command in a process of its own, with a club in `folder`."""
    settings = {"FRYWIRE_DATABASE": f"sqlite:///{folder}/club.sqlite", "FRYWIRE_TELEGRAM_TOKEN": TOKEN, "FRYWIRE_LOG_LEVEL": "DEBUG"}
    return await asyncio.create_subprocess_exec(
        sys.executable, "-m", "bot", *arguments, env={**os.environ, **settings}, stdout=PIPE, stderr=PIPE
    )


async def test_a_club_begins_at_the_command_line_and_goes_on_in_the_app(double: Double, tmp_path: Path, marit: Member) -> None:
    invited, _ = await (await frywire("invite", "Marit", "--club", "Gravel Lane", folder=tmp_path)).communicate()
    code = invited.decode().split("/start ")[1].split()[0]
    running = await frywire("start", "--no-page", "--telegram-base-url", double.base_url, folder=tmp_path)
    marit.start(code)
    await double.until(lambda: bool(marit.texts), 20)
    marit.say("new tank 1, 240 litres, 26 C")
    await double.until(lambda: any("240" in text for text in marit.texts), 20)
    marit.say("invite Sam as buyer")
    await double.until(lambda: "https://t.me/frywire_test_bot?start=" in marit.texts[-1], 20)
    running.send_signal(signal.SIGTERM)
    out, errors = await running.communicate()
    assert running.returncode == 0
    assert b"getUpdates" in errors, "the log is a talkative one"
    assert TOKEN.encode() not in out + errors
