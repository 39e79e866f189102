"""Females that hold eggs: since when, still, and when a number may be so many of them instead of a label."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.kinds_fish import females, mate_of
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Quantity, Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish, Spot


def holding(facts: Facts) -> list[Partial]:
    """Holding since a day; "still holding" confirms one already recorded; "holding 5 of C for Tomek" is no fish's doing."""
    labels = [quantity for quantity in facts.free() if quantity.bare and facts.before(quantity.at) not in ("with", "x", "by")]
    mates = facts.where("fish")
    verb = facts.verb_at()
    if verb >= 0 and facts.tokens[verb].text == "hold" and all(n > verb for n in mates):
        facts.used.update(range(len(facts.tokens)))
        return [Partial("holding", {}, [Trouble("female", "uncertain", facts.tokens[n].text) for n in mates[:1]] or [Trouble("female")])]
    numbers = [quantity for quantity in labels if _may_be_so_many(facts, quantity)]
    ladies = [_so_many(facts, quantity) for quantity in numbers[:1]] or females(facts, labels)
    male = mate_of(facts) if any(not isinstance(lady, Trouble) for lady in ladies) or not mates else None
    for n in facts.where("fish"):
        fish = facts.tokens[n].value
        if isinstance(fish, Fish) and fish.sex == "male" and n not in facts.used:
            facts.used.add(n)
            ladies = [Trouble("female", "impossible", facts.tokens[n].text)]
    partials = [_held(facts, lady, male) for lady in ladies]
    day = facts.day("past")
    at = facts.clock()
    for partial in partials:
        partial.put("at", at)
        if any(trouble.slot == "on" for trouble in partial.troubles) and day is not None:
            partial.troubles = [trouble for trouble in partial.troubles if trouble.slot != "on"]
            partial.kind = "holding"
        if not any(trouble.slot == "on" for trouble in partial.troubles):
            partial.put("on", day if isinstance(day, Trouble) else (day or facts.scene.now.date()).isoformat())
        if partial.kind == "still_holding" and day is not None and any(token.text == "since" for token in facts.tokens):
            partial.kind = "holding"
    return partials


_HAVING = frozenset(["have", "has", "got", "ive", "weve", "theres", "there are", "are", "only", "all", "total", "of", "another", "more"])


def _may_be_so_many(facts: Facts, quantity: Quantity) -> bool:
    """ "we have 3 holding", "tank 2: 2 holding": a number of females as well as a label; "4 is holding" is a label."""
    following = facts.tokens[quantity.end].text if quantity.end < len(facts.tokens) else ""
    behind = facts.tokens[quantity.end] if quantity.end < len(facts.tokens) else None
    if behind is not None and behind.kind == "word" and not behind.means and quantity.at > facts.verb_at():
        return True  # "5 more sleeps"
    if following in ("is", "was", "has", "still") or facts.where("fish"):
        return False
    return facts.before(quantity.at) in _HAVING or bool(facts.where("place")) or bool(quantity.why)


def _so_many(facts: Facts, quantity: Quantity) -> str | Trouble:
    for n in facts.where("place"):
        facts.used.add(n)
    return Trouble("female", "ambiguous", facts.use(quantity).said)


def elsewhere(facts: Facts, partials: Sequence[Partial]) -> None:
    """ "tank 2 female 2 holding", where the book has female 2 in tank 1: perhaps another is meant, which is asked."""
    spots = [token.value.name for n, token in enumerate(facts.tokens) if isinstance(token.value, Spot) and facts.before(n) not in _AWAY]
    place = spots[0] if len(spots) == 1 else None
    for partial in partials if place in facts.names.places else ():
        for sex in ("female", "male") if partial.kind in ("holding", "still_holding", "spawned") else ():
            row = facts.names.fish(sex).get(str(partial.slots.get(sex)), {})
            if row.get("place", place) != place:
                label = str(partial.slots.pop(sex))
                partial.put(sex, Trouble(sex, "elsewhere", label, (label, *facts.names.fish_of(sex, None, place))))


_AWAY = ("to", "into", "from", "out of", "->", "→")
_FATHER = re.compile(
    r"^(?:and )?(?:.+?(?: is|s)?(?: the| her)? (?:father|dad|sire|daddy)|(?:the )?(?:father|dad|sire|daddy)(?: is| was|s| :| =)? .+)$"
)


def father_told(tokens: Sequence[Token], last: Partial | None, scene: Scene) -> bool:
    """ "f5 holding! m2 is the father": the male of the brood just told of, which then has him; whether it was that."""
    told = [token for token in tokens if token.kind != "punct" and not token.has("greeting")]
    males = [token.value for token in told if isinstance(token.value, Fish) and token.value.sex == "male"]
    plain = sum(token.kind == "fish" for token in told) == len(males) == 1 and len(told) <= 5
    if last is None or last.kind not in ("holding", "spawned") or "male" in last.slots or not plain:
        return False
    if not _FATHER.match(" ".join(token.text for token in told)):
        return False
    last.put("male", Facts(Clause(list(tokens)), scene).known("male", males[0].label))
    return True


def _held(facts: Facts, lady: str | Trouble, male: str | Trouble | None) -> Partial:
    recorded = not isinstance(lady, Trouble) and bool(facts.names.females[lady].get("holding_since"))
    still = male is None and (facts.has("still") or (facts.has("checked") and recorded))
    partial = Partial("still_holding" if still else "holding")
    partial.put("female", lady)
    partial.put("male", male)
    if still and not isinstance(lady, Trouble) and not recorded:
        partial.kind = "holding"
        partial.put("on", Trouble("on", "missing", ""))
    return partial
