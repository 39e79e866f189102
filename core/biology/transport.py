"""How to bag fish for a journey: fish per bag, water and gas, when to stop feeding, and what to beware of.

What limits a sealed bag is waste, not oxygen. Densities by hours are a club's defaults (common practice, no source); they
stay below published packings, which are listed for comparison.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from core.biology import oxygen
from core.biology.ammonia import unionised_as_ammonia

WATER_SHARE = 1 / 3
"""Of a bag; the rest is gas (club and extension rule; text seen. The same in the IATA live animals rules, from memory)."""
LARGEST_BAG_L = 20.0
"""A fish that needs more goes in a lidded container (common practice, no source)."""
MOST_HOURS = 24.0
"""Longest journey the densities are meant for."""
REOXYGENATE_HOURS = 36.0
"""Nobody confines fish longer without new oxygen and a look at the temperature (CITES packer's guidelines Ps/2; text seen)."""
KEEP_C = (22.0, 26.0)
LARGE_MM = 80.0
"""From this length one fish to a bag (club auction rule has 'big fish'; the length is common practice, no source)."""
FASTED_MG_N_PER_KG_DAY = 88.0
"""Ammonia nitrogen from fish off their feed: the low end of 88-463 measured in tilapia tanks (extension text seen)."""
EXCITED = 2.0
"""Fish in a bag use up to twice the resting oxygen (common practice, no source: 1.5-2)."""


@dataclass(frozen=True, slots=True)
class Density:
    """Grams of fish per litre of bag water for journeys up to so many hours."""

    hours: float
    with_oxygen: bool
    grams_per_l: float


DENSITIES = (
    Density(2.0, False, 10.0),
    Density(6.0, False, 5.0),
    Density(6.0, True, 25.0),
    Density(24.0, True, 15.0),
)


@dataclass(frozen=True, slots=True)
class Packing:
    """A packing reported elsewhere, to compare with."""

    fish: str
    hours: float
    grams_per_l: float | None
    fish_per_l: float
    source: str


PUBLISHED = (
    Packing("zebrafish", 24.0, 30.0, 60.0, "Zebrafish newsgroup practice, 1997 (text seen)"),
    Packing("guppy", 24.0, None, 20 / 0.4, "Teo, Chen & Lee 1989, Aquaculture 78 (abstract seen)"),
)


class Caution(StrEnum):
    """What the packer or the buyer must be told."""

    ONE_PER_BAG = "one_per_bag"
    KEEP_WARM = "keep_warm"
    KEEP_COOL = "keep_cool"
    DOUBLE_BAG = "double_bag"
    AMMONIA_ON_OPENING = "ammonia_on_opening"
    NO_AIRSTONE_IN_BAG_WATER = "no_airstone_in_bag_water"
    FLOAT_THEN_DISCARD_WATER = "float_then_discard_water"
    MATCH_PH_SLOWLY = "match_ph_slowly"
    OXYGEN_SAFETY = "oxygen_safety"


@dataclass(frozen=True, slots=True)
class Bags:
    """How to pack a number of fish."""

    bags: int
    fish_per_bag: int
    water_l: float
    gas_l: float
    grams_per_l: float
    """Of the fullest bag."""
    oxygen_hours: float
    """Until half of the gas's oxygen is used by excited fish."""
    tan_mg_per_l: float
    """Ammonia nitrogen expected in the bag on arrival."""
    fast_hours: tuple[float, float]
    """Last feed so many hours before packing (at the latest, better)."""
    cautions: tuple[Caution, ...]


class NotAdvised(StrEnum):
    """Why a journey should not be made like this."""

    TOO_LONG = "too_long"
    NEEDS_OXYGEN = "needs_oxygen"
    NEEDS_CONTAINER = "needs_container"


def bag_volumes(bag_l: float) -> tuple[float, float]:
    """(water, gas) litres in a bag of this size."""
    return bag_l * WATER_SHARE, bag_l * (1 - WATER_SHARE)


def grams_per_litre(hours: float, with_oxygen: bool, temperature_c: float = 25.0) -> float | NotAdvised:
    """How many grams of fish a litre of bag water may hold; above 26 °C less, as the fish's use doubles per 10 °C."""
    if hours > MOST_HOURS:
        return NotAdvised.TOO_LONG
    for density in DENSITIES:
        if density.with_oxygen == with_oxygen and hours <= density.hours:
            return density.grams_per_l * min(1.0, float(2 ** ((26.0 - temperature_c) / 10)))
    return NotAdvised.NEEDS_OXYGEN


def fasting_hours(length_mm: float) -> tuple[float, float]:
    """Hours without food before packing: fry 12-24, others 24-48 (common practice, no source)."""
    return (12.0, 24.0) if length_mm < 20 else (24.0, 48.0)


def bags(
    fish: int,
    weight_g: float,
    length_mm: float,
    hours: float,
    with_oxygen: bool = False,
    temperature_c: float = 25.0,
    bag_l: float = 3.0,
) -> Bags | NotAdvised:
    """How to pack so many fish of this size for a journey of so many hours; a fish too heavy for the bag gets a larger one."""
    density = grams_per_litre(hours, with_oxygen, temperature_c)
    if isinstance(density, NotAdvised):
        return density
    water_l, gas_l = bag_volumes(max(bag_l, weight_g / density / WATER_SHARE))
    if water_l + gas_l > LARGEST_BAG_L:
        return NotAdvised.NEEDS_CONTAINER
    fit = int(density * water_l / weight_g + 1e-9)
    per_bag = 1 if length_mm >= LARGE_MM else max(1, min(fit, fish))
    return Bags(
        bags=ceil(fish / per_bag),
        fish_per_bag=per_bag,
        water_l=water_l,
        gas_l=gas_l,
        grams_per_l=per_bag * weight_g / water_l,
        oxygen_hours=oxygen_hours(per_bag, weight_g, temperature_c, gas_l, with_oxygen),
        tan_mg_per_l=tan_in_bag(per_bag * weight_g, water_l, hours),
        fast_hours=fasting_hours(length_mm),
        cautions=_cautions(length_mm, hours, with_oxygen, temperature_c),
    )


def oxygen_hours(fish: int, weight_g: float, temperature_c: float, gas_l: float, pure: bool) -> float:
    """Hours until excited fish have used half of the oxygen in the gas."""
    store = oxygen.gas_mg(gas_l, temperature_c, 1.0 if pure else 0.2095)
    return store / 2 / (fish * EXCITED * oxygen.use_mg_per_hour(weight_g, temperature_c))


def tan_in_bag(total_weight_g: float, water_l: float, hours: float) -> float:
    """Ammonia nitrogen (mg/L) that fasted fish leave in bag water."""
    return FASTED_MG_N_PER_KG_DAY * total_weight_g / 1000 * hours / 24 / water_l


def unionised_on_opening(tan_mg_per_l: float, ph_after_airing: float, temperature_c: float) -> float:
    """Un-ionised ammonia (mg/L as NH3) once the carbon dioxide is gone and the bag water's pH is back up."""
    return unionised_as_ammonia(tan_mg_per_l, ph_after_airing, temperature_c)


def _cautions(length_mm: float, hours: float, with_oxygen: bool, temperature_c: float) -> tuple[Caution, ...]:
    when = {
        Caution.ONE_PER_BAG: length_mm >= LARGE_MM,
        Caution.KEEP_WARM: temperature_c <= KEEP_C[1],
        Caution.KEEP_COOL: temperature_c > KEEP_C[1],
        Caution.DOUBLE_BAG: hours > 1,
        Caution.AMMONIA_ON_OPENING: hours > 1,
        Caution.NO_AIRSTONE_IN_BAG_WATER: True,
        Caution.FLOAT_THEN_DISCARD_WATER: True,
        Caution.MATCH_PH_SLOWLY: hours > 2,
        Caution.OXYGEN_SAFETY: with_oxygen,
    }
    return tuple(caution for caution, holds in when.items() if holds)
