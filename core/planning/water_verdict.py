"""What the last test of a place's water means for the fish in it now."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import takewhile

from core.biology import water
from core.biology.ammonia import Kit
from core.biology.water import Assessment, Reading
from core.events import PlaceName
from core.fishroom.choices import kit_unit
from core.fishroom.history import newest_first
from core.fishroom.state import Fishroom, WaterTest
from core.species import Profile, profile

TOGETHER_DAYS = 1
"""Readings of so many days are taken as one test (pH in the morning, ammonia in the evening)."""


@dataclass(frozen=True, slots=True)
class WaterVerdict:
    """The last test of a water, assessed for the most sensitive of the species in it."""

    place: PlaceName
    """The water: the tank of a hanging box."""
    on: date
    age_days: int
    reading: Reading
    species: str
    """Key of the profile it was assessed for."""
    assessment: Assessment
    kit_unknown: bool
    """Ammonia was measured, but nobody said whether the kit shows it as N or as NH3."""
    litres: float | None


def water_verdict(room: Fishroom, place: PlaceName, day: date) -> WaterVerdict | None:
    """What the last test up to `day` says; None where the water was never tested."""
    name = room.water_of(place)
    tests = room.water_tests.get(name, ())
    last = next((test.on for test in newest_first(tests, day)), None)
    if last is None:
        return None
    joint = list(takewhile(lambda test: (last - test.on).days < TOGETHER_DAYS, newest_first(tests, day)))
    reading = _reading(room, joint)
    before = last - timedelta(days=TOGETHER_DAYS)
    temperature, ph = (_first(newest_first(tests, before), name) for name in ("temp_c", "ph"))
    stands = room.places.get(name)
    usual = stands.temp_c if stands is not None else None
    assessed = [
        (key, water.assess(reading, species, temperature if temperature is not None else usual, ph))
        for key, species in sorted(species_in(room, name).items())
    ]
    key, worst = max(assessed, key=lambda pair: pair[1].urgency)
    unknown = reading.ammonia is not None and reading.ammonia_kit is None
    return WaterVerdict(name, last, (day - last).days, reading, key, worst, unknown, stands.litres if stands else None)


def species_in(room: Fishroom, water_name: PlaceName) -> dict[str, Profile]:
    """Profiles of everything that lives in a water, boxes that hang in it included; the general one where nothing does."""
    places = [name for name in (*room.places, water_name) if room.water_of(name) == water_name]
    strains = {fish.strain for fish in room.fish.values() if fish.place in places and fish.alive_here}
    strains |= {batch.strain for batch in room.live_batches() if set(places) & set(batch.places)}
    keys = {room.species_of(strain) for strain in strains} or {"general"}
    return {key: profile(key) for key in keys}


def _reading(room: Fishroom, tests: Sequence[WaterTest]) -> Reading:
    """Of each parameter the last value; the tests with the newest first."""
    unit = next((test.kit_unit for test in tests if test.kit_unit and test.tan_mg_l is not None), None)
    kit = unit or kit_unit(room)
    return Reading(
        temperature_c=_first(tests, "temp_c"),
        ph=_first(tests, "ph"),
        ammonia=_first(tests, "tan_mg_l"),
        ammonia_kit=Kit(kit) if kit else None,
        nitrite=_first(tests, "nitrite_mg_l"),
        nitrate=_first(tests, "nitrate_mg_l"),
    )


def _first(tests: Iterable[WaterTest], name: str) -> float | None:
    return next((value for test in tests if (value := getattr(test, name)) is not None), None)
