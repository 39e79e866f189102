"""What a piece without a subject or a verb of its own carries on of the clause before: "… but f3 is", "…, now 30", "…, sold him sunday"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.pieces import Clause
from bot.reading.tokens import Token


def only_wished(last: Clause) -> bool:
    """ "I'd love to reserve 4 of C, pickup friday": the pickup of what was not reserved."""
    fish = last.having("number") and last.having("batch", "strain")
    return last.talk and (last.verb in ("reserve", "want") or (not last.verb and bool(fish)))


def does_so(inner: Sequence[Token]) -> bool:
    """ "(dot isn't holding) but f3 is": what was denied of one is said of another."""
    beside = ("now", "already", "though", "definitely", "since", "on")
    said = [token for token in inner if token.kind not in ("punct", "day") and token.text not in beside]
    return len(said) == 2 and said[0].kind == "fish" and said[1].text in ("is", "are", "has", "have", "did", "does")


def another_brood(inner: Sequence[Token]) -> bool:
    """ "…, f4 20 fry to box 2" behind a stripping: a second mouth emptied."""
    kinds = [token.kind for token in inner]
    return kinds.count("fish") == 1 and "number" in kinds and kinds.index("fish") < kinds.index("number")


def now_stands(inner: Sequence[Token]) -> bool:
    """ "B 2 dead, now 30": what is left of the batch spoken of."""
    said = [token for token in inner if token.kind != "punct"]
    return (
        len(said) in (2, 3)
        and said[0].text in ("now", "leaving", "leaves", "down to")
        and said[1].kind == "number"
        and all(token.text in ("left", "now") or token.has("fry") for token in said[2:])
    )


def only_pronoun(inner: Sequence[Token]) -> bool:
    """ "…, moved her this morning", "…, sold him sunday": no more of what was told."""
    named = any(token.kind in ("place", "number", "strain", "sex", "member") for token in inner)
    return not named and any(token.has("bare_pronoun", "he", "they") for token in inner)


def stands_in_a_place(inner: list[Token], last: Clause) -> bool:
    """ "1 dead in box 2" tells of a place; "22 fry 1 dead into box 2" after a stripping says where the fry went."""
    if last.having("place"):
        return any(token.kind == "place" for token in inner)
    before = {n: inner[n - 1].text if n else "" for n, token in enumerate(inner) if token.kind == "place"}
    return any(word not in ("to", "into") for word in before.values())


def is_the_same(verb: str, last: Clause, numbered: bool) -> bool:
    """ "biscuit and m2 did the deed, spawned on the 11th"; "26 in C, I counted them"."""
    if verb == "count" and last.verb == "perhaps_count":
        return not numbered
    return verb == last.verb == "spawn" and not last.having("day")


def confirms_a_count(piece: Sequence[Token], last: Clause) -> bool:
    """ "(26 in C,) I counted them": what may have been a count was one."""
    return last.verb == "perhaps_count" and any(token.has("verb:count") for token in piece)


def begins_anew(inner: Sequence[Token], verb: str, last: Clause) -> bool:
    """ "f3 holding since the 12th, 8 still holding"; "reserve 2 labs, wanted: 3 saulosi"."""
    if verb == last.verb == "hold":
        return any(token.has("still") for token in inner)
    return verb == "want" and last.verb == "reserve" and another_strain(inner, last)


def another_strain(inner: Sequence[Token], last: Clause) -> bool:
    """Whether a piece names a strain, and the clause before it another one."""
    strains = [{token.value for token in tokens if token.kind == "strain"} for tokens in (inner, last.tokens)]
    return bool(strains[0] and strains[1]) and not strains[0] & strains[1]
