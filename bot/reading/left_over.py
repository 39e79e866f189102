"""Whether an answer says more than what was asked: "not the tub", "24 in box 1", "D or M", "20 yesterday", "maybe tank 2".

An answer is used up by its question: what is left over would be dropped unsaid, and what was recorded would say what nobody meant.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from bot.reading.kinds_water import POSSIBLE
from bot.reading.partial import Partial
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.values import Ask
from bot.reading.walk import Fish, Spot

BESIDE = frozenset((
    "sorry", "obviously", "of course", "of", "course", "i think", "i guess", "it",
    "mean", "meant", "should", "said", "say", "please", "plz", "pls", "thanks", "thx", "ta", "cheers",
    "definitely", "surely", "probably", "actually", "haha", "oops", "hm", "hmm", "ah", "oh", "well", "duh", "there", "here", "too", "then",
))  # fmt: skip
"""Words beside an answer that tell nothing; any other word makes the message one of its own."""
_BETWEEN = frozenset(["in", "the", "at", "from", "batch"])
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
_OF_NAMES = _ANSWERED_BY_NAME | {"batches", "into", "sitter", "reservation", "sire", "dam"}
"""Questions that are answered with a name, and whatever goes with it."""
_ONE_FIGURE = frozenset(POSSIBLE) | {"on", "percent", "litres", "grams", "price", "amount", "eggs", "dead", "min_mm", "mean_mm"}
_NUMBER_WORDS = (
    *("filler", "approx", "hedge", "only", "lot", "all", "fry", "brood_word", "live", "still", "mean", "number_word", "female", "male", "unsexed"),
    *("each", "with", "since", "vague", "hardness_unit", "strength_unit"),
)  # fmt: skip
"""Meanings of words that go with a number or a day."""
_UNITS = frozenset(["c", "f", "l", "g", "degrees", "deg", "mg", "ppm", "percent", "euro", "euros", "eur", "bucks"])
"""Units that stand apart from their number."""
_SEVERAL = frozenset(["batches", "into"])
"""Questions that are answered with several values."""


def left_over(tokens: Sequence[Token], ask: Ask, partial: Partial, scene: Scene) -> bool:
    """Whether the tokens hold something that the question about a slot of `partial` does not take."""
    return (
        takes_back(tokens, ask.about)
        or _names_others(tokens, ask.about, partial, scene)
        or _another_day(tokens, ask.about, partial)
        or _another_number(tokens, ask, partial)
        or _another_thing(tokens, ask.about, partial)
        or _of_a_sex(tokens, ask.about, partial)
        or (ask.about in _SUBJECTS | _PLACES and _tells_of(tokens))
    )


def talks(tokens: Sequence[Token], beside: Collection[str] = BESIDE) -> bool:
    """ "Tank 1 looks cloudy" names a tank, and is no answer: words of no meaning here, but those `beside` an answer."""
    return any(token.kind == "word" and not token.means and token.text.lower() not in beside for token in tokens)


def _tells_of(tokens: Sequence[Token]) -> bool:
    """ "A looks fine", "tub ok": how what is named is, and not that it is the one; "A it was, in the tub" answers."""
    first = next((n for n, token in enumerate(tokens) if token.kind in (*_ENTITIES, "number", "hash")), len(tokens))
    behind = [(tokens[n - 1].text, tokens[n]) for n in range(first + 1, len(tokens))]
    return any(
        token.kind == "word" and token.text not in BESIDE | _BETWEEN and not (token.text in ("is", "was") and before == "it")
        for before, token in behind
        if not token.has("fry")
    )


def takes_back(tokens: Sequence[Token], about: str) -> bool:
    """ "Not 20", "D or M", "20 more", "if D", "maybe the tub": an answer that is none, or only perhaps."""
    denied = any(token.has("negation") and not token.has("number_word") for token in tokens)
    turned = any(token.text in _TURNS and not (token.text == "or" and about in _DAYS) for token in tokens)
    perhaps = any(token.has("hedge") and token.text != "i think" for token in tokens) and not any(token.kind in _FIGURES for token in tokens)
    return denied or turned or perhaps or any(token.has(*_UNSURE) for token in tokens)


def named(token: Token) -> str:
    """What the token names, in one form."""
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
    said = {named(token) for token in tokens if token.kind in _ENTITIES}
    homes = {str(home) for one in said if (home := scene.names.batches.get(one, {}).get("place"))} if about in _SUBJECTS else set()
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


def _another_thing(tokens: Sequence[Token], about: str, partial: Partial) -> bool:
    """ "Nitrate 30", "30 degrees outside", "3 cheers for Marit": words and names that a number or a day has nothing to do with."""
    if about in _OF_NAMES:
        return False
    figures = [token for token in tokens if token.kind in _FIGURES]
    names = any(token.kind in ("strain", "profile", "member") and str(token.value) not in map(str, partial.slots.values()) for token in tokens)
    several = about in _ONE_FIGURE and len(figures) > 1
    strange = talks(tokens, BESIDE | _UNITS)
    return names or several or strange or any(token.kind == "word" and token.means and not token.has(about, *_NUMBER_WORDS) for token in tokens)


def _of_a_sex(tokens: Sequence[Token], about: str, partial: Partial) -> bool:
    """ "2 females" says no number of fry."""
    return about == "count" and partial.kind not in _SEXED and any(token.kind == "sex" for token in tokens)
