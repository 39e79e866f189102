"""Places by message: a new one with its type, size, temperature and what it hangs in; and one taken down."""



from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.names import PLACE_TYPES, lettered_name
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Spot
from core import units


def raw(tokens: Sequence[Token], scene: Scene) -> str:
    """The words as they were written."""
    return scene.text[tokens[0].start : tokens[-1].end].strip() if tokens else ""


_ANNOUNCED = re.compile(
    r"^(?:(?:i|we|ive|just|have|got|a|set up|setup|add|added|there is|theres)\s)*(?:new|add|added|set up|setup|built|install(?:ed)?)\b"
)
_DESCRIBED = re.compile(
    r"\b(?:hangs?|hanging|hard to|difficult to|awkward to|tricky to|aquaponics?|loop)\b"
    r"|\b(?:is|holds|has|=|:) (?:about )?\d[\d.]* ?(?:l|lit\w+|gal\w*|ltrs?)\b(?: (?:tank|tub))?$"
)


def place_added(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """A place that the message says is new, or whose particulars it tells ("box 4 hangs in tank 1")."""
    if _of_something_else(tokens, scene):
        return None
    announced = bool(_ANNOUNCED.match(flat))
    beside = _named_beside(tokens, scene) if announced else None
    at = beside[2] if beside else next((n for n, token in enumerate(tokens) if _is_spot(token)), None)
    if at is None:
        return None
    spot = tokens[at].value
    spot = spot if isinstance(spot, Spot) else Spot(None)
    name, type_ = (beside[0], beside[1]) if beside else _new_name(tokens, at, spot, scene)
    acted = any(meaning.startswith("verb:") and not token.has("filler") for token in tokens for meaning in token.means)
    told = spot.name is not None or spot.said[-1:].isdigit()
    if type_ is None or not (announced or (told and _DESCRIBED.search(flat) and not acted)):
        return None
    if announced and name in scene.names.places and any(token.text in ("to", "in", "into") for token in tokens[:at]):
        return None
    if name in PLACE_TYPES and any(token.kind == "word" and not token.means for token in tokens[at + 1 : at + 2]):
        return None
    partial = Partial("place_added", {"type": type_})
    unnamed = Trouble("place") if name == "tank" or tokens[at].text in ("tanks", "boxes", "tubs", "ponds") else None
    partial.put("place", unnamed or (Trouble("place", "taken", name) if announced and name in scene.names.places else name))
    _particulars(partial, tokens, at, Facts(Clause(list(tokens)), scene))
    if "place" in partial.slots:
        scene.memory.new_places.append(name)
    return [partial] if announced or len(partial.slots) > 2 else None


def _of_something_else(tokens: Sequence[Token], scene: Scene) -> bool:
    """Whether fish, people or things are spoken of, or nothing that is so yet."""
    return any(
        token.kind in ("fish", "sex", "strain", "member", "profile", "reservation")
        or token.has("fry", "negation", "plan", "hedge", "condition", "hearsay")
        or (token.has("thing") and token.text not in scene.names.place_heads and tokens[n - 1].text not in ("called", "named", "to"))
        for n, token in enumerate(tokens)
    )


def _is_spot(token: Token) -> bool:
    return token.kind == "place" and isinstance(token.value, Spot)


def _named_beside(tokens: Sequence[Token], scene: Scene) -> tuple[str, str | None, int] | None:
    """ "trough 1, tub, 300 litres", "quarantine, 60 litres": a name of its own with its type, or only its size, said beside it."""
    start = next((n for n, token in enumerate(tokens) if token.text not in _BEFORE_NAME), len(tokens))
    end = next((n for n in range(start, len(tokens)) if tokens[n].text == "," or tokens[n].kind in _SIZES), len(tokens))
    name = tokens[start:end]
    if not name or len(name) > 3 or any(token.kind not in ("word", "number", "place") for token in name):
        return None
    said = raw(name, scene).lower()
    following = tokens[end + 1] if end + 1 < len(tokens) and tokens[end].text == "," else None
    typed = (
        following is not None
        and following.kind == "place"
        and (following.text in PLACE_TYPES or bool(following.means & set(PLACE_TYPES)))
    )
    if typed and following is not None:
        type_ = following.text if following.text in PLACE_TYPES else next(iter(following.means & set(PLACE_TYPES)))
        return said, type_, end + 1
    numbered = len(name) == 2 and name[0].kind == "place" and name[1].kind == "number"
    kind = next((each for each in PLACE_TYPES if each in said.split()), None)
    if numbered or (name[0].text in _TANKS and len(name) == 1 and end < len(tokens)):
        return said, kind or "tank", end - 1
    return None


_SIZES = ("volume", "temp", "suffixed")
_TANKS = frozenset(["quarantine", "qt", "hospital", "recovery", "nursery", "isolation", "growout", "display", "breeder"])
"""Names that are a tank's where no type is said."""


def _new_name(tokens: Sequence[Token], at: int, spot: Spot, scene: Scene) -> tuple[str, str | None]:
    """The place's own name and its type: "tank 1", "tub", "quarantine tank" or "tank called kitchen"."""
    if spot.name:
        return spot.name, next((type_ for type_ in PLACE_TYPES if type_ in spot.name.split()), "tank")
    type_ = spot.type or next((each for each in PLACE_TYPES if spot.said.startswith(each)), None)
    called = [n for n in range(at + 1, len(tokens)) if tokens[n].text in ("called", "named", "call it", "name it")]
    if called and called[0] + 1 < len(tokens):
        return raw(_until_comma(tokens[called[0] + 1 :]), scene).lower(), type_
    lettered = re.match(r"\s+([a-z]{1,2}\d{1,3})\b(?! ?(?:l|litres?|liters?|gal\w*)\b)", scene.text[tokens[at].end :].lower())
    if spot.type and lettered:
        return lettered_name(spot.type, lettered.group(1)), type_
    if spot.type:
        start = next((n for n in range(at) if tokens[n].kind == "word" and tokens[n].text not in _BEFORE_NAME), at)
        if any(token.kind not in ("word", "place") for token in tokens[start:at]):
            return type_ or spot.said, type_
        if start < at:
            return raw(tokens[start : at + 1], scene).lower(), type_
        following = _until_comma(tokens[at + 1 :]) if any(token.kind in _SIZES for token in tokens) else []
        if following and following[0].text not in _NO_NAME:
            own = raw(following, scene).lower()
            return (lettered_name(raw(tokens[at : at + 1], scene).lower(), own) if len(own) < 3 else own), type_
        said = raw(tokens[at : at + 1], scene).lower()
        return said if said.split()[-1:] == [type_] else type_ or spot.said, type_
    return spot.said, type_


_NO_NAME = frozenset(["in", "with", "on", "of", "for", "hangs", "is", "at", "to", "from", "out", "outside", "outdoors", "down", "up", "under", "by"])
_BEFORE_NAME = frozenset(
    [
        "new",
        "add",
        "added",
        "set",
        "up",
        "setup",
        "built",
        "install",
        "installed",
        "got",
        "have",
        "ive",
        "i",
        "we",
        "just",
        "a",
        "an",
        "the",
        "another",
        "big",
        "small",
        "please",
        "my",
        "our",
        "second",
        "third",
    ]
)
"""Words before a new place's type that are no part of its name."""


def _until_comma(tokens: Sequence[Token]) -> list[Token]:
    out: list[Token] = []
    for token in tokens:
        if token.kind in ("punct", "volume", "temp", "suffixed", "number", "place"):
            break
        out.append(token)
    return out


def _particulars(partial: Partial, tokens: Sequence[Token], at: int, facts: Facts) -> None:
    flat = " ".join(token.text for token in tokens)
    volumes = [token.value for token in tokens if token.kind == "volume" and isinstance(token.value, tuple)]
    if volumes:
        litres = round(units.litres(volumes[0][0], volumes[0][1]), 1)
        below = any(token.kind == "volume" and tokens[n - 1].text == "-" for n, token in enumerate(tokens))
        partial.put("litres", litres if not below and 0.5 <= litres <= 100000 else Trouble("litres", "implausible", str(litres)))
    unread = next((n for n, token in enumerate(tokens[:-1]) if token.kind == "number" and n > at and _odd_unit(tokens[n + 1])), None)
    if unread is not None and not volumes:
        partial.put("litres", Trouble("litres", "uncertain", f"{tokens[unread].text} {tokens[unread + 1].text}"))
    signed = next((n for n, token in enumerate(tokens) if token.kind == "number" and token.number < 0), None)
    if signed is not None:
        following = tokens[signed + 1].text if signed + 1 < len(tokens) else ""
        slot = "temp_c" if following in ("c", "f", "degrees", "deg") else "litres"
        partial.put(slot, Trouble(slot, "impossible", tokens[signed].text))
    temperature = _temperature(tokens, facts.names.units) if signed is None else None
    if temperature is not None:
        partial.put("temp_c", temperature if 10 <= temperature <= 36 else Trouble("temp_c", "implausible", str(temperature)))
    hung = next(
        (token.value for n, token in enumerate(tokens) if n > at and token.kind == "place" and isinstance(token.value, Spot)),
        None,
    )
    if hung is not None:
        known = hung.name or (hung.said if hung.said in facts.scene.memory.new_places else None)
        partial.put("hangs_in", known or Trouble("hangs_in", "unknown", hung.said))
    if re.search(r"\b(?:hard|difficult|tricky|awkward|pain) to (?:catch|net)", flat):
        partial.put("hard_to_catch", True)
    if re.search(r"\baquaponics?\b|\b(?:on|in|part of) the loop\b|\bloop\b", flat):
        partial.put("loop", True)


def _odd_unit(token: Token) -> bool:
    """ "300 littres": a word behind a number that may be a unit."""
    return token.kind == "word" and token.text[:1] in ("l", "g") and len(token.text) > 3 and not token.means


def _temperature(tokens: Sequence[Token], system: str) -> float | None:
    for n, token in enumerate(tokens):
        if token.kind in ("temp", "suffixed") and isinstance(token.value, tuple):
            number, unit = float(token.value[0]), str(token.value[1])
            return round(units.celsius(number) if unit == "f" or (not unit and number > 45) else number, 1)
        following = tokens[n + 1].text if n + 1 < len(tokens) else ""
        before = tokens[n - 1] if n else None
        if token.kind == "number" and (following in ("c", "f") or (before is not None and before.has("temp_c"))):
            number = token.number
            hot = following == "f" or (following != "c" and (number > 45 or (system == "us" and number > 45)))
            return round(units.celsius(number) if hot else number, 1)
    return None


def place_retired(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """A place taken down."""
    spots = [n for n, token in enumerate(tokens) if token.kind == "place"]
    if len(spots) > 1:  # "recovery is gone, retire that tank"
        spots = [n for n in spots if not (tokens[n - 1].text in ("that", "this") and getattr(tokens[n].value, "name", "") is None)]
    busy = any(
        token.kind in ("fish", "batch", "number", "sex")
        or (token.has("thing", "negation", "plan", "condition", "hedge") and token.text != "is retired")
        for token in tokens
    )
    if len(spots) != 1 or busy:
        return None
    partial = Partial("place_retired")
    partial.put("place", Facts(Clause(list(tokens)), scene).place(spots[0], "place"))
    return [partial]
