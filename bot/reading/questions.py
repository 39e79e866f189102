"""Several questions in one: "where is rook and how many in B?", "how are f4 and f5 doing": each is answered for itself."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.asking import QUESTION_HEAD
from bot.reading.facts import Facts
from bot.reading.partial import Partial
from bot.reading.pieces import ENTITIES, Clause, content, segments
from bot.reading.queries import flatten, query_of
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish

_OF_ONE = frozenset(["status", "where", "history", "ration", "water", "contents", "forecast", "strip_date"])
"""Queries about one fish, batch or place, which may be asked of several at once."""
_JOINED = frozenset(["and", "&", "+", ","])


def queries_of(tokens: Sequence[Token], scene: Scene, asked: bool) -> list[Partial]:
    """The queries that some words make."""
    pieces = segments(tokens)
    for n in range(1, len(pieces)):
        head = [token for piece in pieces[:n] for token in piece]
        tail = content([token for piece in pieces[n:] for token in piece])
        if not QUESTION_HEAD.match(flatten(tail)) or not any(token.kind in (*ENTITIES, "number") for token in (*head, *tail)):
            continue
        first = query_of(head, scene, asked)
        if first is None:
            continue
        _spoken_of(first, scene)
        further = queries_of(tail, scene, asked)
        own = any(token.kind in ENTITIES for token in tail)
        if further and (own or further[0].kind != first.kind):
            return [*_of_each(first, head, scene), *further]
    query = query_of(tokens, scene, asked)
    return _of_each(query, tokens, scene) if query is not None else []


def _spoken_of(partial: Partial, scene: Scene) -> None:
    """ "When is 6 due and where is she": whom the next question is about."""
    memory = scene.memory
    memory.female = str(partial.slots.get("female") or memory.female or "") or None
    memory.male = str(partial.slots.get("male") or memory.male or "") or None
    if partial.slots.get("batch"):
        memory.batches = (str(partial.slots["batch"]),)


def _of_each(partial: Partial, tokens: Sequence[Token], scene: Scene) -> list[Partial]:
    """ "How are f4 and f5 doing": the same of each that is named beside the first."""
    if partial.kind not in _OF_ONE or len(partial.slots) != 1 or partial.troubles:
        return [partial]
    slot, value = next(iter(partial.slots.items()))
    facts = Facts(Clause(list(tokens)), scene)
    found = [partial]
    for n, token in enumerate(tokens):
        if n == 0 or tokens[n - 1].text not in _JOINED or not any(other.kind == token.kind for other in tokens[:n]):
            continue
        other = _named(facts, n, slot)
        if other is not None and other != value:
            again = Partial(partial.kind)
            again.put(slot, other)
            found.append(again)
    return found


def _named(facts: Facts, n: int, slot: str) -> object:
    """What a token names of this kind; None where it names none."""
    token = facts.tokens[n]
    if isinstance(token.value, Fish) and token.value.sex == slot:
        return facts.known(slot, token.value.label)
    if token.kind == "batch" and slot == "batch":
        return facts.known_batch(str(token.value))
    if token.kind == "place" and slot == "place":
        return facts.place(n, "place")
    label = str(token.value)
    return label if token.kind == "number" and slot in ("female", "male") and label in facts.names.fish(slot) else None
