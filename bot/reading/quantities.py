"""Numbers with what they count: "3 dead fry", "about 20", "15m", "a few"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.scene import Quantity
from bot.reading.tokens import Token
from bot.reading.walk import Fish

_OTHER_UNITS = frozenset(
    [
        "day",
        "days",
        "week",
        "weeks",
        "wk",
        "wks",
        "month",
        "months",
        "hour",
        "hours",
        "hrs",
        "min",
        "mins",
        "minutes",
        "minute",
        "time",
        "times",
        "year",
        "years",
        "am",
        "pm",
        "people",
        "members",
        "pairs",
        "pair",
        "things",
        "updates",
        "points",
        "items",
        "trio",
        "trios",
    ]
)


_ADVERBS = frozenset(["yet", "already", "exactly", "anyway", "overall", "otherwise", "instead", "afterwards", "thereabouts"])
"""Words behind a number that leave it as it is."""


HEDGES = frozenset(["maybe", "perhaps", "possibly", "probably", "i think", "maybe just", "i reckon", "i guess", "guess", "reckon"])
"""Words of doubt: right at a number, it is the number that is doubted."""
_BOUNDS = re.compile(
    r"(?:^| )(?:over|above|under|below|at least|at most|at minimum|min|minimum|max|maximum|(?:more|less|fewer) than|up to|upwards of|[<>≥≤])$"
)
"""Words that give a number as a bound."""
_TOGETHER = {"pair": 2, "trio": 3, "quartet": 4, "quintet": 5}
_HEARD_AS_WORDS = frozenset(["to", "too", "for"])
"""Words that a telephone writes for "two" and "four"."""


class Counter:
    """Finds the numbers of one clause, `verb` being what the clause is about."""

    def __init__(self, tokens: Sequence[Token], verb: str) -> None:
        self.tokens, self.verb = tokens, verb

    def quantities(self) -> list[Quantity]:
        """The numbers of the clause, in order."""
        found: list[Quantity] = []
        n = 0
        while n < len(self.tokens):
            quantity = self._quantity(n)
            if quantity is None:
                n += 1
            else:
                found.append(quantity)
                n = quantity.end
        return found

    def _quantity(self, n: int) -> Quantity | None:
        token = self.tokens[n]
        match token.kind:
            case "number":
                return self._counted(n, n + 1, token.value, token.note == "approx")
            case "suffixed" if isinstance(token.value, tuple) and token.value[1] in "mf" and not self._is_temperature(n):
                return self._counted(n, n + 1, _whole(token.value[0]), sex={"m": "male", "f": "female"}[token.value[1]])
            case "range" | "fraction":
                return self._counted(n, n + 1, None, why="ambiguous")
            case "fish" if isinstance(token.value, Fish) and token.value.plural:
                return None
            case "word" if token.text in _HEARD_AS_WORDS and self._heard_number(n):
                return self._counted(n, n + 1, None, why="uncertain")
            case "word" if token.text in _TOGETHER and self._of_follows(n):
                return self._counted(n, n + 1, _TOGETHER[token.text])
            case "word" if token.text in ("a", "an") and self._noun_follows(n + 1):
                return self._counted(n, n + 1, 1)
            case "word" if (
                token.has("vague") and not token.has("verb:reserve") and (self._noun_follows(n + 1) or self._of_follows(n))
            ):
                return self._counted(n, n + 1, None, why="ambiguous")
        return None

    def _heard_number(self, n: int) -> bool:
        """ "to dead in the tub": a number may have been said, and was heard as a word."""
        behind = self.tokens[n + 1 : n + 3]
        young = bool(behind) and (behind[0].text in ("dead", "died") or behind[0].has("egg") or behind[0].text in ("fry", "babies"))
        first = all(token.has("filler") and not token.has("verb:move") for token in self.tokens[:n])
        lost = n > 0 and self.tokens[n - 1].has("verb:lose", "verb:die", "verb:cull")
        return young and (first or lost) and not (len(behind) > 1 and behind[1].kind == "place")

    def _is_temperature(self, n: int) -> bool:
        value = self.tokens[n].value
        return self.verb == "test" or (
            isinstance(value, tuple) and value[1] == "f" and value[0] >= 60 and self.verb not in ("sex", "count")
        )

    def _of_follows(self, n: int) -> bool:
        following = self.tokens[n + 1] if n + 1 < len(self.tokens) else None
        return bool(following and following.text == "of" and self.tokens[n].text not in ("lot", "load"))

    def _noun_follows(self, n: int) -> bool:
        first = n
        while n < len(self.tokens) and (self.tokens[n].has("deformed", "live") or self.tokens[n].text in ("new", "more")):
            n += 1
        if n >= len(self.tokens):
            return False
        token = self.tokens[n]
        return (
            token.kind in ("sex", "strain")
            or (n > first and self.tokens[first].has("deformed") and token.text in ("from", "in", "out of", "off"))
            or token.has("fry", "egg")
            or (token.has("verb:die") and not token.text.startswith("died"))
        )

    def _counted(self, at: int, n: int, value: object, approx: bool = False, sex: str | None = None, why: str = "") -> Quantity:
        noun, strain = "", None
        while n < len(self.tokens):
            token = self.tokens[n]
            if token.kind == "sex":
                if sex is not None and sex != token.value:
                    break
                sex = str(token.value)
            elif token.kind == "strain":
                strain = str(token.value)
            elif token.has("egg") and noun in ("", "egg"):
                noun = "egg"
            elif token.has("verb:die") and token.text not in ("died", "has died", "have died", "rip"):
                noun = "dead"
            elif token.has("fry") or token.has("live") or (token.text == "one" and n > at + 1):  # "1 bent one"
                noun = noun or "fry"
            elif (
                token.kind == "batch"
                and n + 1 < len(self.tokens)
                and (self.tokens[n + 1].kind == "sex" or self.tokens[n + 1].has("fry"))
            ):
                pass
            elif not (token.has("deformed") or token.text in ("more", "new", "tiny", "nice", "big", "more")):
                break
            n += 1
        if n < len(self.tokens) and self.tokens[n].text in (
            "or so",
            "odd",
            "ish",
            "give or take",
            "more or less",
            "roughly",
            "approx",
            "approximately",
        ):
            approx, n = True, n + 1
        approx = approx or (at > 0 and self.tokens[at - 1].has("approx") and self.tokens[at - 1].text != "or so")
        why = why or self._bounded(at, n)
        number = value if isinstance(value, (int, float)) else None
        if noun == "dead" and n < len(self.tokens) and self.tokens[n].kind == "word" and not self.tokens[n].means:
            why = "uncertain"
        if not (sex or noun or strain or why) and n < len(self.tokens) and self.tokens[n].kind == "word" and self._odd_unit(n):
            why = "uncertain"
        said = " ".join(token.text for token in self.tokens[at:n])
        spelt = self.tokens[at].note == "spelt" or self.tokens[at].kind == "word"
        return Quantity(at, n, number, sex, noun, strain, approx, why, said, spelt)

    def _bounded(self, at: int, n: int) -> str:
        """Why the number is in doubt: "over 20", "25+", "maybe 25", "20 fry perhaps"."""
        before = " ".join(token.text for token in self.tokens[max(0, at - 2) : at])
        after = self.tokens[n] if n < len(self.tokens) else None
        last = self.tokens[at] if n == at + 1 else None
        tied = after is not None and after.text == "+" and last is not None and after.start == last.end
        behind = self.tokens[n + 1] if n + 1 < len(self.tokens) else None
        if tied and after is not None and (behind is None or behind.kind != "number" or behind.start > after.end):
            return "ambiguous"
        hedged = before.rpartition(" ")[2] in HEDGES or (after is not None and n + 1 == len(self.tokens) and after.text in HEDGES)
        return "ambiguous" if hedged or _BOUNDS.search(before) else ""

    def _odd_unit(self, n: int) -> bool:
        """Whether the word behind a number makes it a number of something else ("2 weeks", "3 times", "4 snails")."""
        token = self.tokens[n]
        return token.text not in _ADVERBS and (
            token.text in _OTHER_UNITS
            or token.has("thing")
            or (not token.means and self.verb not in ("want", "reserve", "join", "offer", "hold"))
        )


def _whole(number: float) -> int | float:
    return int(number) if float(number).is_integer() else number
