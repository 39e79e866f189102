"""The sentences of the page itself; what the club's memory says comes from the conversation."""

from __future__ import annotations

from bot.replies.words import counted, listed

NOT_READABLE = "That could not be read by the page. Reload it and try again; nothing was recorded."
NOTHING_WRITTEN = "There was nothing written in that message."
PHOTO_TOO_LARGE = "That photo is larger than 8 MB. A smaller one, or a picture of the picture, will do."
LINK_USED = (
    "This link opens nothing any more: it was used before, or its time is over. Ask your keeper or organiser for a new one."
)
WRONG_NAME = (
    "The page is not known by this name. Whoever runs Frywire can add it to FRYWIRE_PAGE_NAMES; "
    "until then it opens only under the names it was given."
)
WRONG_PLACE = "This request came from another page and was not accepted. Open Frywire itself and try again."
NOT_SIGNED_IN = "You are not signed in here. Open the link you were given, or ask your keeper or organiser for one."
NOTHING_HERE = "There is nothing at this address."
NOT_YOURS = "This is not yours to see."
FILE_GONE = "This file is no longer kept. Ask for it again in the log and it is made afresh."
FAILED = (
    "Something went wrong here, and it has been noted for whoever runs Frywire. Nothing you wrote is lost; try again in a moment."
)
BUSY = "The message is kept, and will be read in a moment."
NO_SHELF = "The shelf is for members. Sign in to see it."
NOT_YOUR_PLACE = "This label belongs to a fishroom that you do not keep."
NO_SUCH_PLACE = "There is no place of this name in the book any more. Print the labels anew with “labels” in the log."
NO_ROOM = "You keep no fishroom here, so there is no board to show."
PHOTO = "(a photo)"
PHOTO_NAME = "photo.jpg"
SET_ASIDE = (
    "This message could not be dealt with, three times over. It was set aside and nothing of it was recorded; "
    "the organiser has been told. Other messages go on as usual."
)
OFTEN_KEEPER = ("due today", "who is holding?", "what's available?", "help")
OFTEN_BUYER = ("what's available?", "my reservations", "help")
USUAL_START, USUAL_KEEPER, USUAL_BUYER = "new tank 1", "female 4 holding", "what's available?"
LOG, SHELF, BOARD, SELF = "Log", "Shelf", "Board", "You"


def too_long(length: int, longest: int) -> str:
    """A message over the limit."""
    return f"That is {length} characters; {longest} fit in one message. Cut it in two and send both."


def too_often(seconds: float) -> str:
    """Too many tries to sign in."""
    return f"That was tried too often. Wait {counted(max(1, round(seconds / 60)), 'minute')} and try again."


def too_fast(seconds: float) -> str:
    """Too many pages at once."""
    return f"That was more at once than this page can give. Wait {counted(max(1, round(seconds)), 'second')} and try again."


def pressed(label: str) -> str:
    """How a pressed button stands in the log."""
    return f"[{label}]"


_ROLES = {"keeper": "keeper", "organiser": "organiser", "buyer": "buyer", "guest": "guest"}


def first_role(roles: frozenset[str]) -> str:
    """What somebody is first of all, in a word or two."""
    return ", ".join(_ROLES[each] for each in ("keeper", "organiser") if each in roles) or "buyer"


def role(roles: frozenset[str]) -> str:
    """What somebody is, in a word or two."""
    return listed(_ROLES[each] for each in ("keeper", "organiser", "buyer", "guest") if each in roles) or "member"


def roles(held: frozenset[str], club: str) -> str:
    """What somebody is in the club."""
    return f"You are signed in as {role(held)} of {club}."


PICTURES = frozenset({"image/png", "image/jpeg"})
SHELF_EMPTY = (
    "Nothing is for sale just now. What is wanted can be told in the log (“looking for 6 yellow labs”), and is kept in order."
)
NOTHING_CHOSEN = "Nothing on the shelf fits that. Try a later day, or say in the log what you are looking for."


def shelf_lead(count: int) -> str:
    """What the visitor sees on the shelf."""
    return (
        f"{counted(count, 'batch', 'batches')} for sale, grown by members. “Free” is what can be promised now while everything "
        "promised before is kept. “Ready” means large enough to leave home. Sizes and days ahead are forecasts: nine times in ten it is "
        "between the two figures."
    )
