"""What else a morning message says: questions still open, messages that may not have arrived."""

from __future__ import annotations

from collections.abc import Sequence

NOTHING_DUE = "Nothing is due. Enjoy the fish."


def open_questions(texts: Sequence[str]) -> str:
    """Messages that wait for an answer."""
    return "Still open, nothing recorded yet:\n" + "\n".join(f'• "{text}"' for text in texts if text)


def uncertain(count: int) -> str:
    """Messages of which it is not known whether they arrived."""
    return f"({count} earlier message{'s' if count > 1 else ''} from me may not have reached you; a machine was restarted.)"


def let_go(text: str) -> str:
    """An open question expires."""
    return f'I let your message "{text}" go, since my question about it stayed open. Nothing of it was recorded; tell it again if it still matters.'
