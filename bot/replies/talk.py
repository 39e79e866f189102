"""The small sentences of a conversation: greetings, refusals to guess, taking back, settings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from bot.replies.cautions import caution, kinds_in_talk
from bot.replies.words import capital, listed

NOT_A_MEMBER = (
    "I keep the book of a fish breeders' club, and I do not know you yet. Ask the club's organiser for an invitation link; "
    "it opens this chat and lets you in."
)
EMPTY = 'That message was empty. Tell me what happened, for example "female 4 holding since tuesday", or say "help".'
TOO_LONG = "That is too long for me to read safely, so I recorded nothing. Please tell it in a few shorter messages."
CORRECTED = "Corrected:"
MAY_REPEAT = "(may repeat)"
"""Put before a message that may have arrived before."""
TAKE_BACK = "Take back"
PUT_BACK = "Put it back"
NOTHING_TO_TAKE_BACK = "There is nothing of yours left to take back."
NOTHING_TO_PUT_BACK = "There is nothing to put back."
ALREADY_TAKEN_BACK = "That is taken back already."
NOTHING_CHANGED = "Nothing changed."
DROPPED = "All right, dropped. Nothing was recorded."
LEFT_AS_IT_IS = "All right, nothing was recorded."
KEEPERS_ONLY = "Only the keeper of a fishroom can do that, so I changed nothing."
ORGANISERS_ONLY = "Only the club's organiser can set that, so I changed nothing."
EXPIRED_BUTTON = "That button has expired; here it is again."
FOREIGN_BUTTON = "That button belongs to somebody else, so nothing happened."
USED_BUTTON = "That was done already."
UNKNOWN_BUTTON = "I do not know that button any more, so nothing happened. Just tell me in words what you want."


def cannot_read(what: str) -> str:
    """A voice note, a sticker, a document; a photo that the platform does not hand out."""
    if what == "photo":
        return "I could not fetch that photo: it is larger than 20 MB, or no longer there. Send it as a photo instead of as a file."
    article = "an" if what[:1] in "aeiou" else "a"
    return f"I cannot make anything of {article} {what}, sorry. A few words do: \"female 4 holding\", \"2 dead in tub\"."


HELLO = 'Hello. Tell me what happened, like "female 4 holding", or ask "what\'s due?". "help" shows more.'
HOW = 'I found nothing to record in that. If there was: say who and what, like "female 4 holding". "help" shows more.'
"""What is said to words that report nothing and ask nothing."""
ASKED = 'That I cannot answer, or not in those words. "help" shows what I can, "what\'s due" what comes next.'
"""What is said to a question that is not understood."""
_ASKS = re.compile(
    r"^\s*(?:what|when|where|who|whose|which|why|how|is|are|does|do|did|can|could|should|shall|will|would|may|has|have)\b.*"
    r"|.*\?\s*$",
    re.IGNORECASE | re.DOTALL,
)
_TELLS = re.compile(r"^\s*(?:do|have|does|is|are|did|has|will|may|can)\b(?!.*\?\s*$)", re.IGNORECASE | re.DOTALL)
"""Begins like a question and may be one only with its mark: "have not seen her eat", "do not feed B"."""


def is_question(text: str) -> bool:
    """Whether the text asks something, and reports nothing: "what do they eat", "are they fine?"."""
    return bool(_ASKS.match(text)) and not _TELLS.match(text)


TO_BUYERS: dict[str, str] = {
    HELLO: 'Hello. Ask "what\'s available", or say what you are looking for: "wanted 4 female saulosi". "help" shows more.',
    ASKED: 'That I cannot answer, or not in those words. Ask "what\'s available", "my reservations" or "what do I owe". "help" shows more.',
    HOW: 'I could not make anything of that. Ask "what\'s available", say "reserve 3 of B" or "my reservations". "help" shows more.',
}
"""The same to somebody who keeps no fishroom here."""
SMALL_TALK: tuple[tuple[frozenset[str], str], ...] = (
    (
        frozenset({"thanks", "thank you", "thx", "ty", "cheers", "many thanks", "thanks a lot", "great", "perfect", "nice", "good", "cool"}),
        "You are welcome.",
    ),
    (
        frozenset({"hello", "hi", "hey", "hi there", "morning", "good morning", "good evening", "evening", "good afternoon"}),
        HELLO,
    ),
    (
        frozenset({"yes", "no", "ok", "okay", "sure", "yep", "nope", "fine", "right", "y", "n"}),
        "All right. No question of mine waits for a word now, so nothing changed; where I show buttons, press one.",
    ),
)
"""What reports nothing and asks nothing, and deserves a word all the same."""


def nothing(text: str, was_recorded: bool, *, keeps: bool = True, begin: str = "") -> str:
    """The text reported nothing and asked nothing; `keeps`: its writer keeps a fishroom; `begin`: how to begin one that is empty."""
    said = _nothing(text, was_recorded)
    if not keeps:
        return TO_BUYERS.get(said, said)
    lead = {HELLO: "Hello.", HOW: "I found nothing to record in that.", ASKED: "That I cannot answer yet."}.get(said) if begin else None
    return f'{lead} {begin} "help" shows more.' if lead else said


def _nothing(text: str, was_recorded: bool) -> str:
    if was_recorded:
        return (
            "Edited like that, the message reports nothing I can record, so what it had recorded before still stands. "
            'Say "undo" to take it back.'
        )
    said = " ".join(text.lower().strip(" .!?").split())
    for words, answer in SMALL_TALK:
        if said in words:
            return answer
    if not any(letter.isalnum() for letter in text):
        return "Nice. Nothing to record in that, so I did not." if any(ord(letter) > 0xFF for letter in text) else HOW
    return ASKED if is_question(text) else HOW


KEEP_AS_NOTE = "Keep as a note"


def as_a_note(kind: str, label: str) -> str:
    """Talk that names something: nothing is recorded, unless it is wanted as a note."""
    what = label if kind == "place" else f"{kind} {label}"
    return f"Nothing is recorded from that. Shall I keep it as a note on {what}?"


def with_cautions(said: str, text: str) -> str:
    """What is said to talk, with the cautions that are its answer: always, not only once a month."""
    return "\n".join([said, *(f"Caution: {caution(kind)}" for kind in kinds_in_talk(text))])


def taken(what: str) -> str:
    """What was taken to be meant without being said."""
    return f"({capital(what)}: taken to be meant.)"


def taken_back(lines: Iterable[str]) -> str:
    """What was taken back."""
    found = list(lines)
    if not found:
        return "Taken back."
    return "Taken back: " + found[0] if len(found) == 1 else "Taken back:\n" + "\n".join(f"• {line}" for line in found)


def put_back(lines: Iterable[str]) -> str:
    """What was restored."""
    return "Put back: " + " ".join(lines)


def told_already(at: str) -> str:
    """The same was told today."""
    return f"You told me just that today at {at}. Did it happen once more?"


def reserved_already(at: str, number: int) -> str:
    """The same was reserved today."""
    return f"You reserved just that today at {at}: #{number}. Do you want the same once more?"


def in_room(name: str) -> str:
    """Which fishroom a reply is about, for who keeps several."""
    return f"[{name}]"


def no_such_setting(name: str, value: str) -> str:
    """A value that the setting cannot take."""
    wanted = {
        "time_zone": 'a zone such as "Europe/Berlin" or "Chicago"',
        "units": '"us" or "metric"',
        "date_order": '"DMY" or "MDY"',
        "digest_time": 'a time such as "6:30"',
        "quiet_hours": 'hours such as "22-7", or "off"',
        "promise_level": "a percentage from 50 to 99",
    }.get(name)
    shown = name.replace("_", " ")
    if name == "promise_level" and value.replace(".", "", 1).isdigit():
        value = f"{float(value):.0%}"
    return f"I cannot set {shown} to {value!r}." + (f" It wants {wanted}." if wanted else "")


def setting_kept(name: str, value: str, at: str = "") -> str:
    """A setting was made; `at`: the time of day it was set to, as the member writes it."""
    shown = "US" if value.lower() == "us" else at or value
    return f"{capital(name.replace('_', ' '))}: {shown} from now on."


def guest_added(name: str) -> str:
    """A guest can have reservations."""
    return f'{name} is down as a guest: you can reserve for them ("reserve 6 of A for {name}"), and you tell them yourself.'


def known_already(name: str) -> str:
    """The name is taken."""
    return f"{name} is known in the club already."


def several_rooms(names: Iterable[str]) -> str:
    """Which fishroom?"""
    return f"Which fishroom is meant: {listed(names, 'or')}?"


def which_wish(numbers: Sequence[int]) -> str:
    """No wish, or several."""
    if not numbers:
        return "You have no wish on the list."
    return f'Which wish: {listed(map(str, numbers), "or")}? Say for example "cancel wish {numbers[0]}".'
