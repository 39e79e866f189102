"""Figures of speech, by the verb they are said with: "ate well", "full of life", "lost 3-0", "gave f4 a salt bath", "undo the lid"."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from bot.reading.facts import Facts
from bot.reading.pieces import ENTITIES, Clause, names_something
from bot.reading.tokens import Token

Figure = Callable[[Clause, Facts], bool]


def figure_of_speech(clause: Clause, facts: Facts) -> bool:
    """Whether the clause, for all its words of the trade, tells nothing that could be recorded."""
    return any(figure(clause, facts) for figure in _FIGURES.get(clause.verb, ()))


_EATING = frozenset(["ate", "eaten", "has eaten", "eat", "eats", "scoffed"])
_OF_HERS = ("brood_word", "egg", "fry", "batch_word", "lot")


def _mouth(clause: Clause, facts: Facts) -> bool:
    """Mouths that do other things: "spat at me", "ate well", "full of life", "holding her ground", "released from the net"."""
    tokens, verb = clause.tokens, facts.verb_at()
    if verb < 0:
        return False
    behind = tokens[verb + 1 :]
    brood = any(token.has(*_OF_HERS) for token in behind)
    if clause.verb != "hold" and (facts.has("food") or (any(token.text in ("at", "from") for token in behind[:1]) and not brood)):
        return True
    if tokens[verb].text in _EATING or (clause.verb == "release" and any(token.text == "from" for token in behind)):
        return not brood and not facts.quantities
    if tokens[verb].text.endswith("full") and behind and behind[0].text == "of":
        return not brood
    object_ = next((n for n, token in enumerate(behind) if not token.has("filler") or token.has(*_OF_HERS)), None)
    if object_ is None:
        return False
    introduced = object_ > 0 and behind[object_ - 1].text in ("the", "a", "his", "her", "their", "its", "my", "of")
    strange = (behind[object_].kind == "word" and not behind[object_].means) or behind[object_].has("thing")
    return strange and (introduced or tokens[verb].text.endswith("full"))


def _given_something(clause: Clause, facts: Facts) -> bool:
    """ "gave f4 a salt bath": nobody left."""
    tokens, verb = clause.tokens, facts.verb_at()
    if verb < 0 or tokens[verb].text not in ("gave", "given", "give") or clause.having("weight"):
        return False
    if tokens[verb].text in ("gave", "give") and not any(
        token.kind in ("fish", "batch", "place", "member", "number") for token in tokens[verb + 1 :]
    ):
        return True
    if any(token.text in ("me", "us") for token in tokens[verb + 1 : verb + 2]):
        return True
    given = tokens[verb + 1 : verb + 3]
    return (
        len(given) == 2
        and given[0].kind in ("fish", "batch", "place", "member")
        and given[1].text in ("a", "an", "some", "the", "my")
    )


def _anothers(clause: Clause, facts: Facts) -> bool:
    """ "Priya lost 2 from her A": told of somebody else's fish."""
    for n in facts.where("member"):
        between = facts.tokens[n + 1 : facts.verb_at()]
        if n < facts.verb_at() and facts.tokens[n].note != "possessive" and all(token.has("filler") for token in between):
            return not facts.where("fish")
    return False


def undone_thing(clause: Clause, facts: Facts) -> bool:
    """ "undo the lid", "take that back to the shop": nothing of the journal."""
    behind = clause.tokens[facts.verb_at() + 1 :]
    if _excuse(behind):
        return False
    things = any(
        token.has("thing") or (token.kind == "word" and not token.means and token.text not in _ENTRIES) for token in behind
    )
    return (
        things
        or len([token for token in clause.tokens if token.kind not in ("punct", "day") and not token.has("filler", "verb:undo")])
        > 2
    )


def _excuse(behind: Sequence[Token]) -> bool:
    """ ", wrong tank": why the entry is taken back."""
    words = [token for token in behind if token.kind != "punct"]
    told = len(behind) > len(words) and 0 < len(words) <= 3 and words[0].text in ("wrong", "typo", "oops", "sorry")
    return told and all(token.kind in ENTITIES or token.has("filler") or token.text in _MISTAKEN for token in words[1:])


_MISTAKEN = ("one", "fish", "batch", "number", "place", "tank", "box", "day", "date", "female", "male", "count")
_ENTRIES = ("last", "message", "mistake", "latest", "previous", "recent")


def _is_score(token: Token) -> bool:
    """ "lost 3-0"."""
    ends = re.findall(r"\d+", token.text) if token.kind == "range" else []
    return len(ends) == 2 and int(ends[1]) <= int(ends[0])


def _lost_match(clause: Clause, facts: Facts) -> bool:
    """Money or a match."""
    return bool(clause.having("money")) or any(_is_score(token) for token in clause.tokens)


def _lost_in(clause: Clause, facts: Facts) -> bool:
    """ "lost interest in f4": what was lost is no fish."""
    behind = [token for token in clause.tokens[facts.verb_at() + 1 :] if token.text not in ("the", "all", "my", "any", "a")]
    return len(behind) > 1 and clause.tokens[facts.verb_at()].text.startswith("los") and behind[0].has("thing") and behind[0].kind == "word"


def _dropped(clause: Clause, facts: Facts) -> bool:
    """ "saw eggs drop": no reservation is dropped."""
    return clause.tokens[facts.verb_at()].text in ("drop", "scrap") and not clause.having("reservation", "hash")


def _number_of_things(clause: Clause, facts: Facts) -> bool:
    """ "counted 14 geese"."""
    numbers = facts.quantities
    return bool(numbers) and not names_something(clause) and all(number.why == "uncertain" for number in numbers)


def _counted_to(clause: Clause, facts: Facts) -> bool:
    """ "counted to ten before I answered": no fish."""
    following = clause.tokens[facts.verb_at() + 1 : facts.verb_at() + 2]
    return bool(following) and following[0].text == "to" and not names_something(clause) and not clause.having("strain")


def _split_thing(clause: Clause, facts: Facts) -> bool:
    """ "split my lip on the tank lid": no batch."""
    behind = clause.tokens[facts.verb_at() + 1 : facts.verb_at() + 3]
    owned = len(behind) == 2 and behind[0].text in ("my", "his", "her", "the", "a", "our")
    strange = owned and (behind[1].has("thing") or (behind[1].kind == "word" and not behind[1].means))
    return strange and not clause.having("batch", "strain", "number") and not facts.has("fry", "batch_word")


def _only_thanks(clause: Clause, facts: Facts) -> bool:
    """ "noted, thanks": an answer to somebody."""
    return only_thanks(clause.tokens)


def only_thanks(tokens: Sequence[Token]) -> bool:
    """Whether "noted" stands by itself or with thanks."""
    said = [token for token in tokens if token.kind != "punct"]
    return bool(said) and said[0].text == "noted" and all(token.text in _THANKS or token.has("greeting") for token in said[1:])


_THANKS = frozenset(
    ["thanks", "thank", "you", "thank you", "thx", "ty", "ta", "cheers", "ok", "okay", "all", "mate", "will do", "will", "do", "guys", "lol"]
)


def _fish_fetched(clause: Clause, facts: Facts) -> bool:
    """A breeder fetched is no reservation, and no more is a member ("picked up Ada at 6")."""
    gone = facts.verb_at() >= 0 and clause.tokens[facts.verb_at()].text in ("is gone", "complete", "completed", "done and gone")
    if gone and not clause.having("reservation", "hash", "member"):
        return True  # "the box is gone": nobody's fish were fetched
    if bool(clause.having("fish")) and not clause.having("reservation", "hash", "member"):
        return True
    behind = facts.after(facts.verb_at()) if facts.verb_at() >= 0 else None
    met = behind is not None and behind.kind == "member" and behind.note != "possessive"
    return met and not clause.having("reservation", "hash", "batch", "strain") and not facts.has("fry")


def _set_to(clause: Clause, facts: Facts) -> bool:
    """ "set the heater to 26"."""
    return any(token.text in _SETTING for token in clause.tokens)


_SETTING = ("set", "turned", "raised", "lowered", "adjusted", "adjust", "setting", "thermostat", "dialled", "outside")


def _kept(clause: Clause, facts: Facts) -> bool:
    """ "keeping A in the tub", "keeping f4": nothing is held back."""
    numbered = bool(facts.quantities) or bool(clause.having("batch") and clause.having("sex"))
    return not numbered or bool(clause.having("fish") and not clause.having("batch"))


def _thing_added(clause: Clause, facts: Facts) -> bool:
    """ "added salt to tank 1"."""
    fish = clause.having("sex", "strain", "fish", "batch") or facts.has("fry", "batch_word")
    return bool(clause.having("place")) and not fish


def _thing_of_theirs(clause: Clause, facts: Facts) -> bool:
    """ "new male in the office": no strain, place, label or origin of a fish, and a place that is none of the club's."""
    told = clause.having("strain", "profile", "place", "fish", "number", "batch", "hash") or any(token.text == "from" for token in clause.tokens)
    strange = any(
        (token.has("thing") or (token.kind == "word" and not token.means)) and facts.before(n) in ("in", "at", "on", "for", "to")
        for n, token in enumerate(clause.tokens)
    )
    return not told and strange


def _fed_others(clause: Clause, facts: Facts) -> bool:
    """ "fed the neighbours", "feeding times"."""
    following = clause.tokens[facts.verb_at() + 1 : facts.verb_at() + 2]
    if clause.tokens[facts.verb_at()].text == "feeding" and any(token.kind == "word" and not token.means for token in following):
        return True
    return not clause.having("batch", "place", "fish", "strain") and bool(facts.unknown_words())


def _at_it(clause: Clause, facts: Facts) -> bool:
    """ "rook is at it again": only of two is it spawning."""
    return clause.tokens[facts.verb_at()].text.startswith("at it") and len(clause.having("fish")) < 2


def _listing(clause: Clause, facts: Facts) -> bool:
    """ "list females" asks to see them."""
    return clause.tokens[facts.verb_at()].text == "list" and not clause.having("batch", "strain", "number")


_FIGURES: Mapping[str, tuple[Figure, ...]] = {
    "spawn": (_at_it,),
    "hold": (_mouth,),
    "lose_brood": (_mouth,),
    "release": (_mouth,),
    "leave": (_given_something,),
    "offer": (_listing,),
    "die": (_lost_match, _anothers),
    "lose": (_lost_match, _lost_in, _anothers, _number_of_things),
    "count": (_number_of_things, _counted_to),
    "split": (_split_thing,),
    "note": (_only_thanks,),
    "cancel": (_dropped,),
    "collected": (_fish_fetched,),
    "test": (_set_to,),
    "hold_back": (_kept,),
    "join": (_thing_added, _thing_of_theirs),
    "feed": (_fed_others,),
}
