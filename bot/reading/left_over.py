"""Whether an answer says more than what was asked: "not the tub", "24 in box 1", "D or M", "20 yesterday", "maybe tank 2".

An answer is used up by its question: what is left over would be dropped unsaid, and what was recorded would say what nobody meant.
"""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.partial import Partial
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.values import Ask
from bot.reading.walk import Fish, Spot

_SUBJECTS = frozenset(["female", "male", "batch", "place"])
_PLACES = frozenset(["to", "from", "hangs_in"])
_DAYS = frozenset(["on", "pickup", "from", "by", "to", "until", "born", "at"])
_ANSWERED_BY_NAME = _SUBJECTS | _PLACES | {"label", "sex", "strain", "member", "new"}
_FIGURES = ("number", "range", "percent", "volume", "weight", "temp", "length", "money", "suffixed", "fraction")
_ENTITIES = ("fish", "batch", "place")
_SEXED = frozenset(["moved", "split", "sold", "reserved", "held_back", "wanted", "offered", "joined", "batch_joined", "reservation_changed"])
_UNSURE = ("plan", "condition", "hearsay", "habit")
_TURNS = frozenset(["or", "more", "another", "too", "also", "rather"])
"""Words that turn an answer into another report, or into two."""
_SEVERAL = frozenset(["batches", "lengths", "males", "into"])
"""Questions that are answered with several values."""


def left_over(tokens: Sequence[Token], ask: Ask, partial: Partial, scene: Scene) -> bool:
    """Whether the tokens hold something that the question about a slot of `partial` does not take."""
    return (
        takes_back(tokens, ask.about)
        or _names_others(tokens, ask.about, partial, scene)
        or _another_day(tokens, ask.about, partial)
        or _another_number(tokens, ask, partial)
        or _of_a_sex(tokens, ask.about, partial)
    )


def takes_back(tokens: Sequence[Token], about: str) -> bool:
    """ "Not 20", "D or M", "20 more", "if D", "maybe the tub": an answer that is none, or only perhaps."""
    denied = any(token.has("negation") and not token.has("number_word") for token in tokens)
    turned = any(token.text in _TURNS and not (token.text == "or" and about in _DAYS) for token in tokens)
    perhaps = any(token.has("hedge") and token.text != "i think" for token in tokens) and not any(token.kind in _FIGURES for token in tokens)
    return denied or turned or perhaps or any(token.has(*_UNSURE) for token in tokens)


def _named(token: Token) -> str:
    match token.value:
        case Fish(sex, label):
            return f"{sex} {label}"
        case Spot(name=name):
            return str(name)
        case value:
            return str(value)


def _names_others(tokens: Sequence[Token], about: str, partial: Partial, scene: Scene) -> bool:
    """ "Tub 30" where the water of tank 4 was asked about, "D and M", "24 in box 1"."""
    if about in _SEVERAL:
        return False
    said = {_named(token) for token in tokens if token.kind in _ENTITIES}
    homes = {str(scene.names.batches.get(one, {}).get("place")) for one in said} if about in _SUBJECTS else set()
    known = {str(value) for value in partial.slots.values()} | {f"{sex} {partial.slots.get(sex)}" for sex in ("female", "male")}
    return len(said - known - homes) > (about in _ANSWERED_BY_NAME)


def _another_day(tokens: Sequence[Token], about: str, partial: Partial) -> bool:
    """ "20 yesterday", "tub tomorrow": where no day was asked for; "to" and "from" are days of somebody away, else places."""
    a_day = about in _DAYS and (about not in _PLACES or partial.kind == "away")
    return not a_day and any(token.kind in ("day", "clock") for token in tokens)


def _another_number(tokens: Sequence[Token], ask: Ask, partial: Partial) -> bool:
    """ "4 of D" where 3 were said, "20 to the tub": a number beside the place or batch that was asked for."""
    if ask.about not in _SUBJECTS | _PLACES or not any(token.kind in _ENTITIES for token in tokens):
        return False
    said = {str(token.value) for token in tokens if token.kind in _FIGURES}
    return not said <= {str(partial.slots.get("count")), ask.value}


def _of_a_sex(tokens: Sequence[Token], about: str, partial: Partial) -> bool:
    """ "2 females" says no number of fry."""
    return about == "count" and partial.kind not in _SEXED and any(token.kind == "sex" for token in tokens)
