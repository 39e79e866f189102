"""How many fish a water carries, and what tubs, salt and wet hands may bear."""

from dataclasses import dataclass
from enum import StrEnum

US_GALLON_L = 3.785411784
POUND_KG = 0.45359237
MOST_KG_PER_M3 = 20.0
NURSERY_FRY_PER_10_L = (20, 30)
"""New fry in a box or sponge-filtered tub (common practice, no source)."""
NURSERY_G_PER_L = 1.0
"""Most fry, by weight, up to 2 cm (common practice, no source)."""
NURSERY_DAILY_CHANGE = (0.20, 0.30)
"""Share of a nursery's water to change each day (common practice, no source)."""
RCD_MOST_MA = 30
"""Largest rating of a residual-current device that protects people, mA (HSE guidance as copied by an electrician; seen)."""
TOTE_TARE_KG = 60.0
"""Cage and pallet of a 1,000 L container (common practice, no source)."""


class Crowding(StrEnum):
    """How full a water is."""

    ROOMY = "roomy"
    USUAL = "usual"
    FULL = "full"
    TOO_FULL = "too_full"


@dataclass(frozen=True, slots=True)
class Load:
    """What a water holds against what it carries."""

    kg_per_m3: float
    most_kg_per_m3: float
    crowding: Crowding
    room_kg: float
    """More fish it would carry (negative: too many)."""


def kg_per_m3(total_weight_g: float, litres: float) -> float:
    """Fish in a water, kg per m³ (the same number as g per litre)."""
    return total_weight_g / litres


def load(total_weight_g: float, litres: float, most: float = MOST_KG_PER_M3) -> Load:
    """How full a water is; `most` in kg per m³."""
    density = kg_per_m3(total_weight_g, litres)
    share = density / most
    steps = ((0.5, Crowding.ROOMY), (0.85, Crowding.USUAL), (1.0 + 1e-12, Crowding.FULL))
    crowding = next((name for bound, name in steps if share <= bound), Crowding.TOO_FULL)
    return Load(density, most, crowding, (most - density) * litres / 1000)


def most_fish_kg(litres: float, most: float = MOST_KG_PER_M3) -> float:
    """Weight of fish a water carries, kg."""
    return most * litres / 1000


def nursery_fry(litres: float, mean_weight_g: float) -> tuple[int, int]:
    """How many fry a nursery holds (cautious, usual): by number, and never more than 1 g per litre."""
    by_weight = int(NURSERY_G_PER_L * litres / mean_weight_g + 1e-9)
    cautious, usual = (int(count * litres / 10 + 1e-9) for count in NURSERY_FRY_PER_10_L)
    return min(cautious, by_weight), min(usual, by_weight)


def kg_per_m3_from_pounds_per_gallon(pounds_per_us_gallon: float) -> float:
    """Pounds of fish per US gallon in kg per m³."""
    return pounds_per_us_gallon * POUND_KG / US_GALLON_L * 1000


def full_mass_kg(litres: float, tare_kg: float = 0.0) -> float:
    """What a full tub weighs: a litre of water is a kilogram."""
    return litres + tare_kg


def salt_grams(litres: float, parts_per_thousand: float) -> float:
    """Salt for a water of this strength, g."""
    return litres * parts_per_thousand


def salt_grams_per_us_gallon(parts_per_thousand: float) -> float:
    """Salt for a US gallon of this strength, g."""
    return salt_grams(US_GALLON_L, parts_per_thousand)


def salt_strength(percent: float) -> tuple[float, float]:
    """Per cent of salt as (parts per thousand, parts per million)."""
    return percent * 10, percent * 10_000
