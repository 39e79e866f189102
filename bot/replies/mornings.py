"""What else a morning message says: questions still open, messages that may not have arrived."""

from __future__ import annotations

from collections.abc import Sequence

from bot.replies.words import example_tank, listed

NOTHING_DUE = "Nothing is due. Enjoy the fish."


def empty_book(us: bool) -> str:
    """To a keeper who has told of no fish yet."""
    return (
        f'Nothing is due, since the book is still empty. It begins with a place and who lives there: "new tank 1, {example_tank(us)}", '
        'then "added 4 female yellow labs and a male to tank 1".'
    )


def open_questions(texts: Sequence[str]) -> str:
    """Messages that wait for an answer."""
    return "Still open, nothing recorded yet:\n" + "\n".join(f'• "{text}"' for text in texts if text)


def uncertain(count: int) -> str:
    """Messages of which it is not known whether they arrived."""
    return f"({count} earlier message{'s' if count > 1 else ''} from me may not have reached you; a machine was restarted.)"


def let_go(texts: Sequence[str]) -> str:
    """Open questions expire."""
    quoted = listed(f'"{text}"' for text in texts)
    if len(texts) == 1:
        return f"I let your message {quoted} go, as my question about it stayed open. Nothing of it was recorded; tell it again if it still matters."
    return f"I let {quoted} go, as my questions about them stayed open. Nothing of them was recorded; tell again what still matters."
