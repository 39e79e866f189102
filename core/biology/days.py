"""Days and the water on them: windows in a caller's day count, temperatures day by day, degree-days."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from core.biology.chance import Floats


@dataclass(frozen=True, slots=True)
class Window:
    """Days (in the caller's count, with fractions) between which something happens nine times in ten.

    A bound that is not reached within any horizon is infinite.
    """

    earliest: float
    likely: float
    latest: float

    def shifted(self, days: float) -> "Window":
        """The same window, so many days later."""
        return Window(self.earliest + days, self.likely + days, self.latest + days)


@dataclass(frozen=True, slots=True)
class Temperatures:
    """The water fish live in, day by day: what was measured, and what is taken for the other days."""

    otherwise: float
    """°C taken for every day that was not measured."""
    measured: Mapping[int, float] = field(default_factory=dict)
    """°C by day."""

    def on(self, day: int) -> float:
        """°C on a day."""
        return self.measured.get(day, self.otherwise)

    def between(self, first: int, last: int) -> Floats:
        """°C of the days `first` ≤ day < `last`."""
        water = np.full(max(0, last - first), self.otherwise, dtype=float)
        if len(self.measured) < len(water):
            known = {day: celsius for day, celsius in self.measured.items() if first <= day < last}
        else:
            known = {day: self.measured[day] for day in range(first, last) if day in self.measured}
        water[[day - first for day in known]] = list(known.values())
        return water

    @classmethod
    def from_readings(cls, readings: Mapping[int, float], otherwise: float, carry_days: int = 7) -> "Temperatures":
        """Single readings filled in: straight lines between near ones, the last one carried for `carry_days`.

        Readings further apart than twice `carry_days` are not joined; the days between are taken as `otherwise`.
        """
        filled = dict(readings)
        days = sorted(readings)
        for left, right in pairwise(days):
            if right - left <= 2 * carry_days:
                slope = (readings[right] - readings[left]) / (right - left)
                filled |= {day: readings[left] + slope * (day - left) for day in range(left + 1, right)}
        for day in days[-1:]:
            filled |= dict.fromkeys(range(day + 1, day + carry_days + 1), readings[day])
        return cls(otherwise, filled)


def degree_days(temperatures_c: Floats, base_c: float, optimum_c: float) -> Floats:
    """Warmth added up day by day (°C·d): degrees above the base, none counted above the optimum.

    Element i is the sum over the first i + 1 days.
    """
    useful = np.clip(temperatures_c, base_c, optimum_c) - base_c
    return np.asarray(np.cumsum(useful))
