"""How much of the ammonia a kit measures is the poisonous, un-ionised part.

Fresh water: Emerson et al. 1975, J. Fish. Res. Board Can. 32:2379 (constants seen in reprints): pKa = 0.09018 + 2729.92 / K,
share = 1 / (1 + 10^(pKa - pH)), 0-50 °C. Printed tables that differ from the equation (a 32 °C column 2-4 % too high, a
constant misprinted as 2727.92) are wrong; the equation is followed.

Salt water lowers the share: pKa rises by (0.1552 - 0.0003142 t) I, with the ionic strength I = 19.9273 S / (1000 - 1.005109 S)
(Whitfield 1974 as used by Hampson 1977, from memory). Khoo et al. 1977 overestimates and is not used. In a club's fresh water
(below 3 ppt) salinity may be left out: the error is on the safe side.
"""

from enum import StrEnum

NH3_PER_N = 17.031 / 14.007
"""Grams of NH3 that hold a gram of nitrogen (standard atomic weights N 14.007, H 1.008)."""
NH4_PER_N = 18.039 / 14.007
"""Grams of NH4+ that hold a gram of nitrogen."""
LIMIT_NH3 = 0.025
"""mg/L of un-ionised ammonia, as NH3, that fish may live in (EIFAC Technical Paper 11, 1970, from memory)."""
HARM_NH3 = 0.05
"""mg/L of un-ionised ammonia that may harm (UF/IFAS Extension FA16 as copied; text seen)."""


class Kit(StrEnum):
    """What a test kit's milligrams are milligrams of."""

    NITROGEN = "N"
    AMMONIA = "NH3"


def dissociation(temperature_c: float, salinity: float = 0.0) -> float:
    """pKa of ammonium at 0-50 °C, salinity in g/kg."""
    strength = 19.9273 * salinity / (1000 - 1.005109 * salinity)
    return 0.09018 + 2729.92 / (273.15 + temperature_c) + (0.1552 - 0.0003142 * temperature_c) * strength


def unionised_share(ph: float, temperature_c: float, salinity: float = 0.0) -> float:
    """Share of total ammonia that is NH3 (0-1)."""
    return float(1 / (1 + 10 ** (dissociation(temperature_c, salinity) - ph)))


def as_nitrogen(total: float, kit: Kit) -> float:
    """Total ammonia as a kit reports it, in mg/L of nitrogen."""
    return total if kit is Kit.NITROGEN else total / NH3_PER_N


def unionised_as_nitrogen(total_n: float, ph: float, temperature_c: float, salinity: float = 0.0) -> float:
    """Un-ionised ammonia in mg/L of nitrogen, from total ammonia nitrogen."""
    return total_n * unionised_share(ph, temperature_c, salinity)


def unionised_as_ammonia(total_n: float, ph: float, temperature_c: float, salinity: float = 0.0) -> float:
    """Un-ionised ammonia in mg/L of NH3, from total ammonia nitrogen."""
    return NH3_PER_N * unionised_as_nitrogen(total_n, ph, temperature_c, salinity)


def largest_total(ph: float, temperature_c: float, limit_nh3: float = LIMIT_NH3, salinity: float = 0.0) -> float:
    """The largest total ammonia nitrogen (mg/L) that keeps un-ionised ammonia at the limit (mg/L as NH3)."""
    return limit_nh3 / NH3_PER_N / unionised_share(ph, temperature_c, salinity)


def _titrated(ph: float, middle: float, low: float, high: float) -> float:
    return float(low / (1 + 10 ** (middle - ph)) + high / (1 + 10 ** (ph - middle)))


def wild_waters_acute_1999(ph: float, salmonids: bool = False) -> float:
    """EPA-822-R-99-014 acute criterion, mg N/L (constants seen in a state rule). For wild waters: context, no tank standard."""
    return _titrated(ph, 7.204, 0.275, 39.0) if salmonids else _titrated(ph, 7.204, 0.411, 58.4)


def wild_waters_chronic_1999(ph: float, temperature_c: float) -> float:
    """EPA-822-R-99-014 chronic criterion with early life stages, mg N/L (constants seen in a state rule)."""
    return _titrated(ph, 7.688, 0.0577, 2.487) * min(2.85, 1.45 * float(10 ** (0.028 * (25 - temperature_c))))


def wild_waters_acute_2013(ph: float, temperature_c: float) -> float:
    """EPA 822-R-13-001 acute criterion, mg N/L (equation from memory; 17 at pH 7, 20 °C). Mussels included: context."""
    mussels = 0.7249 * _titrated(ph, 7.204, 0.0114, 1.6181) * 23.12 * float(10 ** (0.036 * (20 - temperature_c)))
    return min(wild_waters_acute_1999(ph, salmonids=True), mussels)


def wild_waters_chronic_2013(ph: float, temperature_c: float) -> float:
    """EPA 822-R-13-001 chronic criterion, mg N/L (equation from memory; 1.9 at pH 7, 20 °C; four days at most 2.5 times it)."""
    warm = 2.126 * float(10 ** (0.028 * (20 - max(temperature_c, 7))))
    return 0.8876 * _titrated(ph, 7.688, 0.0278, 1.1994) * warm


def two_figures(criterion: float) -> float:
    """A criterion as EPA prints it, to two significant figures."""
    return float(f"{criterion:.2g}")
