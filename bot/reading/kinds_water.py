"""What is done to water and mouths: tests, changes, feedings; and what is noted."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.implied import WATER
from bot.reading.kinds_fish import on_day
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from bot.reading.walk import Fish
from core import units

POSSIBLE: dict[str, tuple[float, float]] = {
    "ph": (3.5, 11.0),
    "tan_mg_l": (0.0, 20.0),
    "nitrite_mg_l": (0.0, 50.0),
    "nitrate_mg_l": (0.0, 600.0),
    "temp_c": (10.0, 36.0),
    "kh_dkh": (0.0, 60.0),
    "gh_dgh": (0.0, 80.0),
}
"""What a tank can show, lowest and highest; beyond it the number is repeated and asked about (common practice, no source)."""


def the_places(facts: Facts) -> list[str | Trouble]:
    """The places a clause is about; else the one just spoken of, or whose label was scanned."""
    found = [facts.place(n, "place") for n in facts.where("place") if n not in facts.used]
    memory, context = facts.scene.memory, facts.scene.context
    if found:
        return list(dict.fromkeys(found))
    if memory.places:
        return list(memory.places)
    if context.here:
        return [context.here]
    return [Trouble("place")]


def tested(facts: Facts) -> list[Partial]:
    """Water values at a place."""
    partial = Partial("water_tested")
    places = the_places(facts)
    if facts.scene.memory.there and places == [Trouble("place")]:
        places = [facts.scene.memory.there]  # "moved B to the tub, temp 26c"
    partial.put(
        "place", places[0] if len(places) == 1 else Trouble("place", "ambiguous", "", tuple(str(place) for place in places))
    )
    for n, token in enumerate(facts.tokens):
        slot = next((name for name in WATER if token.has(name)), None)
        unit_only = token.has("hardness_unit") and n > 0 and facts.tokens[n - 1].kind == "number"
        if slot and slot != "temp_c" and not unit_only:
            partial.put(slot, _value_at(facts, n, slot))
    _temperature(facts, partial)
    told = [slot for slot in WATER if slot in partial.slots or any(trouble.slot == slot for trouble in partial.troubles)]
    if not told:
        _same_again(facts, partial)
    facts.scene.memory.parameter = told[0] if len(told) == 1 else facts.scene.memory.parameter if not told else None
    on_day(facts, partial)
    return [partial]


def _same_again(facts: Facts, partial: Partial) -> None:
    """ "ph tank 1 8.1, tank 2 8.2": the value of the clause before, its name left out."""
    slot = facts.scene.memory.parameter
    bare = [quantity for quantity in facts.free() if quantity.bare and quantity.value is not None]
    if slot is None or slot == "temp_c" or len(bare) != 1:
        partial.put("ph", Trouble("ph"))
        return
    value = facts.use(bare[0])
    partial.put(slot, _checked(slot, value.value or 0, value.said))


_BOUNDS = ("under", "below", "less than", "<", "over", "above", "more than", ">", "between", "up to")
_SKIPPED = (
    "is",
    "was",
    "=",
    ":",
    "at",
    "of",
    "reads",
    "reading",
    "about",
    "around",
    "~",
    "came",
    "dropped",
    "fell",
    "fallen",
    "risen",
    "rose",
    "gone",
    "went",
    "climbed",
    "crept",
    "jumped",
    "up",
    "down",
    "to",
    "now",
    "are",
    "still",
    "level",
    "levels",
    "back",
    "showing",
    "shows",
    "roughly",
    "nearly",
    "under",
    "below",
    "<",
    ">",
    "above",
    "over",
    "less than",
    "more than",
    "between",
)


def _value_at(facts: Facts, n: int, slot: str) -> float | int | Trouble:
    at = n + 1
    while (
        at < len(facts.tokens)
        and (
            facts.tokens[at].text in _SKIPPED
            or facts.tokens[at].kind == "place"
            or facts.tokens[at].has("filler", "approx", "verb:count")
        )
        and facts.tokens[at].kind not in ("number", "suffixed")
    ):
        at += 1
    if at >= len(facts.tokens) or facts.tokens[at].kind not in ("number", "range", "weight") or at in facts.used:
        at = _number_before(facts, n)
    if at < 0:
        return Trouble(slot, "missing")
    token = facts.tokens[at]
    facts.used.add(at)
    if token.kind == "range" or any(other.text in _BOUNDS for other in facts.tokens[max(0, at - 2) : at]):
        return Trouble(slot, "ambiguous", token.text)
    number: float | int = (
        token.value if isinstance(token.value, (int, float)) else token.value[0] if isinstance(token.value, tuple) else 0
    )
    number = _with_decimals(facts, at, number)
    return _checked(slot, _scaled(facts, at, slot, number), token.text)


def _number_before(facts: Facts, n: int) -> int:
    """ "0.25 ammonia", "20 ppm nitrate"."""
    at = n - 1
    while at >= 0 and facts.tokens[at].has("strength_unit", "hardness_unit"):
        at -= 1
    return at if at >= 0 and facts.tokens[at].kind == "number" and at not in facts.used else -1


def _with_decimals(facts: Facts, at: int, number: float | int) -> float | int:
    """ "ph 8,2": a decimal comma, written without a space."""
    if at + 2 < len(facts.tokens) and isinstance(number, int):
        comma, digits = facts.tokens[at + 1], facts.tokens[at + 2]
        if (
            comma.text == ","
            and digits.kind == "number"
            and facts.tokens[at].end == comma.start
            and comma.end == digits.start
            and isinstance(digits.value, int)
        ):
            facts.used.add(at + 2)
            return float(f"{number}.{digits.text}")
    return number


def _scaled(facts: Facts, at: int, slot: str, number: float | int) -> float | int:
    following = facts.after(at)
    if slot in ("kh_dkh", "gh_dgh") and (
        (following is not None and following.has("strength_unit")) or number > POSSIBLE[slot][1]
    ):
        return round(units.degrees_of_hardness(number), 1)
    return number


def _checked(slot: str, number: float | int, said: str) -> float | int | Trouble:
    low, high = POSSIBLE[slot]
    return number if low <= number <= high else Trouble(slot, "impossible", said)


def _temperature(facts: Facts, partial: Partial) -> None:
    said: list[tuple[float, str, str]] = []
    bounded = next((token.text for n, token in enumerate(facts.tokens) if _is_bound(facts, n)), None)
    if bounded is not None:
        partial.put("temp_c", Trouble("temp_c", "ambiguous", bounded))
        return
    for n, token in enumerate(facts.tokens):
        if (
            token.kind in ("temp", "suffixed")
            and n not in facts.used
            and isinstance(token.value, tuple)
            and token.value[1] != "m"
        ):
            facts.used.add(n)
            said.append((float(token.value[0]), str(token.value[1]), token.text))
        elif token.has("temp_c"):
            said.extend(_plain_temperature(facts, n))
    if not said:
        said.extend(_stands_at(facts))
    if (
        not said
        and any(token.has("temp_c") for token in facts.tokens)
        and not any(token.kind == "number" for token in facts.tokens)
    ):
        partial.put("temp_c", Trouble("temp_c"))
    temperatures = {celsius_of(number, unit, facts.names.units) for number, unit, _ in said}
    if len(temperatures) > 1:
        partial.put("temp_c", Trouble("temp_c", "ambiguous", " / ".join(words for _, _, words in said)))
    elif temperatures:
        value = temperatures.pop()
        partial.put("temp_c", value if value is not None else Trouble("temp_c", "implausible", said[0][2]))


def _is_bound(facts: Facts, n: int) -> bool:
    """ "temp over 80": a temperature, and only its bound."""
    token = facts.tokens[n]
    warm = token.kind == "temp" or (token.kind == "number" and n not in facts.used and facts.has("temp_c"))
    return warm and any(other.text in _BOUNDS for other in facts.tokens[max(0, n - 1) : n])


def _stands_at(facts: Facts) -> list[tuple[float, str, str]]:
    """ "qt at 77, ph 7.8": the number that a place stands at, beside other values of its water."""
    for n, token in enumerate(facts.tokens):
        stands = n > 1 and facts.tokens[n - 1].text in ("at", "is at") and facts.tokens[n - 2].kind == "place"
        if stands and token.kind == "number" and n not in facts.used and celsius_of(token.number, "", facts.names.units) is not None:
            facts.used.add(n)
            return [(token.number, "", token.text)]
    return []


def _plain_temperature(facts: Facts, n: int) -> list[tuple[float, str, str]]:
    at = n + 1
    while (
        at < len(facts.tokens)
        and (
            facts.tokens[at].text in _SKIPPED
            or facts.tokens[at].kind == "place"
            or facts.tokens[at].has("filler", "approx", "verb:count")
        )
        and facts.tokens[at].kind != "number"
    ):
        at += 1
    if at >= len(facts.tokens) or facts.tokens[at].kind != "number":
        at = n - 1
        if at < 0 or facts.tokens[at].kind != "number" or at in facts.used:
            return []
    token = facts.tokens[at]
    facts.used.add(at)
    number = _with_decimals(facts, at, token.number if not isinstance(token.value, int) else token.value)
    following = facts.after(at)
    unit = following.text if following is not None and following.text in ("c", "f") else ""
    if unit:
        facts.used.add(at + 1)
    return [(float(number), unit, token.text)]


def celsius_of(number: float, unit: str, system: str) -> float | None:
    """°C to 0.1; in the other scale where only that is possible; None where neither is."""
    first = unit or ("f" if system == "us" else "c")
    low, high = POSSIBLE["temp_c"]
    for scale in (first, "c" if first == "f" else "f"):
        value = round(units.celsius(number) if scale == "f" else number, 1)
        if low <= value <= high:
            return value
    return None


def water_changed(facts: Facts) -> list[Partial]:
    """Part of the water replaced, at one place or several."""
    amount = amount_of(facts)
    partials = []
    for place in the_places(facts):
        partial = Partial("water_changed")
        partial.put("place", place)
        for slot, value in amount.items():
            partial.put(slot, value)
        partials.append(partial)
    on_day(facts, *partials)
    return partials


_FRACTIONS = {
    "half": 50,
    "third": 33,
    "quarter": 25,
    "1/2": 50,
    "1/3": 33,
    "1/4": 25,
    "2/3": 67,
    "3/4": 75,
    "½": 50,
    "⅓": 33,
    "¼": 25,
    "¾": 75,
    "⅔": 67,
}


def amount_of(facts: Facts) -> dict[str, object]:
    """How much water was changed: percent or litres."""
    percents = list(facts.where("percent"))
    volumes = list(facts.where("volume"))
    facts.used.update([*percents, *volumes])
    if len(percents) + len(volumes) > 1:
        return {"percent": Trouble("percent", "ambiguous", " / ".join(facts.tokens[n].text for n in [*percents, *volumes]))}
    for n in percents:
        value = facts.tokens[n].number
        return {"percent": _whole(value) if 0 < value <= 100 else Trouble("percent", "impossible", facts.tokens[n].text)}
    for n in volumes:
        told = facts.tokens[n].value
        litres = round(units.litres(told[0], told[1]), 1) if isinstance(told, tuple) else 0.0
        return {"litres": _whole(litres) if 0 < litres <= 20000 else Trouble("litres", "impossible", facts.tokens[n].text)}
    for n, token in enumerate(facts.tokens):
        if token.text in _FRACTIONS and facts.before(n) not in ("on", "since"):
            facts.used.add(n)
            return {"percent": _FRACTIONS[token.text]}
    return {"percent": Trouble("percent")}


def _whole(number: float) -> int | float:
    return int(number) if number.is_integer() else number


def noted(facts: Facts, text: str, subject_in: int) -> list[Partial]:
    """A note about a fish, a batch or a place; `subject_in` tells how many tokens to look for it in."""
    partial = Partial("noted", {"text": text})
    for n, token in enumerate(facts.tokens[:subject_in]):
        if token.note == "label":
            found = facts.labelled(Quantity(n, n + 1, int(token.number)))
            partial.put(*(("female", found) if isinstance(found, Trouble) else found))
        elif isinstance(token.value, Fish):
            partial.put(token.value.sex, facts.known(token.value.sex, token.value.label))
        elif token.kind == "batch":
            partial.put("batch", facts.known_batch(str(token.value)))
        elif token.kind == "place":
            partial.put("place", facts.place(n, "place"))
        else:
            continue
        break
    else:
        partial.put(*_spoken_of(facts))
    on_head = facts.scene.memory.head_day
    day = facts.scene.now.date()
    if on_head is not None:
        told = facts.day("past")
        partial.put("on", told if isinstance(told, Trouble) else (told or day).isoformat())
    else:
        partial.put("on", day.isoformat())
    return [partial]


def _spoken_of(facts: Facts) -> tuple[str, object]:
    here = facts.scene.context.here
    return ("place", here) if here else ("female", Trouble("female"))
