"""The units people speak in, and the units everything is kept in: millimetres, degrees Celsius, litres, grams.

A club of the United States speaks of inches, Fahrenheit, US gallons and ounces; all factors are exact by definition
(NIST Handbook 44, Appendix C: 1 inch = 25.4 mm, 1 US gallon = 231 cubic inches, 1 avoirdupois ounce = 28.349523125 g).
"""

from __future__ import annotations

from typing import Literal, get_args

Units = Literal["metric", "us"]
UNITS: tuple[Units, ...] = get_args(Units)
DateOrder = Literal["DMY", "MDY"]
"""How a date in figures is read, and with which of day and month one in words begins."""
DATE_ORDERS: tuple[DateOrder, ...] = get_args(DateOrder)

MM_PER_INCH = 25.4
LITRES_PER_US_GALLON = 3.785411784
GRAMS_PER_OUNCE = 28.349523125
PPM_CACO3_PER_DEGREE = 17.848
"""mg/L as CaCO3 in one German degree of hardness (10 mg/L CaO; molar masses CaCO3 100.087, CaO 56.077)."""

LENGTH: dict[str, float] = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH}
"""Millimetres in one of the unit."""
VOLUME: dict[str, float] = {"l": 1.0, "ml": 0.001, "gal": LITRES_PER_US_GALLON}
"""Litres in one of the unit."""
WEIGHT: dict[str, float] = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": GRAMS_PER_OUNCE}
"""Grams in one of the unit."""


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius of a temperature in degrees Fahrenheit."""
    return (fahrenheit - 32.0) / 1.8


def fahrenheit(celsius_: float) -> float:
    """Degrees Fahrenheit of a temperature in degrees Celsius."""
    return celsius_ * 1.8 + 32.0


def millimetres(number: float, unit: str) -> float:
    """A length in mm, `unit` one of LENGTH; KeyError otherwise."""
    return number * LENGTH[unit]


def litres(number: float, unit: str) -> float:
    """A volume in litres, `unit` one of VOLUME; KeyError otherwise."""
    return number * VOLUME[unit]


def grams(number: float, unit: str) -> float:
    """A weight in grams, `unit` one of WEIGHT; KeyError otherwise."""
    return number * WEIGHT[unit]


def inches(mm: float) -> float:
    """Inches of a length in mm."""
    return mm / MM_PER_INCH


def gallons(litres_: float) -> float:
    """US gallons of a volume in litres."""
    return litres_ / LITRES_PER_US_GALLON


def degrees_of_hardness(ppm_caco3: float) -> float:
    """German degrees of hardness (carbonate or general) of mg/L as calcium carbonate."""
    return ppm_caco3 / PPM_CACO3_PER_DEGREE
