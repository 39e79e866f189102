"""What is said of a message that was set aside, and of a book that cannot be written to or read for now."""

from __future__ import annotations

from datetime import datetime

ENDED = "the bot itself ended each time"
"""What went wrong with a message that no process outlived."""
DOORS = {"telegram": "on Telegram", "page": "on the page"}


def for_the_organiser(who: str | None, door: str, local: datetime, error: str) -> str:
    """That a message was set aside: whose, when and why; not what it said."""
    where = DOORS.get(door, f"by {door}")
    return (
        f"A message from {who or 'somebody unknown'} {where} ({local:%Y-%m-%d %H:%M}) could not be handled, time after time, and was "
        f"set aside. Nothing of it was recorded; its sender was told, and all others go on as usual. Please tell whoever looks after "
        f"the bot: {error}."
    )


def not_now(trouble: str) -> str:
    """To a member whose message cannot be recorded yet."""
    return f"{trouble}\nYour message waits, and I answer it as soon as that is mended; you need not send it again."


def trouble_for_the_organiser(trouble: str) -> str:
    """To the organiser, while nothing can be recorded."""
    return f"The club's book needs you: {trouble}\nUntil then messages wait, and are answered afterwards. “frywire check” says more."


MENDED = "The club's book can be written to again; what waited is being answered."
"""To the organiser, when it is over."""
