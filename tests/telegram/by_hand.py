"""A session by hand: the shipped bot in a process of its own, against the double, with everything said printed.

`python -m tests.telegram.by_hand` shows a photo, a button, an edit, a digest with done and later, and a kill -9 in the middle of a
burst, after which nothing is lost.
"""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
from asyncio.subprocess import PIPE, Process
from collections.abc import Mapping
from pathlib import Path

from bot.play.stage import EXAMPLE_PHOTO
from tests.telegram.double import TOKEN, Double, Member
from tests.telegram.world import Message

BURST = 30


class Session:
    """The bot's process, and Marit with the app in hand."""

    def __init__(self, double: Double, folder: Path) -> None:
        self.double = double
        self.marit: Member = double.member("Marit")
        self.environment: Mapping[str, str] = {
            **os.environ,
            "FRYWIRE_DATABASE": f"sqlite:///{folder}/club.sqlite",
            "FRYWIRE_TELEGRAM_TOKEN": TOKEN,
        }
        self.shown = 0

    async def frywire(self, *arguments: str) -> Process:
        return await asyncio.create_subprocess_exec(
            sys.executable, "-m", "bot", *arguments, env=self.environment, stdout=PIPE, stderr=None
        )

    async def start(self) -> Process:
        print("== start")
        return await self.frywire("start", "--no-page", "--telegram-base-url", self.double.base_url)

    async def after(self, told: str, deed: object) -> None:
        """Prints what Marit did and what the bot answered."""
        print(f"Marit {told}")
        before = self.double.count("sendMessage") + self.double.count("editMessageText")
        await self.double.until(
            lambda: self.double.count("sendMessage") + self.double.count("editMessageText") > before and not self.double.updates, 30
        )
        await asyncio.sleep(0.3)
        for message in self.marit.chat.from_bot[self.shown :]:
            show(message)
        self.shown = len(self.marit.chat.from_bot)


def show(message: Message) -> None:
    text = message.get("text") or f"({'photo' if 'photo' in message else 'document'})"
    print("\n".join(f"   bot | {line}" for line in text.splitlines()))
    rows = message.get("reply_markup", {}).get("inline_keyboard", ())
    for row in rows:
        print("       " + " ".join(f"[{button['text']}]" for button in row))


async def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        async with Double() as double:
            session = Session(double, Path(folder))
            marit = session.marit
            out, _ = await (await session.frywire("invite", "Marit", "--club", "Gravel Lane")).communicate()
            code = out.decode().split("/start ")[1].split()[0]
            bot = await session.start()
            await session.after(f"opens the chat with /start {code[:4]}…", marit.start(code))
            for text in ("new tank 1, 240 litres, 26 C", "added 4 female yellow labs and a male to tank 1"):
                await session.after(f"says: {text}", marit.say(text))
            await session.after("says: female 4 holding for 8 days", marit.say("female 4 holding for 8 days"))
            await session.after("edits it: female 3 holding for 8 days", marit.edit("female 3 holding for 8 days"))
            await session.after("presses [Take back]", marit.press("Take back"))
            await session.after("says: female 4 holding for 8 days", marit.say("female 4 holding for 8 days"))
            await session.after("sends a photo: female 4", marit.photo(EXAMPLE_PHOTO.read_bytes(), "female 4"))
            await session.after("says: female 2 holding for 9 days", marit.say("female 2 holding for 9 days"))
            await session.after("says: what's on today?", marit.say("what's on today?"))
            await session.after("presses [1 done]", marit.press("1 done"))
            await session.after("presses [2 later]", marit.press("2 later"))
            lost = await burst(session, bot)
            print(f"== {BURST} messages in a burst, killed in the middle of it, started again: {lost} lost")
            return 1 if lost else 0


async def burst(session: Session, bot: Process) -> int:
    """Kills the bot in the middle of a burst and starts it again; how many messages were lost."""
    marit, answered = session.marit, session.double.count("sendMessage")
    for percent in range(10, 10 + BURST):
        marit.say(f"{percent}% wc tank 1")
    await session.double.until(lambda: session.double.count("sendMessage") >= answered + 5, 30)
    bot.kill()
    await bot.wait()
    print(f"== killed after {session.double.count('sendMessage') - answered} answers")
    again = await session.start()
    last = f"{9 + BURST}"
    await session.double.until(lambda: last in marit.texts[-1], 120)
    session.shown = len(marit.chat.from_bot)
    journal = await told_once(session)
    again.terminate()
    print(f"== stopped with exit code {await again.wait()}")
    return BURST - journal


async def told_once(session: Session) -> int:
    """How many different water changes the journal holds; twice the same would be an error."""
    from core.events import WaterChanged
    from core.store import Store

    store = Store.open(session.environment["FRYWIRE_DATABASE"])
    with store.read() as tx:
        entries = [entry.event for stream in tx.journal.streams() for entry in tx.journal.entries(stream)]
    store.close()
    percents = [event.percent for event in entries if isinstance(event, WaterChanged)]
    assert len(percents) == len(set(percents))
    return len(percents)


if __name__ == "__main__":
    sys.exit(asyncio.run(main()))
