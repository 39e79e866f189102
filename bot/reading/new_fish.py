"""The first fish of a strain, told of in one's own words: "3 rusty females and a male for tank 1", "tank 2 has 20 young labs".

Without a verb that says so, fish are taken to have come only where the book knows none of their strain and sex yet, and only if every
word of the sentence has its part in it; everything else is left to the others.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from bot.reading.facts import Facts
from bot.reading.naming import is_name
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from core import units

_LEADING = frozenset([
    "in", "into", "to", "for", "all", "and", "a", "an", "the", "of", "with", "plus", "there", "are", "is", "has", "have", "ive", "got", "get",
    "i", "we", "me", "new", "adult", "grown", "breeding", "some", "they", "put", "put in", "are in", "moved", "moved in", "moved to", "both",
    "now", "please", "also", "came", "came in", "joined", "arrived", "&", "+", ",", ":", "-", "bought", "someone", "somebody", "gave", "given",
    "here", "my", "our", "young", "holds", "theres", "one", "went", "went in", "went into", "live", "lives", "live in", "swim", "swim in", "fish",
    "colony", "group", "harem", "bag", "lot", "houses", "contains", "home to", "home", "living", "swimming", "currently", "stocked", "have got",
    "called", "named", "is called", "(", ")", "/", ";", "picked up", "brought home", "adults", "breeders", "total", "being", "which", "who", "her",
    "keep", "keeping", "just", "only", "we keep",
])  # fmt: skip
_LONGEST_SOURCE = 4
_ENDS = frozenset(["number", "length", "place", "strain", "profile", "sex", "day", "litres", "count"])
_OVER = frozenset([",", ";", ":", ".", "in", "into", "to", "and", "for"])
_ARTICLES = frozenset(["the", "a", "an", "my", "our"])
_MOST = 60
"""More breeders of one sex are not believed."""


@dataclass(slots=True)
class _Group:
    """Breeders of one sex: how many, or by what names."""

    sex: str
    count: int | None
    names: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the sentence names."""

    groups: tuple[_Group, ...]
    strain: str
    place: str | Trouble
    young: int | None
    mm: int | None
    day: date | Trouble | None


def new_fish(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The fish that the sentence says are there, or None."""
    told, giver = _given(tokens)
    told, born = _without_birth(told, scene)
    rest, source = without_source(told, scene)
    source = source or giver
    rest, letters = _without_label(rest, scene)
    if source and rest and rest[0].kind == "sex" and not rest[0].text.endswith("s"):  # "male lab from Drew into tank 1"
        rest = [Token("number", "1", rest[0].start, rest[0].start, 1), *rest]
    seen = _seen(rest, scene, young=bool(letters or giver is not None))
    if seen is None or (re.search(r"\bmoved\b(?! in)", flat) or re.search(r"\bgave\b(?! (?:me|us)\b)", flat)):
        return None
    if source is None and giver is None and any(row.get("strain") == seen.strain for row in scene.names.batches.values()):
        return None
    on = seen.day if isinstance(seen.day, Trouble) else (seen.day or scene.now.date()).isoformat()
    if seen.young is not None:
        partial = Partial("batch_joined", {"strain": seen.strain, "count": seen.young})
        partial.put("on", on)
        partial.put("to", seen.place)
        partial.put("approx", True if any(token.has("approx") and rest[n + 1].kind == "number" for n, token in enumerate(rest[:-1])) else None)
        partial.put("mean_mm", seen.mm)
        partial.put("origin", source or None)
        partial.put("batch", letters)
        partial.put("born", born)
        return [partial]
    if letters or born:
        return None
    found = []
    for group in seen.groups:
        kept = scene.names.females if group.sex == "female" else scene.names.males
        if any(row.get("strain") == seen.strain for row in kept.values()):
            return None
        for name in group.names or [""]:
            partial = Partial("joined", {"sex": group.sex, "strain": seen.strain})
            partial.put("on", on)
            partial.put("to", seen.place)
            partial.put("count", group.count if not name and group.count != 1 else None)
            partial.put("nickname", name or None)
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
    tokens = [token for n, token in enumerate(tokens) if not (token.text == "on" and n and tokens[n - 1].text in ("born", "hatched"))]
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
    while ends < len(tokens) and ends - begins <= _LONGEST_SOURCE and tokens[ends].kind not in _ENDS:
        elsewhere = tokens[ends].text == "in" and ends + 1 < len(tokens) and tokens[ends + 1].kind == "word" and not tokens[ends + 1].means
        if tokens[ends].text in _OVER and not elsewhere:  # "from a breeder in town"
            break
        ends += 1
    named = [token for token in tokens[begins + 1 : ends] if token.text not in _ARTICLES]
    if not named:
        return list(tokens), None
    if all(token.kind == "member" for token in named):
        return [*tokens[:begins], *tokens[ends:]], str(named[0].value)
    return [*tokens[:begins], *tokens[ends:]], scene.text[named[0].start : named[-1].end].strip()


def _seen(tokens: Sequence[Token], scene: Scene, young: bool = False) -> _Seen | None:
    """What the words name; None where one of them has no part in it, or the numbers do not agree."""
    told = _Telling(scene, young)
    for n, token in enumerate(tokens):
        if not told.takes(tokens, n, token):
            return None
    return told.seen()


@dataclass(slots=True)
class _Telling:
    """Reads token by token; a number waits for what it counts."""

    scene: Scene
    young: bool
    groups: list[_Group] = field(default_factory=list)
    strains: set[str] = field(default_factory=set)
    places: list[str | Trouble] = field(default_factory=list)
    lengths: list[int] = field(default_factory=list)
    day: date | Trouble | None = None
    waiting: int | None = None
    whole: int | None = None
    """How many there are in all, where that is said before the sexes are: "8 demasoni, 2 male 6 female"."""

    def takes(self, tokens: Sequence[Token], n: int, token: Token) -> bool:
        """Whether the token has its part in telling of fish."""
        match token.kind:
            case "number" if isinstance(token.value, int):
                if self.waiting is not None and (self.whole is not None or not self.strains):
                    return False
                self.whole, self.waiting = (self.waiting if self.waiting is not None else self.whole), token.value
            case "sex" if token.value == "unsexed":
                self.young = True
            case "sex" if token.value in ("female", "male"):
                before = tokens[n - 1].text if n else ""
                count = self.waiting if self.waiting is not None else 1 if before in ("a", "an", "one") else None
                self.waiting = None
                return self._of_sex(str(token.value), count)
            case "suffixed" if isinstance(token.value, tuple) and token.value[1] in "mf" and float(token.value[0]).is_integer():
                self.whole, self.waiting = (self.waiting if self.waiting is not None else self.whole), None
                return self._of_sex({"m": "male", "f": "female"}[token.value[1]], int(token.value[0]))
            case "strain" | "profile":
                self.strains.add(str(token.value))
            case "place":
                self.places.append(Facts(Clause(list(tokens)), self.scene).place(n, "to"))
            case "length" if isinstance(token.value, tuple):
                self.lengths.append(round(units.millimetres(float(token.value[0]), str(token.value[1]))))
            case "day" if self.day is None:
                self.day = Facts(Clause([token]), self.scene).day("past")
            case _ if token.text == "it" and n and tokens[n - 1].text in ("in", "into") and self.places:
                pass
            case _ if token.text in ("it", "there") and n and tokens[n - 1].text in ("in", "into") and self.scene.memory.new_places:
                self.places.append(self.scene.memory.new_places[-1])
            case _ if self.groups and (is_name(token, self.scene) or self._further_name(tokens, n)):
                self.groups[-1].names.append(self.scene.text[token.start : token.end])
            case _ if token.text in _LEADING or token.has("fry", "verb:join", "approx"):
                self.young = self.young or token.has("fry")
            case _:
                return False
        return True

    def _further_name(self, tokens: Sequence[Token], n: int) -> bool:
        """ "Pip, Dot, May and Joy": in a list of names a word with a capital is one, whatever else it means."""
        listed = bool(self.groups[-1].names) and tokens[n - 1].text in (",", "and", "&")
        return listed and tokens[n].kind == "word" and self.scene.text[tokens[n].start].isupper()

    def _of_sex(self, sex: str, count: int | None) -> bool:
        self.groups.append(_Group(sex, count))
        return (count is None or 1 <= count <= _MOST) and len({group.sex for group in self.groups}) == len(self.groups)

    def seen(self) -> _Seen | None:
        """What was told of, all in all."""
        places = list(dict.fromkeys(self.places))
        if len(self.strains) != 1 or len(places) != 1 or len(self.lengths) > 1:
            return None
        grows = (self.young or bool(self.lengths)) and not self.groups
        if grows != (self.waiting is not None) or (self.waiting is not None and self.waiting < 1) or (self.lengths and not grows):
            return None
        if any((group.count or len(group.names)) != (len(group.names) or group.count) for group in self.groups):
            return None
        if any(group.count is None and not group.names for group in self.groups):
            return None
        if self.whole is not None and (grows or self.whole != sum(group.count or len(group.names) for group in self.groups)):
            return None
        mm = self.lengths[0] if self.lengths else None
        return _Seen(tuple(self.groups), self.strains.pop(), places[0], self.waiting if grows else None, mm, self.day)
