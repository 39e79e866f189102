"""Questions back: what is missing or cannot be, and what it could be, as its own values."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date

from bot.replies import naming
from bot.replies.words import Style, capital, listed
from core.fishroom.state import Fish, Fishroom

QUESTION = {
    "female": "Which female is it?",
    "male": "Which male is it?",
    "batch": "Which batch is it?",
    "batches": "Which batches?",
    "place": "Which place is it?",
    "to": "Where to?",
    "from": "From where?",
    "count": "How many?",
    "on": "Since when, or on which day?",
    "into": "Under which letter do they go on?",
    "percent": "How much of the water: a percentage, or litres?",
    "ph": "What was the pH?",
    "sex": "Male or female?",
    "strain": "Which strain?",
    "label": "Which label shall the fish have?",
    "member": "Which member?",
    "reservation": "Which reservation number?",
    "pickup": "On which day is the pickup?",
    "price": "At what price?",
    "at": "At what time?",
    "text": "What shall the note say?",
    "nickname": "What is the nickname?",
    "every_days": "Every how many days?",
    "value": 'What shall it be set to? For example "digest at 6:30", "time zone Europe/Berlin" or "promise level 90%".',
    "lengths": "What lengths did you measure?",
    "mean_mm": "What length did you measure?",
    "males": "How many males, and how many females?",
    "number": "Which number of the list?",
    "amount": "How much?",
    "hangs_in": "Which tank does it hang in?",
    "type": "Is it a tank, a box, a tub or a pond?",
    "litres": "How many litres?",
    "grams": "How many grams?",
    "temp_c": "What was the temperature?",
    "tan_mg_l": "What was the ammonia?",
    "nitrite_mg_l": "What was the nitrite?",
    "nitrate_mg_l": "What was the nitrate?",
    "kh_dkh": "What was the KH?",
    "gh_dgh": "What was the GH?",
    "eggs": "How many eggs?",
    "dead": "How many were dead?",
    "min_mm": "From what size on?",
    "by": "By which day?",
    "until": "Until which day?",
    "sitter": "Who looks after them?",
    "weekdays": "On which weekdays?",
    "task": "Every so often what: test water, change water, measure or count?",
    "new": "Which letter shall the new batch have?",
    "born": "When were they born?",
    "sire": "Who is the father?",
    "dam": "Who is the mother?",
}
NOUN = {
    "to": "place", "from": "place", "into": "batch", "new": "batch", "female": "female", "male": "male", "hangs_in": "place",
    "ph": "pH", "temp_c": "a temperature of", "tan_mg_l": "ammonia", "nitrite_mg_l": "nitrite", "nitrate_mg_l": "nitrate", "kh_dkh": "KH",
    "gh_dgh": "GH", "on": "the day", "min_mm": "a size of", "mean_mm": "a length of",
}  # fmt: skip
PLACES = ("place", "to", "from", "hangs_in")


def _lead(about: str, why: str, value: str, options: Sequence[str], style: Style, query: bool) -> tuple[str, str]:
    """What is the matter with what was said, and what is asked."""
    asked = QUESTION.get(about, f"What is the {about.replace('_', ' ')}?")
    noun = NOUN.get(about, about.replace("_", " "))
    match why:
        case "unknown" if value:
            lead = f"I know no {named(noun, value)} here{'' if query else ', so nothing is recorded yet'}."
        case "taken" if value:
            lead = f"{capital(noun)} {value} is taken already."
            asked = f"Which other {noun}?"
        case "too_many" if about in ("ph", "temp_c", "kh_dkh", "gh_dgh"):
            lead = f"{value} cannot be right."
            asked = QUESTION.get(about, "What was it?")
        case "too_many":
            lead = f"{value or 'That'} is more than the book has there."
            asked = "What is the right number?"
        case "elsewhere":
            lead = f"The book has {about} {value} in another place."
        case "impossible" if about == "female":
            lead = "Only a female can do that."
        case "impossible":
            lead = f"{capital(_value(value, style))} cannot be." if value else "That cannot be."
            asked = "Which day is it?" if about in ("to", "from") and value != _value(value, style) else asked
        case "implausible":
            lead = f"Really {_value(value, style)}?"
            asked = "Say it again if so, or tell me what it should be."
        case "future":
            lead = f"{capital(_value(value, style))} has not come yet."
            asked = "On which day was it?"
        case "ambiguous" if value.isdigit() and about == "lengths":
            lead, asked = "", f"Is {style.measured(int(value))} the mean of several fish, or one fish? Say \"mean\" or \"one fish\"."
        case "ambiguous" if value.isdigit() and about in ("female", "male") and not options:
            lead, asked = "", f"Is that {about} {value}, or {value} fish of a batch? Say which."
        case "ambiguous" | "uncertain" if value:
            lead = f"I am not sure what {_value(value, style)!r} means here."
        case "too_long":
            lead, asked = "That is too long for me to read safely.", "Please tell it in shorter messages."
        case _:
            lead = ""
    return lead, asked


def sentence(
    about: str, why: str, value: str, options: Sequence[str], style: Style, *, query: bool = False, begin: str = "", gone: str = ""
) -> str:
    """The question for an open slot: `why` it is open, and the `value` that was said of it. A `query` records nothing anyway.

    `begin`: how the first one comes into the book, where there is none to choose from; `gone`: what became of the one that was said.
    """
    lead, asked = _lead(about, why, value, options, style, query)
    lead = f"{gone}{'' if query else ', so nothing is recorded yet'}." if gone and why == "unknown" else lead
    if begin and why in ("missing", "unknown", "ambiguous") and not options:
        return f"{lead} {begin}".strip()
    if len(options) == 1:
        asked = f"Do you mean {options[0]} fish?" if about == "count" else f"Is it {options[0]}?"
        lead = "" if why in ("ambiguous", "uncertain") and _value(value, style) == options[0] else lead
    elif options:
        asked = f"{_stem(about, options)} {listed(options, 'or')}?"
    if about == "reservation" and why == "unknown":
        lead = f"I find no reservation #{value} that is yours to change." if value else lead
    if about == "on" and why == "missing":
        asked = "Since when?"
    if about == "strain" and why == "unknown":
        asked = 'Which strain is meant? A new one is added with "new strain NAME".'
    if about in PLACES and why == "unknown" and value and not query:
        box = "box" in value.lower()
        size = f"{4 if box else 30} gallons" if style.units == "us" else f"{15 if box else 120} litres"
        asked += f' A new one is added like this: "new {_new_place(value)}, {size}".'
    return " ".join(part for part in (lead, asked) if part)


def gone_since(found: Fish, style: Style) -> str:
    """What became of a fish that is no longer here."""
    when = f" on {style.day(found.gone)}" if found.gone else ""
    return f"{naming.fish_name(found)} {found.gone_how or 'left'}{when}"


def _new_place(value: str) -> str:
    """What was said of a place, with the kind of place in it."""
    return value if any(kind in value.lower() for kind in ("tank", "box", "tub", "pond")) else f"tank {value}"


def no_reservation(number: str) -> str:
    """Somebody who has no reservation named one."""
    return f"I find no reservation{f' #{number}' if number else ''} that is yours to change, so nothing happened."


def no_reservation_of(member: str) -> str:
    """Something was told of the reservation of somebody who has none."""
    return f"{member} has no open reservation with you, so nothing was recorded."


def more_than(value: str, batch: str, book: int) -> str:
    """More fish were said than the batch has."""
    return f"{value} is more than the {book} the book has in {batch}. What is the right number?"


def named(noun: str, value: str) -> str:
    """What was said of a noun: "female 44"; with the noun in front where the words do not begin with it."""
    if noun == "place" and value.lower().startswith(("tank", "box", "tub", "pond")):
        return value
    return value if value.lower().startswith(noun) else f"{noun} “{value}”" if " " in value else f"{noun} {value}"


def _stem(about: str, options: Sequence[str]) -> str:
    return {"to": "Where to:", "from": "From where:", "into": "Under which letter:"}.get(about, "Which is it:")


def _value(value: str, style: Style) -> str:
    try:
        return style.day(date.fromisoformat(value))
    except ValueError:
        return re.sub(r"\.0+$", "", value) or "that"


def unclear_sentence(
    about: str, why: str, value: str, options: Sequence[str], style: Style, room: Fishroom | None
) -> str:
    """Why the fishroom as it is leaves something open, or cannot take it."""
    choice = f" {capital(listed(options, 'or'))}?" if options else ""
    match why:
        case "unknown" if about == "number":
            return f"The last list I showed you has no number {value}. Ask \"what's due\" for a new one."
        case "unknown":
            return f"I know no {named(NOUN.get(about, about), value)} here, so nothing was recorded.{choice}"
        case "taken":
            return f"{capital(about)} {value} is taken already, so nothing was recorded.{choice}"
        case "not_empty":
            return f"{capital(value)} still has fish in it. Move them first; then it can go out of use."
        case "already_holding":
            day, _, label = value.partition(" ")
            return (
                f'She is down as holding since {style.day(date.fromisoformat(day))}. If she still is, say "{label} still holding"; '
                "if she lost or released that brood first, tell me that; if the day was wrong, edit the message that told it."
            )
        case "who_died":
            return f"Sorry. Who died in {value}?{choice}"
        case "nothing_there":
            return f"The book has no fish in {value}, so nothing was recorded."
        case "different_strains":
            return (
                f"Those are different strains ({listed(value.split(','))}). Put together they are hybrid stock, and are never "
                "offered as either strain. Shall I?"
            )
        case "mix":
            return f"The mix was {value}.{choice}"
        case "several_keepers":
            return f"Several keepers have a batch {value}. Whose is it:{choice}"
        case "missing":
            return f"{QUESTION.get(about, 'What is it?')}{choice}"
        case _:
            return PLAINLY.get(why) or f"That does not fit the book, so nothing was recorded.{choice}"


PLAINLY: Mapping[str, str] = {
    "before_or_after": "That day has a count already. Did they die before the count, or after it?",
    "one_offer": (
        'A batch has one offer, so nothing was recorded. For both sexes say "A for sale", and for what each costs '
        '"price of A: males 5, females 7".'
    ),
    "no_fishroom": "You keep no fishroom in this club, so there is nothing to record that in.",
    "backwards": "The last day lies before the first, so nothing was recorded.",
}
"""Reasons that are always said in the same words."""
