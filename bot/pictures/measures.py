"""How lengths, volumes, warmth, weights and days are written in pictures and on paper, in the member's own system."""

from __future__ import annotations

from datetime import date, time

from core.units import DateOrder, Units, fahrenheit, gallons, inches

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

KG_PER_POUND = 0.45359237
"""Exact (international avoirdupois pound, 1959)."""


def length_value(mm: float, units: Units) -> float:
    """A length in mm as the number a member reads: cm, or inches."""
    return mm / 10 if units == "metric" else inches(mm)


def length_unit(units: Units) -> str:
    """The unit lengths are read in."""
    return "cm" if units == "metric" else "in"


def length(mm: float, units: Units) -> str:
    """A length in mm written out: "4.5 cm", "1.77 in"."""
    digits = 1 if units == "metric" else 2
    return f"{_short(length_value(mm, units), digits)} {length_unit(units)}"


def warmth_value(celsius: float, units: Units) -> float:
    """A temperature in °C as the number a member reads: °C or °F."""
    return celsius if units == "metric" else fahrenheit(celsius)


def warmth_unit(units: Units) -> str:
    """The unit temperatures are read in."""
    return "°C" if units == "metric" else "°F"


def warmth(celsius: float, units: Units) -> str:
    """A temperature in °C written out: "25.5 °C", "78 °F"."""
    digits = 1 if units == "metric" else 0
    return f"{_short(warmth_value(celsius, units), digits)} {warmth_unit(units)}"


def warmth_step(celsius: float, units: Units) -> str:
    """A difference of temperature in °C written out: "3 °C", "5 °F"."""
    return f"{_short(celsius if units == 'metric' else celsius * 9 / 5, 0)} {warmth_unit(units)}"


def volume(litres: float, units: Units) -> str:
    """A volume in litres written out: "240 L", "63 gal"."""
    value = litres if units == "metric" else gallons(litres)
    return f"{_short(value, 0 if value >= 20 else 1)} {'L' if units == 'metric' else 'gal'}"


def full_weight(litres: float, units: Units) -> str:
    """What that many litres of fresh water weigh (1 kg a litre), to two figures: "300 kg", "660 lb"."""
    value = litres if units == "metric" else litres / KG_PER_POUND
    step = 10 ** max(len(str(int(value))) - 2, 0)
    return f"{round(value / step) * step:.0f} {'kg' if units == 'metric' else 'lb'}"


def day(on: date, order: DateOrder) -> str:
    """A day with its year: "7 Mar 2026", "Mar 7, 2026"."""
    match order:
        case "DMY":
            return f"{on.day} {MONTHS[on.month - 1]} {on.year}"
        case "MDY":
            return f"{MONTHS[on.month - 1]} {on.day}, {on.year}"


def short_day(on: date, order: DateOrder) -> str:
    """A day without its year: "7 Mar", "Mar 7"."""
    match order:
        case "DMY":
            return f"{on.day} {MONTHS[on.month - 1]}"
        case "MDY":
            return f"{MONTHS[on.month - 1]} {on.day}"


def long_day(on: date, order: DateOrder) -> str:
    """A day with its weekday: "Sat 7 Mar 2026"."""
    return f"{WEEKDAYS[on.weekday()]} {day(on, order)}"


def month(on: date) -> str:
    """A month: "Mar", and "Jan 2027" where a year begins."""
    name = MONTHS[on.month - 1]
    return f"{name} {on.year}" if on.month == 1 else name


def clock(at: time, units: Units) -> str:
    """A time of day: "16:30", "4:30 pm"."""
    if units == "metric":
        return f"{at.hour:02}:{at.minute:02}"
    return f"{at.hour % 12 or 12}:{at.minute:02} {'am' if at.hour < 12 else 'pm'}"


def _short(value: float, digits: int) -> str:
    """At most so many decimals, none that says nothing."""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
