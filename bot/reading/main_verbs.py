"""The verb that says what happened, where a piece of a sentence has several, and when an everyday word counts as one."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.pieces import ENTITIES, is_weak, verb_of
from bot.reading.tokens import Token
from bot.reading.verb_tables import RANK


def main_verb(inner: Sequence[Token]) -> tuple[str, str]:
    """The verb that says what happened, and its form; strong verbs before weak ones, the first of each."""
    found = [(token, verb) for token in inner if (verb := verb_of(token))]
    strong = [pair for pair in found if not is_weak(pair[0])]
    ranked = sorted(strong, key=lambda pair: RANK.get(pair[1], 5)) or [pair for pair in found if _weak_counts(pair, inner)]
    if not ranked:
        return "", "done"
    token, verb = ranked[0]
    return verb, "done" if token.has("form:done") else "base"


def _weak_counts(pair: tuple[Token, str], inner: Sequence[Token]) -> bool:
    token, verb = pair
    kinds = {other.kind for other in inner}
    match verb:
        case "move":
            return "place" in kinds and bool(
                kinds & {"fish", "batch", "number", "strain"}
                or any(other.has("fry", "they", "he", "bare_pronoun") for other in inner)
            )
        case "join":
            return bool(
                kinds & {"sex", "strain", "fish"} or any(other.has("batch_word") or other.text == "fry" for other in inner)
            )
        case "leave" | "feed" | "collected":
            return bool(kinds & {"fish", "batch", "place", "reservation", "hash", "member"})
        case "confirm" | "note" | "hold":
            return bool(kinds & {"reservation", "hash"}) if verb == "confirm" else verb == "note" and inner[0] is token
        case _:
            return bool(kinds & set(ENTITIES)) or token.text == "holding"
