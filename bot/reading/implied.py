"""What is told without a verb: water values, lengths, a fish going to a place, a number standing at a batch."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bot.reading.tokens import Token

WATER = ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")
STANDS_AT = ("now", "=", ":", "is", "left", "currently", "has", "have")


def implied_verb(inner: Sequence[Token]) -> str | None:
    """What is told without a verb: water values, lengths, "f4 to tank 2", "B now 30", "30 % tank 1", "A 15m 20f"."""
    kinds = [token.kind for token in inner]
    if any(
        token.has("batch_word") and n + 2 < len(inner) and inner[n + 1].text == "of" and inner[n + 2].kind == "number"
        for n, token in enumerate(inner)
    ):
        return "join"
    if any(token.text == "new batch" for token in inner) and "number" in kinds and ("strain" in kinds or "profile" in kinds):
        return "join"
    if any(token.has(*WATER) for token in inner) or "temp" in kinds:
        return "test"
    if _bare_temperature(inner):
        return "test"
    if "length" in kinds and "batch" in kinds:
        return "measure"
    if goes_to_place(inner):
        return "move"
    if (
        kinds.count("batch") >= 2
        and any(token.text == "together" for token in inner)
        and any(token.text in ("put", "tipped", "now", "bunged") for token in inner)
    ):
        return "merge"
    if "place" in kinds and (
        "percent" in kinds
        or ("volume" in kinds and any(token.has("water_word", "verb:change_water") or token.text == "swapped" for token in inner))
    ):
        return "change_water"
    if "batch" in kinds and _sexes_counted(inner) >= 2:
        return "sex"
    if (
        "batch" in kinds
        and any(isinstance(token.value, int) for token in inner if token.kind == "number")
        and (any(token.text in STANDS_AT for token in inner) or any(token.has("fry") for token in inner))
    ):
        return "count"
    if kinds in (["batch", "number"], ["number", "word", "batch"]) and (len(kinds) == 2 or inner[1].text in ("in", "of")):
        return "perhaps_count"
    if (
        kinds.count("number") == 1
        and ("batch" in kinds or "strain" in kinds)
        and any(a.text == "for" and b.text == "me" for a, b in itertools.pairwise(inner))
    ):
        return "reserve"
    if "money" in kinds and ("reservation" in kinds or "hash" in kinds) and any(token.has("paid") for token in inner):
        return "deposit"
    return None


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
                return mover or (before[0].kind == "number" and len(before) == 2)
    return False
