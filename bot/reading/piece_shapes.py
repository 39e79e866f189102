"""What a piece of a sentence is by its shape: "the rest to the tub", "she's in qt", "12 labs joined", "Oleg wants 3"."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bot.reading.pieces import Clause
from bot.reading.tokens import Token


def come_in(inner: Sequence[Token]) -> bool:
    """ "12 yellow labs joined": fish of a strain came; no batches were put together."""
    kinds = {token.kind for token in inner}
    return {"number", "strain"} <= kinds and not kinds & {"batch", "fish"} and any(token.text.endswith("joined") for token in inner)


def out_of_a_mouth(inner: Sequence[Token]) -> bool:
    """ "got 24 fry out of f6": no fish came, a mouth was emptied."""
    fish = next((n for n, token in enumerate(inner) if token.kind == "fish"), 0)
    got = any(token.text == "got" for token in inner[:fish])
    return got and any(token.kind == "number" for token in inner[:fish]) and inner[fish - 1].text in ("of", "from") and not any(
        token.kind in ("place", "sex", "strain") for token in inner[:fish]
    )


def held_for_someone(inner: Sequence[Token]) -> bool:
    """ "hold 6 C for Priya": no mouth is meant."""
    kinds = {token.kind for token in inner}
    word = any(token.text in ("hold", "holding") for token in inner)
    someone = any(a.text == "for" and (b.kind == "member" or b.text in ("me", "us")) for a, b in itertools.pairwise(inner))
    return word and someone and "number" in kinds and bool(kinds & {"batch", "strain"}) and "fish" not in kinds


def is_of_herself(inner: Sequence[Token]) -> bool:
    """ "(stripped f6, 24 fry,) she's in qt", "her to qt": where she is, not where the fry went."""
    named = any(token.kind in ("fish", "batch", "number") for token in inner)
    placed = any(token.kind == "place" for token in inner)
    hers = [n for n, token in enumerate(inner) if token.text in ("she", "shes", "her", "he", "hes", "him", "herself")]
    return placed and not named and any(n + 1 < len(inner) and not inner[n + 1].has("fry", "brood_word", "egg") for n in hers)


def aims_at_place(inner: Sequence[Token]) -> bool:
    """ "(culled 2 in C,) the rest to the tub": no other place of the verb before."""
    said = [token for token in inner if token.text not in ("the", "our", "my") and token.kind != "punct"]
    going = [n for n, token in enumerate(said) if token.kind == "place" and n > 1 and said[n - 1].text in ("to", "into", "onto")]
    return any(not said[n - 2].has("filler") or said[n - 2].has("vague", "all", "bare_pronoun", "he", "they") for n in going)


def of_somebody_else(inner: Sequence[Token]) -> bool:
    """ "(offering A at 5,) Oleg wants 3": its number is of another's wish or plan."""
    return any(token.kind in ("member", "fish", "batch", "reservation", "hash") for token in inner) and any(
        token.has("plan") for token in inner
    )


def only_of_things(inner: Sequence[Token]) -> bool:
    """ "(dot spawned mon, holding since tues,) so tired now": it takes nothing from what was told before."""
    return any(token.has("thing") for token in inner) and all(token.kind in ("word", "punct") for token in inner)


def only_looked_at(inner: Sequence[Token]) -> bool:
    """ "checked f6 yesterday(, still has a mouthful)": whom the next piece is about."""
    return any(token.has("checked") for token in inner) and any(token.kind == "fish" for token in inner)


def another_arrives(inner: Sequence[Token], last: Clause) -> bool:
    """ "(fed E,) new male saulosi into qt": a fish that comes, and no part of what was told before."""
    told = any(token.kind == "strain" for token in inner)
    told = told or any(token.text.partition(" ")[0] in ("new", "a", "bought", "added") and token.kind == "word" for token in inner)
    if last.verb == "join":
        return bool(last.having("strain")) and any(token.kind == "strain" for token in inner)
    return told and any(token.kind in ("sex", "strain") for token in inner)
