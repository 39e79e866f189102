"""An answer to a question back: the missing word put into the draft, and the whole of it settled as on the day it was written.

`answer` gives a reading where the text answers the question, `Dropped` where the member gives it up ("no", "forget it"), and None where
the text does not answer it: then it is a message of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any, cast

from bot.reading import days
from bot.reading.checks import NEEDED
from bot.reading.corrections import begins_as_correction, put_right
from bot.reading.facts import Facts
from bot.reading.kinds_measure import lengths_of
from bot.reading.kinds_water import POSSIBLE, amount_of, celsius_of
from bot.reading.left_over import left_over, talks
from bot.reading.names import Names
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.reader import read, settle
from bot.reading.scene import Memory, Scene
from bot.reading.tagging import tagged
from bot.reading.tokens import Token
from bot.reading.values import Ask, Context, Dropped, Reading
from bot.reading.walk import Fish

_DROPPING = (
    "no", "nope", "cancel", "cancel it", "cancel that", "forget it", "forget that", "nevermind", "never mind", "nvm", "drop it", "drop that",
    "nothing",     "stop", "none", "neither", "ignore it",
    "ignore that", "leave it", "scrap it", "scrap that", "no thank", "no thanks",
)  # fmt: skip
_DROP = re.compile(rf"^(?:{'|'.join(_DROPPING)})$")
AGREEING = (
    "yes", "yep", "yeah", "yup", "ja", "correct", "right", "sure", "ok", "okay", "really", "it is", "thats right", "exactly", "y", "indeed",
    "confirm", "true",
)  # fmt: skip
"""Ways of saying yes to what is asked."""
_YES = re.compile(rf"^(?:{'|'.join(AGREEING)})$")
_SUBJECTS = ("female", "male", "batch", "place")
_SHORT = (*_SUBJECTS, "to", "from", "count")
"""Questions whose answer needs no words of its own."""
_FREE = ("text", "nickname")
"""What is answered with whatever words."""
_AHEAD = ("pickup", "from", "by", "to", "until")
Filling = dict[str, object]


def answer(
    ask: Ask, text: str, *, now: datetime, by: str, names: Names, context: Context | None = None
) -> Reading | Dropped | None:
    """The draft of `ask` completed with `text`; see the module for what else can come back."""
    flat = " ".join(re.sub(r"[^\w\s#%./:$€£'-]", " ", text.lower()).replace("'", "").split()).strip(" .")
    if _DROP.match(flat):
        return Dropped()
    draft = cast("dict[str, Any]", ask.draft)
    if "items" not in draft or len(text) > 120 or not flat:
        return None
    partials = [Partial.from_json(row) for row in draft["items"]]
    written = datetime.fromisoformat(draft["now"])
    scene = Scene(names, written, draft["by"], context or Context(), Memory(), draft["text"])
    partial = partials[draft["at"]]
    if (better := _put_right(ask, text, names)) is not None:
        return read(better, now=written, by=draft["by"], names=names, context=context)
    said = Scene(names, now, by, context or Context(), Memory(), text)
    filling = _filling(ask, flat, text, said, partial)
    if filling is None:
        return None
    _fill(partial, ask, filling)
    scene.memory.taken.extend(draft.get("taken", ()))
    return settle(partials, int(draft["events"]), [], scene, draft["text"])


def _put_right(ask: Ask, text: str, names: Names) -> str | None:
    """ "No wait, 12" where "stripped 2" was asked how many: it is said of what was told, and answers nothing. None: no correction."""
    told = str(cast("dict[str, Any]", ask.draft)["text"])
    return put_right(told, text, names) if ask.why == "missing" and begins_as_correction(text) and not _SORRY.match(text) else None


_SORRY = re.compile(r"\W*(?:sorry|sry|its|it's|it is|that's|thats)\b", re.IGNORECASE)
"""Words before an answer that correct nothing: "sorry, 24"."""


def _fill(partial: Partial, ask: Ask, filling: Filling) -> None:
    group = set(_group(partial.kind, ask.about))
    partial.troubles = [trouble for trouble in partial.troubles if trouble.slot not in group]
    number = ask.value if ask.value.isdigit() else ""
    if {"female", "male"} & set(filling) and partial.kind == "died":
        partial.slots.pop("count", None)
    if {"batch", "place"} & set(filling) and ask.about in ("female", "male") and number:
        partial.slots["count"] = int(number)
        if partial.kind == "left":
            partial.kind = "sold"
    for slot, value in filling.items():
        partial.put(slot, value)


def _group(kind: str, slot: str) -> Sequence[str]:
    """The slots that stand for one another: an answer to one settles all."""
    for needed in NEEDED.get(kind, ()):
        if slot in needed.split("|"):
            return needed.split("|")
    return (slot,)


def _filling(ask: Ask, flat: str, text: str, scene: Scene, partial: Partial) -> Filling | None:
    options = {option.lower(): option for option in ask.options}
    tokens = tagged(options.get(flat, text), scene.names)
    if _YES.match(flat):
        return _agreed(ask, scene, partial)
    if not _answers_only(tokens) or (ask.about in _SUBJECTS and _tells_more(tokens)) or (ask.about in _SHORT and talks(tokens)):
        return None
    if ask.about not in _FREE and left_over(tokens, ask, partial, scene):
        return None
    facts = Facts(Clause(tokens), scene)
    reader = _READERS.get(ask.about)
    return reader(facts, ask, partial) if reader else _plain_number(facts, ask, partial)


def _answers_only(tokens: Sequence[Token]) -> bool:
    """Whether the words are no report of their own: no verb, no question."""
    return not any(
        token.has("wonder", "aux") and n == 0 and not token.has("vague") for n, token in enumerate(tokens)
    ) and not any(meaning.startswith("verb:") for token in tokens for meaning in token.means if not token.has("filler"))


def _tells_more(tokens: Sequence[Token]) -> bool:
    """ "14 fry from 6", "f2 since friday, not saturday" say more than which fish is meant."""
    if any(token.kind in ("day", "clock") or token.has("negation") for token in tokens):
        return True
    counts = sum(token.kind in ("number", "range", "suffixed", "percent") for token in tokens)
    named = any(isinstance(token.value, Fish) for token in tokens)
    batch_too = any(token.kind == "hash" for token in tokens) and any(token.kind == "batch" for token in tokens)
    return any(token.has("fry") for token in tokens) or counts > 1 or (counts == 1 and named) or batch_too


def _agreed(ask: Ask, scene: Scene, partial: Partial) -> Filling | None:
    """ "Yes": to the one option, or to a number or day that was doubted; what cannot be stays in question."""
    if len(ask.options) == 1:
        facts = Facts(Clause(tagged(ask.options[0], scene.names)), scene)
        reader = _READERS.get(ask.about, _plain_number)
        return reader(facts, ask, partial)
    if ask.about in POSSIBLE:
        return None
    if ask.why in ("implausible", "uncertain") and re.fullmatch(r"\d+", ask.value):
        return {ask.about: int(ask.value), "sure": True}
    if ask.why == "implausible" and ask.about == "on":
        found = days.find(ask.value, 0)
        direction: days.Direction = "past"
        day = days._named_day(found[1], scene.now, direction, scene.names.date_order) if found else None
        return {"on": day.isoformat(), "sure": True} if isinstance(day, date) else None
    return None


def _subject(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    allowed = _group(partial.kind, ask.about) if ask.about in _SUBJECTS else (ask.about,)
    for n, token in enumerate(facts.tokens):
        if isinstance(token.value, Fish) and token.value.sex in allowed:
            return {token.value.sex: facts.known(token.value.sex, token.value.label)}
        if token.kind == "batch" and "batch" in allowed:
            return {"batch": _letters(facts, ask, partial, str(token.value))}
        if token.kind == "place" and "place" in allowed:
            return {"place": facts.place(n, "place")}
        if token.kind == "place" and "batch" in allowed:
            return {"batch": facts.batch_like() or Trouble("batch")}
    if facts.where("strain") and "batch" in allowed:
        return {"batch": facts.batch_like() or Trouble("batch")}
    numbers = [str(quantity.value) for quantity in facts.quantities if quantity.bare] + [
        str(facts.tokens[n].value) for n in facts.where("hash")
    ]
    sexes = [sex for sex in ("female", "male") if sex in allowed]
    if len(numbers) == 1 and sexes:
        having = [sex for sex in facts.names.sexes_of(numbers[0]) if sex in sexes]
        if len(having) == 1:
            return {having[0]: numbers[0]}
        options = tuple(f"{sex} {numbers[0]}" for sex in having)
        return {ask.about: Trouble(ask.about, "ambiguous" if options else "unknown", numbers[0], options)}
    return _lone_sex(facts, ask, sexes) or (_new_letters(facts, ask, partial) if "batch" in allowed else None)


def _lone_sex(facts: Facts, ask: Ask, sexes: Sequence[str]) -> Filling | None:
    """ "The female", where a female and a male share the label."""
    said = {str(facts.tokens[n].value) for n in facts.where("sex")}
    if len(said) == 1 and ask.value.isdigit():
        sex = said.pop()
        if sex in sexes and ask.value in facts.names.fish(sex):
            return {sex: ask.value}
    return None


def _letters(facts: Facts, ask: Ask, partial: Partial, letters: str) -> str | Trouble:
    if partial.kind in ("stripped", "batch_joined"):
        return Trouble("batch", "taken", letters) if letters in facts.names.batches else letters
    return facts.known_batch(letters)


def _new_letters(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    """Letters for a new batch, or for one that "a" or "i" names."""
    words = [token for token in facts.tokens if token.kind in ("word", "batch", "sex")]
    letters = "".join(words[0].text.split()[-1:]).upper() if len(words) == 1 else ""
    if not re.fullmatch(r"[A-Z]{1,2}", letters):
        return None
    return {ask.about: _letters(facts, ask, partial, letters)}


def _into(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    letters = facts.batches() or [
        letter for letter in cast("list[str]", partial.slots.get("batches", [])) if letter.lower() == facts.tokens[0].text
    ]
    return {ask.about: letters[0]} if len(letters) == 1 else None


def _batches(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    letters = facts.batches()
    wrong = next((letter for letter in letters if isinstance(letter, Trouble)), None)
    return {"batches": wrong or list(letters)} if len(letters) > 1 or wrong else None


def _new(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    for token in facts.tokens:
        letters = str(token.value if token.kind == "batch" else token.text).upper()
        if re.fullmatch(r"[A-Z]{1,2}", letters):
            return {"new": Trouble("new", "taken", letters) if letters in facts.names.batches else letters}
    return None


def _place(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    spots = facts.where("place")
    return {ask.about: facts.place(spots[0], ask.about)} if len(spots) == 1 else None


def _day(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    direction: days.Direction = "future" if ask.about in _AHEAD else "past"
    for n, token in enumerate(facts.tokens):
        if token.kind == "clock":
            partial.put("at", facts.clock())
        elif token.kind in ("number", "fraction") and not facts.where("day") and isinstance(token.value, int):
            found = days.find(f"the {token.value}th", 0)
            facts.tokens[n] = Token("day", token.text, token.start, token.end, found[1]) if found else token
    day = facts.day(direction, ask.about)
    if day is None:
        return None
    return {ask.about: day if isinstance(day, Trouble) else day.isoformat()}


def _clock(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    at = facts.clock()
    return {ask.about: at} if at is not None else None


def _sex(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    said = {str(facts.tokens[n].value) for n in facts.where("sex")} | {
        token.value.sex for token in facts.tokens if isinstance(token.value, Fish)
    }
    return {"sex": said.pop()} if len(said) == 1 else None


def _strain(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    said = facts.where("strain", "profile")
    return {"strain": str(facts.tokens[said[0]].value)} if len(said) == 1 else None


def _member(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    member = facts.member()
    return {ask.about: member} if member is not None else None


def reservation(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    """A reservation by its number."""
    numbers = [str(facts.tokens[n].value) for n in facts.where("reservation", "hash")] + [
        str(quantity.value) for quantity in facts.quantities if quantity.bare
    ]
    if len(numbers) != 1:
        return None
    return {
        "reservation": numbers[0] if numbers[0] in facts.names.reservations else Trouble("reservation", "unknown", numbers[0])
    }


def _water_part(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    if not facts.where("percent", "volume") and len(facts.quantities) == 1 and isinstance(facts.quantities[0].value, int):
        value = facts.quantities[0].value
        return {"percent": value if 0 < value <= 100 else Trouble("percent", "impossible", str(value))}
    amount = amount_of(facts)
    missing = isinstance(amount.get("percent"), Trouble) and not facts.where("percent", "volume")
    return None if missing else dict(amount)


def _lengths_said(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    doubted = int(ask.value) if ask.value.isdigit() else None
    if doubted is not None and facts.has("mean"):
        numbers = [quantity.value for quantity in facts.quantities if isinstance(quantity.value, int)]
        return {"mean_mm": doubted, **({"n": numbers[0]} if len(numbers) == 1 and numbers[0] != doubted else {})}
    lengths = lengths_of(facts)
    if doubted is not None and not lengths:
        one = any(token.text in ("one", "1", "single") for token in facts.tokens)
        return {"lengths": [doubted]} if one else None
    return {"lengths": lengths} if lengths else None


def _money(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    amount = facts.money(ask.about)
    if amount is None and len(facts.quantities) == 1 and facts.quantities[0].value is not None:
        amount = f"{float(facts.quantities[0].value):.2f}"
    return {ask.about: amount} if amount is not None else None


def _temperature(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    for token in facts.tokens:
        if token.kind in ("temp", "suffixed") and isinstance(token.value, tuple):
            number, unit = float(token.value[0]), str(token.value[1])
        elif token.kind == "number":
            number, unit = token.number, ""
        else:
            continue
        value = celsius_of(number, unit, facts.names.units)
        return {"temp_c": value if value is not None else Trouble("temp_c", "implausible", token.text)}
    return None


def _label(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    labels = [token.value.label for token in facts.tokens if isinstance(token.value, Fish)] + [
        str(quantity.value) for quantity in facts.quantities
    ]
    labels += [str(facts.tokens[n].value) for n in facts.where("hash")]
    return {"label": labels[0]} if len(labels) == 1 else None


def _words(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    return {ask.about: facts.scene.text.strip()}


def _plain_number(facts: Facts, ask: Ask, partial: Partial) -> Filling | None:
    """A count or a water value."""
    if ask.about in POSSIBLE:
        numbers = [token.number for token in facts.tokens if token.kind == "number"]
        low, high = POSSIBLE[ask.about]
        value = numbers[0] if len(numbers) == 1 else None
        return (
            None
            if value is None
            else {ask.about: value if low <= value <= high else Trouble(ask.about, "impossible", str(value))}
        )
    counts = [quantity for quantity in facts.quantities if quantity.value is not None]
    if len(counts) != 1 or len(facts.unknown_words()) > 1 or not isinstance(counts[0].value, int):
        return None
    filling: Filling = {ask.about: counts[0].value}
    if counts[0].approx or facts.has("hedge"):
        filling["approx"] = True
    if counts[0].sex and partial.kind in ("moved", "split", "sold", "reserved", "held_back", "wanted", "offered"):
        filling["sex"] = counts[0].sex
    return filling


_READERS: dict[str, Callable[[Facts, Ask, Partial], Filling | None]] = {
    **dict.fromkeys(_SUBJECTS, _subject),
    **dict.fromkeys(("on", "pickup", "from", "by", "until", "born"), _day),
    "to": lambda facts, ask, partial: (_day if partial.kind == "away" else _place)(facts, ask, partial),
    "place": lambda facts, ask, partial: (_subject if "place" in _group(partial.kind, "place") else _place)(facts, ask, partial),
    "hangs_in": _place,
    "into": _into,
    "batches": _batches,
    "new": _new,
    "at": _clock,
    "sex": _sex,
    "strain": _strain,
    "member": _member,
    "sitter": _member,
    "reservation": reservation,
    "percent": _water_part,
    "litres": _water_part,
    "lengths": _lengths_said,
    "price": _money,
    "amount": _money,
    "temp_c": _temperature,
    "label": _label,
    "text": _words,
    "nickname": _words,
}
