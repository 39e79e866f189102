"""A fish of our own batch that becomes a breeder: "one of the held back females of A is now female 6 in tank 1"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.kinds_fish import on_day
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish

_BECOMES = frozenset(["as", "is", "is now", "now", "becomes", "became", "becoming", "to be", "called", "label"])
_OUT_OF = frozenset(["of", "from", "out of", "off", "batch"])


def grown_on(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The breeder that leaves its batch under a label of its own; None where no single fish is told of so."""
    fish = [(n, token.value) for n, token in enumerate(tokens) if isinstance(token.value, Fish)]
    batches = [n for n, token in enumerate(tokens) if token.kind == "batch"]
    if len(fish) != 1 or len(batches) != 1 or any(token.has("negation", "plan", "condition", "hedge", "hearsay") for token in tokens):
        return None
    at, breeder = fish[0]
    if breeder.named or not 0 < batches[0] < at or tokens[at - 1].text not in _BECOMES or tokens[batches[0] - 1].text not in _OUT_OF:
        return None
    if not _one_fish(tokens, at, breeder.sex):
        return None
    facts = Facts(Clause(list(tokens), "join"), scene)
    partial = Partial("joined", {"sex": breeder.sex})
    taken = breeder.label in scene.names.fish(breeder.sex)
    partial.put("label", Trouble("label", "taken", breeder.label) if taken else breeder.label)
    letters = facts.known_batch(str(tokens[batches[0]].value))
    partial.put("from_batch", Trouble("batch", "unknown", letters.value) if isinstance(letters, Trouble) else letters)
    partial.put("to", facts.destination())
    on_day(facts, partial)
    return [partial]


def _one_fish(tokens: Sequence[Token], at: int, sex: str) -> bool:
    """Whether one fish is meant, of the sex that its label says."""
    sexes = {token.value for n, token in enumerate(tokens) if token.kind == "sex" and n != at}
    numbers = [token.value for token in tokens if token.kind in ("number", "suffixed", "range", "percent")]
    return sexes <= {sex, "unsexed"} and numbers in ([], [1])
