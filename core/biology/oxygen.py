"""How much oxygen water can hold, and how much fish take out of it."""

from math import exp, log

ENOUGH = 6.0
"""mg/L a tub should have (common practice, no source: 5-6)."""
LOW = 5.0
"""mg/L below which large tilapia begin to eat less (about 5.5, feeding study seen) and action is due."""
ALARM = 4.0
"""mg/L below which fish are in danger (common practice, no source)."""
HOLDS_C = (0.0, 40.0)
"""The saturation formula's range."""
MG_PER_ML_AT_37_C = 1.265
"""A millilitre of oxygen at 37 °C and one atmosphere weighs this much (not the 1.43 of 0 °C)."""


def saturation(temperature_c: float, salinity: float = 0.0, pressure_kpa: float = 101.325) -> float:
    """mg/L of dissolved oxygen in balance with air (0-40 °C, salinity 0-40 g/kg).

    Benson & Krause 1984 in the form of APHA Standard Methods (constants seen in public code); pressure by APHA's formula
    with water vapour taken off (from memory).
    """
    kelvin = temperature_c + 273.15
    fresh = -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.243800e10 / kelvin**3 - 8.621949e11 / kelvin**4
    salt = -salinity * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2)
    return exp(fresh + salt) * _pressure_factor(temperature_c, pressure_kpa / 101.325)


def _pressure_factor(temperature_c: float, atmospheres: float) -> float:
    kelvin = temperature_c + 273.15
    vapour = exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    return atmospheres * (1 - vapour / atmospheres) * (1 - theta * atmospheres) / ((1 - vapour) * (1 - theta))


def pressure_at(altitude_m: float) -> float:
    """Mean air pressure in kPa at an altitude (standard atmosphere, ISO 2533)."""
    return 101.325 * float((1 - 2.25577e-5 * altitude_m) ** 5.25588)


def saturated_share(measured_mg_per_l: float, temperature_c: float, salinity: float = 0.0, altitude_m: float = 0.0) -> float:
    """Measured oxygen over what the water could hold."""
    return measured_mg_per_l / saturation(temperature_c, salinity, pressure_at(altitude_m))


def magadi_tilapia_ml_per_hour(weight_g: float) -> float:
    """Routine use of a Lake Magadi tilapia at 37 °C: 0.738 M^0.75 mL/h (Franklin et al. 1995; abstract seen)."""
    return float(0.738 * weight_g**0.75)


def use_mg_per_hour(weight_g: float, temperature_c: float) -> float:
    """Oxygen a resting fish of this weight takes up (mg/h).

    The Magadi tilapia's allometry, halved for each 10 °C less as an extension sheet has it (text seen): at 27 °C
    0.467 M^0.75. Fed or excited fish take 1.5-2 times as much (common practice, no source).
    """
    return magadi_tilapia_ml_per_hour(weight_g) * MG_PER_ML_AT_37_C * float(2 ** ((temperature_c - 37) / 10))


def q10(rate_low: float, rate_high: float, low_c: float, high_c: float) -> float:
    """How many times faster for 10 °C more, from two rates at two temperatures."""
    return exp(10 / (high_c - low_c) * log(rate_high / rate_low))


def gas_mg(litres: float, temperature_c: float, share: float = 1.0) -> float:
    """Mass of oxygen in a gas at one atmosphere, by the ideal gas law (air: share 0.2095)."""
    return litres * share / (0.082057366 * (temperature_c + 273.15)) * 31.998 * 1000
