"""Which fish, batch or place a question is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.walk import Fish


@dataclass(frozen=True)
class Question:
    """A piece of a message that asks: its words in one string, and its facts."""

    flat: str
    facts: Facts
    asked: bool


KEYWORDS = frozenset(["history", "status", "forecast", "chart", "graph", "related", "family", "show", "strip", "log", "timeline"])


def the_subject(
    question: Question, kinds: Sequence[str] = ("female", "male", "batch", "place")
) -> list[tuple[str, str | Trouble]]:
    """The fish, batches and places that a question names."""
    facts = question.facts
    found: list[tuple[str, str | Trouble]] = []
    for n, token in enumerate(facts.tokens):
        if isinstance(token.value, Fish) and token.value.sex in kinds:
            found.append((token.value.sex, facts.known(token.value.sex, token.value.label)))
        elif token.kind == "batch" and "batch" in kinds:
            found.append(("batch", facts.known_batch(str(token.value))))
        elif (
            token.kind == "place"
            and "place" in kinds
            and not (token.text == "tank" and facts.before(n) in ("which", "what", "wat"))
        ):
            found.append(("place", facts.place(n, "place")))
    return found or _numbered(question, kinds) or _spoken(question, kinds)


def _numbered(question: Question, kinds: Sequence[str]) -> list[tuple[str, str | Trouble]]:
    facts = question.facts
    sexes = [sex for sex in ("female", "male") if sex in kinds]
    bare = [str(quantity.value) for quantity in facts.free() if quantity.bare]
    bare += [str(facts.tokens[n].value) for n in facts.where("hash")]
    if not sexes or not bare:
        return []
    having = [sex for sex in facts.names.sexes_of(bare[0]) if sex in sexes]
    if len(having) == 1:
        return [(having[0], bare[0])]
    options = tuple(f"{sex} {bare[0]}" for sex in having)
    return [(sexes[0], Trouble(sexes[0], "ambiguous" if options else "unknown", bare[0], options))]


def _spoken(question: Question, kinds: Sequence[str]) -> list[tuple[str, str | Trouble]]:
    """ "her", "that batch": the one spoken of last, in this message or before it."""
    facts, memory, context = question.facts, question.facts.scene.memory, question.facts.scene.context
    choices = [
        ("female", "bare_pronoun", memory.female or context.female),
        ("male", "he", memory.male or context.male),
        ("batch", "they", (memory.batches[-1] if memory.batches else None) or context.batch),
        ("female", "they", memory.female or context.female),
    ]
    for kind, word, value in choices:
        if kind in kinds and value and facts.has(word):
            if value not in (memory.female, memory.male, *memory.batches):
                memory.taken.append(f"{kind} {value}")
            return [(kind, value)]
    if "batch" in kinds and facts.where("strain") and (facts.has("fry", "batch_word") or "female" not in kinds):
        found = facts.batch_like()
        return [("batch", found)] if found is not None else []
    return []


def unknown_subject(partial: Partial, slot: str, word: str) -> Partial | None:
    """The query with a word that names nothing here in the way."""
    if word in ("history", "status", "forecast", "chart", "related", "family"):
        return None
    partial.put(slot, Trouble(slot, "unknown", word))
    return partial
