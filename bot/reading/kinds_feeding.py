"""Feedings of places and batches, with the grams where they are told."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.kinds_batch import the_batch
from bot.reading.kinds_fish import on_day
from bot.reading.kinds_water import the_places
from bot.reading.partial import Partial, Trouble
from core import units


def fed(facts: Facts) -> list[Partial]:
    """A feeding of places or batches."""
    weights = facts.where("weight")
    facts.used.update(weights)
    order: list[tuple[int, Partial]] = []
    batches, spots = facts.where("batch"), facts.where("place")
    for n in batches:
        facts.used.add(n)
        order.append((n, Partial("fed")))
        order[-1][1].put("batch", facts.known_batch(str(facts.tokens[n].value)))
    if facts.where("strain") and not batches and not _only_breeders(facts, spots):
        order.append((0, _fed_batch(facts)))
    else:
        order.extend((n, _fed_place(facts, facts.place(n, "place"))) for n in spots)
    partials = [partial for _, partial in sorted(order, key=lambda pair: pair[0])]
    everyone = any(
        token.text in ("everyone", "everybody", "everything", "all of them", "the lot") or token.has("all")
        for token in facts.tokens
    )
    if not partials and everyone:
        partials = [Partial("fed", {}, [Trouble("place", "ambiguous", "")])]
    partials = partials or [_fed_place(facts, place) for place in the_places(facts)]
    _so_often(facts)
    _grams(facts, weights, partials)
    on_day(facts, *partials)
    return partials


def _so_often(facts: Facts) -> None:
    """ "fed A 3 times today": one feeding of the day is what the book keeps."""
    for n, token in enumerate(facts.tokens):
        following = facts.after(n)
        if token.kind == "number" and following is not None and following.text == "times":
            facts.used.update((n, n + 1))


def _only_breeders(facts: Facts, spots: list[int]) -> bool:
    """ "fed the labs in tank 1": no young of theirs stand there."""
    strains = {str(facts.tokens[n].value) for n in facts.where("strain")}
    places = facts.place_names()
    young = [letter for place in places for letter in facts.names.batches_in(place)]
    return bool(spots) and bool(places) and not any(facts.names.batches[letter].get("strain") in strains for letter in young)


def _fed_place(facts: Facts, place: str | Trouble) -> Partial:
    partial = Partial("fed")
    batches = facts.scene.memory.batches
    if isinstance(place, Trouble) and place.why == "missing" and batches:
        partial.put("batch", batches[0] if len(batches) == 1 else Trouble("batch", "ambiguous", "", tuple(batches)))
    else:
        partial.put("place", place)
    return partial


def _fed_batch(facts: Facts) -> Partial:
    partial = Partial("fed")
    the_batch(facts, partial)
    return partial


_PORTIONS = ("gram", "grams", "half", "quarter", "pinch", "pinches", "cube", "cubes", "spoon", "spoons", "scoop", "scoops")
"""Amounts of food that no number of grams was given for."""


def _in_turn(facts: Facts, weights: list[int]) -> bool:
    """ "A 2g B 1g": each weight right behind its own."""
    return all(n and facts.tokens[n - 1].kind in ("batch", "place") for n in weights)


def _grams(facts: Facts, weights: list[int], partials: list[Partial]) -> None:
    if not weights:
        loose = [token.text for token in facts.tokens if token.text in _PORTIONS]
        partials[0].put("grams", Trouble("grams", "ambiguous", loose[0]) if loose else None)
        return
    told = facts.tokens[weights[0]].value
    grams = round(units.grams(told[0], told[1]), 1) if isinstance(told, tuple) else 0.0
    if len(weights) == len(partials) > 1 and _in_turn(facts, weights):
        for n, partial in zip(weights, partials, strict=True):
            _grams(facts, [n], [partial])
        return
    for partial in partials:
        clear = len(weights) == 1 and (len(partials) == 1 or facts.has("each"))
        partial.put(
            "grams",
            (int(grams) if grams.is_integer() else grams)
            if clear and 0 < grams < 5000
            else Trouble("grams", "ambiguous", facts.tokens[weights[0]].text),
        )
