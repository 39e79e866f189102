"""What the one measured temperature series of a mouthbrooder says: the fits behind the development model's Q10.

Rana 1990, Aquaculture 87:183-195 (abstract seen, bibliographic details from memory): Oreochromis niloticus, hatch to first
feeding and to the largest body on yolk alone. Its later stage is steeper than a Q10 of 3, which is why the model is
not trusted far from 27 °C.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

import numpy as np

FIRST_FEEDING = ((24.0, 8.0), (28.0, 5.0), (30.0, 4.0))
"""°C, days after hatching to first feeding. The 28 °C value as used in the published fit."""
LARGEST_ON_YOLK = ((24.0, 18.0), (28.0, 9.0), (30.0, 6.0))
"""°C, days after hatching to the largest body on yolk alone."""


@dataclass(frozen=True, slots=True)
class ThermalTime:
    """1 / D = (T − base) / sum: development starts above a base temperature and needs a sum of degree-days."""

    base_c: float
    degree_days: float

    def days(self, temperature_c: float) -> float:
        """Days at a steady temperature above the base."""
        return self.degree_days / (temperature_c - self.base_c)


@dataclass(frozen=True, slots=True)
class Exponential:
    """D = days at 27 °C · Q10^((27 − T) / 10)."""

    days_at_27: float
    q10: float

    def days(self, temperature_c: float) -> float:
        """Days at a steady temperature."""
        return self.days_at_27 * float(self.q10 ** ((27.0 - temperature_c) / 10))


def thermal_time(points: Sequence[tuple[float, float]]) -> ThermalTime:
    """Least squares of the rate 1 / days on temperature; points are (°C, days)."""
    temperature, days = np.array(points, dtype=float).T
    slope, intercept = np.polyfit(temperature, 1 / days, 1)
    return ThermalTime(float(-intercept / slope), float(1 / slope))


def exponential(points: Sequence[tuple[float, float]]) -> Exponential:
    """Least squares of log days on temperature; points are (°C, days)."""
    temperature, days = np.array(points, dtype=float).T
    slope, intercept = np.polyfit(temperature - 27.0, np.log(days), 1)
    return Exponential(exp(float(intercept)), exp(float(-10 * slope)))


def eggs_of_leucosticta(total_length_cm: float) -> float:
    """Eggs in a spawn of Tilapia leucosticta, about the square of the length in cm.

    Welcomme 1967, Journal of Zoology (abstract seen). Not for mbuna, which carry far fewer, larger eggs.
    """
    return total_length_cm**2
