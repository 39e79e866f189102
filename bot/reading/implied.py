"""What is told without a verb: water values, lengths, a fish going to a place, a number standing at a batch."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from bot.reading.tokens import Token
from bot.reading.vocabulary import ordinary_words
from bot.reading.walk import Fish

WATER = ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")
STANDS_AT = ("now", "total of", "total", "=", ":", "is", "are", "left", "currently", "has", "have")


def implied_verb(inner: Sequence[Token]) -> str | None:
    """What is told without a verb: water values, lengths, "f4 to tank 2", "B now 30", "30 % tank 1", "A 15m 20f"."""
    kinds = [token.kind for token in inner]
    return next((verb for rule in _RULES if (verb := rule(inner, kinds))), None)


Rule = Callable[[Sequence[Token], list[str]], "str | None"]


def _new_batch(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "a batch of 12 labs", "new batch: 15 labs"."""
    of_many = any(
        token.has("batch_word") and n + 2 < len(inner) and inner[n + 1].text == "of" and inner[n + 2].kind == "number"
        for n, token in enumerate(inner)
    )
    announced = any(token.text == "new batch" for token in inner) and "number" in kinds
    return "join" if of_many or (announced and ("strain" in kinds or "profile" in kinds)) else None


def _values(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """Water values, and lengths of a batch."""
    if any(token.has(*WATER) for token in inner) or "temp" in kinds or _bare_temperature(inner):
        return "test"
    several = kinds.count("length") > 1 or any(token.has("fry", "mean") for token in inner)
    at_a_place = "place" in kinds and several and not {"volume", "sex", "strain", "profile", "fish"} & set(kinds)
    alone = any(token.has("mean") for token in inner) and "number" in kinds
    of_a_strain = "strain" in kinds and "sex" not in kinds and any(token.has("fry") for token in inner)
    return "measure" if "length" in kinds and ("batch" in kinds or at_a_place or alone or of_a_strain) else None


def _going(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "f4 to tank 2", "f4 in tank 2 now"."""
    texts = [token.text for token in inner]
    stands = (
        ("fish" in kinds or any(token.has("bare_pronoun", "he") for token in inner))
        and bool({"now", "back", "home", "back home"} & set(texts))
        and any(kind == "place" and texts[n - 1] in ("in", "is in") for n, kind in enumerate(kinds) if n)
    )
    return "move" if goes_to_place(inner) or stands or _stranger_goes(inner) else None


def _stranger_goes(inner: Sequence[Token]) -> bool:
    """ "Waffles to qt": a name that no fish of the club has goes to a place."""
    said = [token for token in inner if token.kind not in ("punct", "day") and token.text not in ("now", "the", "our", "my")]
    if len(said) != 3 or said[1].text not in ("to", "into", "->", "→") or said[2].kind != "place":
        return False
    return said[0].kind == "word" and not said[0].means and said[0].text not in ordinary_words()


def _since(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "f2 since friday": there is one thing that a female does since a day."""
    plain = all(token.kind in ("fish", "day", "punct") or token.has("filler") or token.text == "since" for token in inner)
    females = [token.value.sex for token in inner if isinstance(token.value, Fish)] == ["female"]
    since = kinds.count("day") == 1 and any(token.text == "since" for token in inner)
    return "hold" if plain and females and since else None


def _put_together(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "C and E together now"."""
    words = {token.text for token in inner}
    poured = bool(words & {"put", "tipped", "bunged", "dumped", "threw"})
    together = ("together" in words and (poured or "now" in words)) or (poured and bool(words & {"with", "in with"}))
    return "merge" if kinds.count("batch") >= 2 and together else None


def _water_share(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "30 % tank 1", "10 gallons of water in the tub"."""
    stands_at = any(token.kind == "percent" and n and inner[n - 1].text in ("at", "is at") for n, token in enumerate(inner))
    if stands_at or any(token.has("thing") for token in inner):
        return None  # "tank 1 is at 50 percent light"
    watery = any(token.has("water_word", "verb:change_water") or token.text == "swapped" for token in inner)
    return "change_water" if "place" in kinds and ("percent" in kinds or ("volume" in kinds and watery)) else None


def _by_sex(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "A 15m 20f" is a sexing, "1 male 4 females of A please" a wish; without a word for either it is asked."""
    if "batch" not in kinds or _sexes_counted(inner) < 2:
        return None
    return "reserve" if asks_for(inner) else "perhaps_sex" if _of_a_batch(inner) else "sex"


def _taken_away(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "res 12 only took 5", "res 11 gone"."""
    if len(inner) == 2 and kinds[0] in ("reservation", "hash") and inner[1].text == "gone":
        return "collected"
    took = any(token.text in ("took", "takes") for token in inner)
    return "collected" if took and "number" in kinds and {"reservation", "hash"} & set(kinds) else None


def _made_of(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "took 12 out of A to make batch F"; "5 of A as breeders"."""
    if kinds.count("batch") == 2 and "number" in kinds and any(token.text in _MAKING for token in inner):
        return "split"
    return "hold_back" if {"batch", "number"} <= set(kinds) and any(token.has("breeders") for token in inner) else None


_MAKING = ("to make", "to form", "making", "to make batch")


def _standing(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "B now 30", "30 fry in B", "22 left in E", with no other word that would make it part of a tale; "B 30" is asked."""
    numbers = [n for n, token in enumerate(inner) if token.kind == "number"]
    if any(inner[n].text == "one" and n and inner[n - 1].text in ("in", "into", "as") for n in numbers):
        return None  # "E and C in one now"
    if (
        "batch" in kinds
        and len(numbers) == 1
        and isinstance(inner[numbers[0]].value, int)
        and not any(_strange(token) for token in inner)
    ):
        at = numbers[0]
        before = next(
            (token.text for token in reversed(inner[:at]) if not token.has("approx", "only") and token.text != "exactly"), ""
        )
        behind = [token.text for token in inner[at + 1 : at + 4]]
        left = bool({"left", "now", "remaining", "still there"} & set(behind))
        if before in STANDS_AT or left or (at + 2 < len(inner) and inner[at + 1].has("fry") and "in" in behind):
            return "count"
    bare = kinds in (["batch", "number"], ["number", "word", "batch"]) and (len(kinds) == 2 or inner[1].text in ("in", "of"))
    return "perhaps_count" if bare else None


def _strange(token: Token) -> bool:
    """Whether a word makes more of a number at a batch than a count: "A has 2 sick fish", "Oleg has 3 of A"."""
    unknown = token.kind == "word" and not token.means
    return (
        unknown or token.kind in ("member", "fish") or token.has("deformed", "thing", "with", "foreign") or token.text in _TAKEN
    )


_TAKEN = frozenset(
    ["took", "put", "from", "off", "out", "for", "gone", "went", "get", "got", "see", "saw", "seen", "spotted", "like"]
)


def _wished(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "6 of A for me", "8 of C for Ada"."""
    ordered = "money" not in kinds and [kind for kind in kinds if kind in ("number", "batch", "strain")][:1] == ["number"]
    for_somebody = ordered and any(a.text == "for" and b.kind == "member" for a, b in itertools.pairwise(inner))
    wished = for_somebody or asks_for(inner)
    return "reserve" if kinds.count("number") == 1 and {"batch", "strain"} & set(kinds) and wished else None


def _paid(inner: Sequence[Token], kinds: list[str]) -> str | None:
    """ "#12 paid $5"."""
    numbered = "reservation" in kinds or "hash" in kinds
    return "deposit" if "money" in kinds and numbered and any(token.has("paid") for token in inner) else None


_RULES: tuple[Rule, ...] = (
    _new_batch,
    _values,
    _going,
    _since,
    _put_together,
    _water_share,
    _by_sex,
    _taken_away,
    _made_of,
    _wished,
    _standing,
    _paid,
)


def asks_for(inner: Sequence[Token]) -> bool:
    """Whether the words ask to have fish: "1 male 4 females of A please", "6 of C for me"."""
    texts = [token.text for token in inner]
    return bool({"please", "pls", "plz"} & set(texts)) or any(
        a == "for" and b in ("me", "us") for a, b in itertools.pairwise(texts)
    )


def _of_a_batch(inner: Sequence[Token]) -> bool:
    """Whether numbers stand before "of A" or "from A", with nothing that says what is done with them."""
    batch = next(n for n, token in enumerate(inner) if token.kind == "batch")
    numbers = [n for n, token in enumerate(inner) if token.kind in ("number", "suffixed")]
    told = any(token.text in STANDS_AT for token in inner)
    return bool(numbers) and numbers[0] < batch and inner[batch - 1].text in ("of", "from", "off", "out of") and not told


def of_water(inner: Sequence[Token]) -> bool:
    """Whether the numbers are of water, whatever the verb: "nitrate in tank 1 down to 20", "swapped 10 gallons in tank 2"."""
    kinds = {token.kind for token in inner}
    if kinds & {"batch", "fish", "sex", "strain", "length", "weight"}:
        return False
    return (
        any(token.has(*WATER) for token in inner)
        or "temp" in kinds
        or ("place" in kinds and (bool(kinds & {"percent", "volume"}) or _bare_temperature(inner)))
    )


def _bare_temperature(inner: Sequence[Token]) -> bool:
    values = [token.value for token in inner if token.kind == "suffixed"]
    letters = {value[1] for value in values if isinstance(value, tuple)}
    hot = all(isinstance(value, tuple) and (value[1] == "c" or value[0] >= 55) for value in values)
    return bool(values) and hot and letters <= {"c", "f"} and not any(token.kind in ("batch",) for token in inner)


def _sexes_counted(inner: Sequence[Token]) -> int:
    sexes = {token.value for token in inner if token.kind == "sex"}
    sexes |= {
        {"m": "male", "f": "female"}.get(token.value[1])
        for token in inner
        if token.kind == "suffixed" and isinstance(token.value, tuple)
    }
    return len(sexes & {"male", "female"})


def goes_to_place(inner: Sequence[Token]) -> bool:
    """Whether a fish or a batch stands before "to" and a place."""
    for n, token in enumerate(inner):
        if token.kind == "place" and n:
            before = [other for other in inner[:n] if other.text not in ("the", "my", "our")]
            if before and (before[-1].text in ("to", "into", "onto") or before[-1].kind == "arrow"):
                mover = any(other.kind in ("fish", "batch") for other in before)
                return mover or (before[0].kind in ("number", "place") and len(before) == 2)
    return False
