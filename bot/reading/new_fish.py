"""The first fish of a strain, told of in one's own words: "3 rusty females and a male for tank 1", "tank 2 has 20 young labs".

Without a verb that says so, fish are taken to have come only where the book knows none of their strain and sex yet, and only if every
word of the sentence has its part in it; everything else is left to the others.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Spot
from core import units

_LEADING = frozenset([
    "in", "into", "to", "for", "all", "and", "a", "an", "the", "of", "with", "plus", "there", "are", "is", "has", "have", "ive", "got", "get",
    "i", "we", "me", "new", "adult", "grown", "breeding", "some", "they", "put", "put in", "are in", "moved", "moved in", "moved to", "both",
    "now", "please", "also", "came", "came in", "joined", "arrived", "&", "+", ",", ":", "-", "bought", "someone", "somebody", "gave", "given",
    "here", "my", "our", "young", "holds", "theres", "one", "went", "went in", "went into", "live", "lives", "live in", "swim", "swim in", "fish",
])  # fmt: skip
_LONGEST_SOURCE = 4
_ENDS = frozenset(["number", "length", "place", "strain", "profile", "sex", "day", "litres", "count"])
_OVER = frozenset([",", ";", ":", ".", "in", "into", "to", "and", "for"])
_ARTICLES = frozenset(["the", "a", "an", "my", "our"])
_MOST = 60
"""More breeders of one sex are not believed."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the sentence names."""

    sexes: tuple[tuple[str, int], ...]
    strain: str
    place: str | None
    young: int | None
    mm: int | None


def new_fish(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The fish that the sentence says are there, or None."""
    told, giver = _given(tokens)
    told, born = _without_birth(told, scene)
    rest, source = without_source(told, scene)
    source = source or giver
    rest, letters = _without_label(rest, scene)
    seen = _seen(rest, young=bool(letters or giver is not None))
    if seen is None or (re.search(r"\bmoved\b(?! in)", flat) or re.search(r"\bgave\b(?! (?:me|us)\b)", flat)):
        return None
    if source is None and giver is None and any(row.get("strain") == seen.strain for row in scene.names.batches.values()):
        return None
    on = scene.now.date().isoformat()
    if seen.young is not None:
        partial = Partial("batch_joined", {"strain": seen.strain, "count": seen.young, "on": on})
        partial.put("to", seen.place)
        partial.put("mean_mm", seen.mm)
        partial.put("origin", source or None)
        partial.put("batch", letters)
        partial.put("born", born)
        return [partial]
    if letters or born:
        return None
    found = []
    for sex, count in seen.sexes:
        kept = scene.names.females if sex == "female" else scene.names.males
        if any(row.get("strain") == seen.strain for row in kept.values()):
            return None
        partial = Partial("joined", {"sex": sex, "strain": seen.strain, "on": on})
        partial.put("to", seen.place)
        partial.put("count", count if count > 1 else None)
        partial.put("origin", source or None)
        found.append(partial)
    return found or None


def _given(tokens: Sequence[Token]) -> tuple[list[Token], str | None]:
    """The sentence without "Drew gave me", and who gave: "" where the words do not say; None where nothing was given."""
    texts = [token.text for token in tokens[:4]]
    at = next((n for n in (1, 2) if texts[n : n + 1] == ["gave"] and texts[n + 1 : n + 2] in (["me"], ["us"])), None)
    if at is None:
        return list(tokens), None
    if at == 1 and tokens[0].kind == "member":
        return list(tokens[2 + at :]), str(tokens[0].value)
    unsaid = texts[:at] in (["someone"], ["somebody"], ["a", "friend"])
    return (list(tokens[2 + at :]), "") if unsaid else (list(tokens), None)


def _without_birth(tokens: list[Token], scene: Scene) -> tuple[list[Token], str | Trouble | None]:
    """The sentence without "born 3 may", and that day."""
    at = next((n for n, token in enumerate(tokens[:-1]) if token.text in ("born", "hatched") and tokens[n + 1].kind == "day"), None)
    if at is None:
        return tokens, None
    born = Facts(Clause(tokens[at : at + 2]), scene).day("past", "born")
    return [*tokens[:at], *tokens[at + 2 :]], born.isoformat() if isinstance(born, date) else born


def _without_label(tokens: list[Token], scene: Scene) -> tuple[list[Token], str | None]:
    """The sentence without the letter of a batch that is not there yet: "batch A: 22 saulosi …"."""
    first = tokens[0] if tokens else None
    if first is None or first.kind != "batch" or first.value in scene.names.batches:
        return tokens, None
    return tokens[1:], str(first.value)


def without_source(tokens: Sequence[Token], scene: Scene) -> tuple[list[Token], str | None]:
    """The sentence without "from the auction" or "from Finn's friend", and whom or what it names, as it was written."""
    begins = next((n for n, token in enumerate(tokens) if token.text == "from"), None)
    if begins is None:
        return list(tokens), None
    ends = begins + 1
    while ends < len(tokens) and ends - begins <= _LONGEST_SOURCE and tokens[ends].kind not in _ENDS and tokens[ends].text not in _OVER:
        ends += 1
    named = [token for token in tokens[begins + 1 : ends] if token.text not in _ARTICLES]
    if not named:
        return list(tokens), None
    if all(token.kind == "member" for token in named):
        return [*tokens[:begins], *tokens[ends:]], str(named[0].value)
    return [*tokens[:begins], *tokens[ends:]], scene.text[named[0].start : named[-1].end].strip()


def _seen(tokens: Sequence[Token], young: bool = False) -> _Seen | None:
    sexes: list[tuple[str, int]] = []
    strains: set[str] = set()
    places: set[str] = set()
    lengths: list[int] = []
    waiting: int | None = None
    for n, token in enumerate(tokens):
        match token.kind:
            case "number" if isinstance(token.value, int) and waiting is None:
                waiting = token.value
            case "sex" if token.value == "unsexed":
                young = True
            case "sex" if token.value in ("female", "male"):
                count = waiting if waiting is not None else 1 if n and tokens[n - 1].text in ("a", "an", "one") else None
                if count is None or not 1 <= count <= _MOST:
                    return None
                sexes.append((str(token.value), count))
                waiting = None
            case "strain" | "profile":
                strains.add(str(token.value))
            case "place" if isinstance(token.value, Spot) and token.value.name:
                places.add(token.value.name)
            case "length" if isinstance(token.value, tuple):
                lengths.append(round(units.millimetres(float(token.value[0]), str(token.value[1]))))
            case _ if token.text in _LEADING or token.has("fry"):
                young = young or token.has("fry")
            case _:
                return None
    if len(strains) != 1 or len(places) != 1 or len(lengths) > 1 or len({sex for sex, _ in sexes}) < len(sexes):
        return None
    grows = (young or bool(lengths)) and not sexes
    if not grows and (waiting is not None or lengths):
        return None
    if grows and (waiting is None or waiting < 1):
        return None
    return _Seen(tuple(sexes), strains.pop(), places.pop(), waiting if grows else None, lengths[0] if lengths else None)
