"""How warm the water was where a fish was, day by day, and how that is known.

Days are counted as `date.toordinal()` wherever the biology asks for a day number. For each stay, what was measured there is taken
(single readings joined, the last one carried on for a week); for other days the place's usual temperature, as told or else as its
last tests have it; failing that, the species' usual. A box that hangs in a tank has the tank's water.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice, pairwise
from math import isfinite
from typing import Literal

from core.biology.days import Temperatures, Window
from core.events import PlaceName
from core.fishroom.history import since as bearing
from core.fishroom.state import Fishroom, Stay
from core.species import Profile

Basis = Literal["tested", "usual", "species"]
"""How a temperature is known: measured in these days, usual for the place, or only usual for the species."""
LAST_TESTS = 5
"""So many last tests say what is usual where the keeper never said."""
JOINED = timedelta(days=14)
"""Readings further apart than this are not joined (see `Temperatures.from_readings`): older ones bear on nothing."""


@dataclass(frozen=True, slots=True)
class Warmth:
    """The water's temperature over a life, with how it is known. Days are ordinals."""

    temperatures: Temperatures
    mean_c: float
    """Over the days from the first stay up to the day asked about."""
    basis: Basis


@dataclass(frozen=True, slots=True)
class DayWindow:
    """Days between which something happens nine times in ten; None where a bound is out of sight."""

    earliest: date | None
    likely: date | None
    latest: date | None

    @classmethod
    def of(cls, window: Window) -> DayWindow:
        """From a window in day ordinals: whole days, never narrower than it was."""
        return cls(day_of(window.earliest), day_of(window.likely + 0.5), day_of(window.latest + 0.999))


def day_of(ordinal: float) -> date | None:
    """The day in which a moment counted in day ordinals falls; None for one that never comes."""
    return date.fromordinal(int(ordinal)) if isfinite(ordinal) and 1 <= ordinal < date.max.toordinal() else None


def usual_temperature(room: Fishroom, place: PlaceName | None, profile: Profile) -> tuple[float, Basis]:
    """°C usual in a place's water, and how that is known."""
    water = room.water_of(place) if place is not None else None
    stands = room.places.get(water) if water is not None else None
    if stands is not None and stands.temp_c is not None:
        return stands.temp_c, "usual"
    known = (test.temp_c for test in reversed(room.water_tests.get(water or "", ())) if test.temp_c is not None)
    tested = list(islice(known, LAST_TESTS))
    return (sum(tested) / len(tested), "usual") if tested else (profile.temperature_c.likely, "species")


def warmth_over(room: Fishroom, stays: Sequence[Stay], day: date, profile: Profile) -> Warmth:
    """The water along these stays (the last one lasts), as it is known on `day`; later days are as usual where it is then."""
    known = [stay for stay in stays if stay.since <= day]
    if not known:
        usual, basis = usual_temperature(room, stays[0].place if stays else None, profile)
        return Warmth(Temperatures(usual), usual, basis)
    end = date.fromordinal(day.toordinal() + 1)
    filled: dict[int, float] = {}
    tested = 0
    spans = [*((a, b.since) for a, b in pairwise(known)), (known[-1], end)]
    for stay, until in spans:
        there = _in_place(room, stay.place, profile, stay.since, day)
        first = stay.since.toordinal()
        filled |= {n: there.on(n) for n in range(first, until.toordinal())}
        tested += sum(first <= n < until.toordinal() for n in there.measured)
    last = _in_place(room, known[-1].place, profile, known[-1].since, day)
    filled |= {n: c for n, c in last.measured.items() if n > day.toordinal()}
    lived = [filled[n] for n in range(known[0].since.toordinal(), end.toordinal())]
    usual, basis = usual_temperature(room, known[-1].place, profile)
    return Warmth(Temperatures(usual, filled), sum(lived) / len(lived), "tested" if tested else basis)


def _in_place(room: Fishroom, place: PlaceName | None, profile: Profile, since: date, day: date) -> Temperatures:
    """The water of a place from one day on, as tested up to another; the mean of a day with several readings."""
    usual, _ = usual_temperature(room, place, profile)
    tests = room.water_tests.get(room.water_of(place), ()) if place is not None else ()
    readings: dict[int, list[float]] = {}
    for test in bearing(tests, since - JOINED):
        if test.temp_c is not None and test.on <= day:
            readings.setdefault(test.on.toordinal(), []).append(test.temp_c)
    return Temperatures.from_readings({n: sum(cs) / len(cs) for n, cs in readings.items()}, usual)
