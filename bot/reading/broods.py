"""What happens to a female's young and not to herself: "f6's fry died", "moved Dot's babies to box 2"; which batch they are is asked."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble

_YOUNG_ALONE = ("moved", "died", "left")
"""Kinds that would be told of herself otherwise."""


def of_her_young(facts: Facts, partials: Sequence[Partial]) -> list[Partial]:
    """The items of a clause; where it tells of the young of a fish, the question which batch that is."""
    if not any(_owns_young(facts, n) for n in facts.where("fish")):
        return list(partials)
    return [_of_a_batch(partial) if partial.kind in _YOUNG_ALONE else partial for partial in partials]


def _owns_young(facts: Facts, n: int) -> bool:
    behind = [token for token in facts.tokens[n + 1 : n + 6] if token.text not in ("'", "’", "s", "little", "new", "old", "last")]
    young = bool(behind) and behind[0].has("fry", "egg", "brood_word", "batch_word")
    return young and behind[0].text not in ("them", "it", "lot", "everything", "ones", "fish")


def _of_a_batch(partial: Partial) -> Partial:
    slots = {slot: value for slot, value in partial.slots.items() if slot not in ("female", "male", "batch")}
    troubles = [trouble for trouble in partial.troubles if trouble.slot not in ("female", "male")]
    return Partial(partial.kind, slots, [Trouble("batch"), *troubles])
