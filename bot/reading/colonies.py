"""A place and who lives in it, told in one breath: "tank 1 is 75 gal, 78F, with 1 male and 5 female yellow labs"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.names import PLACE_TYPES
from bot.reading.new_fish import new_fish
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Spot
from core import units

_WATER_WORDS = frozenset(
    ["at", "temp", "temperature", "set up", "setup", "heated", "degrees", "litre", "gallon", "is at", "kept", "new", "add", "added"]
)


def colony(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The new place and the first fish in it; None where the sentence tells of less, or of more."""
    spots = [n for n, token in enumerate(tokens) if token.kind == "place" and isinstance(token.value, Spot)]
    volumes = [token for token in tokens if token.kind == "volume" and isinstance(token.value, tuple)]
    warm = [token for token in tokens if _is_temperature(token)]
    stocked = any(token.kind in ("strain", "profile") for token in tokens)
    if len(spots) != 1 or len(volumes) > 1 or len(warm) > 1 or not (volumes or warm) or not stocked:
        return None
    spot = tokens[spots[0]].value
    assert isinstance(spot, Spot)  # noqa: S101 chosen for that
    name = spot.said
    type_ = next((each for each in PLACE_TYPES if name.startswith(each)), None)
    if spot.name is not None or type_ is None or not re.search(r"\d$", name):
        return None
    place = Partial("place_added", {"type": type_, "place": name})
    for token in volumes:
        litres = round(units.litres(*token.value), 1) if isinstance(token.value, tuple) else 0.0
        place.put("litres", litres if 0.5 <= litres <= 100000 else Trouble("litres", "implausible", token.text))
    for token in warm:
        place.put("temp_c", _celsius(token))
    inside = [
        replace(token, value=Spot(name, said=name)) if n == spots[0] else token
        for n, token in enumerate(tokens)
        if token not in volumes and token not in warm and token.text not in _WATER_WORDS
    ]
    scene.memory.new_places.append(name)
    fish = new_fish(inside, flat, scene)
    if fish is None:
        scene.memory.new_places.remove(name)
        return None
    return [place, *fish]


def _is_temperature(token: Token) -> bool:
    if token.kind == "temp":
        return True
    return token.kind == "suffixed" and isinstance(token.value, tuple) and (token.value[1] == "c" or (token.value[1] == "f" and token.value[0] >= 60))


def _celsius(token: Token) -> float | Trouble:
    number, unit = token.value if isinstance(token.value, tuple) else (0.0, "")
    warmth = round(units.celsius(float(number)) if unit == "f" or (not unit and number > 45) else float(number), 1)
    return warmth if 10 <= warmth <= 36 else Trouble("temp_c", "implausible", token.text)
