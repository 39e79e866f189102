"""What a batch should eat: grams a day, feeds, how fine, how many pinches; and what that feed puts into the water."""

from dataclasses import dataclass
from enum import StrEnum
from math import inf

from core.species import Profile

PINCH_G = 0.15
"""What two dry fingers hold of a dry feed (common practice, no source: 0.1-0.2 g; weigh your own once)."""
LB_G = 453.59237
GRAMS_TAN_PER_GRAM_PROTEIN = 0.092
"""Total ammonia nitrogen from protein fed (Timmons & Ebeling, Recirculating Aquaculture, from memory)."""
NITROGEN_OF_PROTEIN = 0.16
WASTED_NITROGEN = 0.61
"""Share of the feed's nitrogen that becomes ammonia (Somerville et al. 2014, FAO 589 app. 4; text seen)."""
AMMONIA_PER_NITROGEN = 1.2
BIOFILTER_G_PER_M2 = 0.57
"""Ammonia a square metre of biofilter turns over in a day, g (FAO 589 app. 4, from memory)."""
MEDIA_M2_PER_M3 = 300.0
"""Surface of a cubic metre of gravel-like media, m² (FAO 589 app. 4, from memory)."""
ALKALINITY_PER_TAN = 7.0
"""Grams of alkalinity (as CaCO3) used up per gram of ammonia nitrogen (extension text on tilapia tanks; text seen)."""


@dataclass(frozen=True, slots=True)
class Band:
    """Fish up to a weight: share of body weight fed a day, and in how many feeds."""

    below_g: float
    low: float
    high: float
    feeds: int


MBUNA = (Band(0.3, 0.06, 0.10, 5), Band(2.0, 0.04, 0.06, 3), Band(10.0, 0.02, 0.04, 2), Band(inf, 0.010, 0.015, 2))
"""Half of what tilapia get (common practice, no source)."""
TILAPIA = (
    Band(0.35, 0.15, 0.20, 12),  # tank fry: 20 falling to 15 % in the first month (extension text on tilapia tanks; seen)
    Band(2.5, 0.08, 0.09, 12),  # feed company manager quoted in a newspaper (text seen)
    Band(10.0, 0.07, 0.08, 8),  # the same
    Band(20.0, 0.065, 0.075, 7),  # commercial feeding chart: 1.1 kg for 1000 fish of 12-20 g (text seen)
    Band(100.0, 0.045, 0.055, 5),  # the same chart
    Band(inf, 0.015, 0.03, 3),  # common practice, no source
)


class Limit(StrEnum):
    """What keeps a ration below what the fish would take."""

    NONE = "none"
    COLD = "cold"
    TOO_COLD = "too_cold"
    HEAT = "heat"
    FILTER = "filter"


class Crop(StrEnum):
    """What grows on the tub."""

    LEAFY = "leafy"
    FRUITING = "fruiting"


PLANTS_G_PER_M2 = {Crop.LEAFY: (40.0, 50.0), Crop.FRUITING: (50.0, 80.0)}
"""Feed a day (32 % protein) that a square metre of plants takes up, g (FAO 589 ch. 8; text seen)."""


@dataclass(frozen=True, slots=True)
class Ration:
    """What a batch eats in a day (grams, with the range of practice), and how to give it."""

    low_g: float
    grams: float
    high_g: float
    feeds: int
    particle_mm: tuple[float, float]
    ground: bool
    """Feed is to be rubbed to dust between the fingers."""
    protein: float
    limit: Limit

    @property
    def per_feed_g(self) -> float:
        """Grams in one feed."""
        return self.grams / self.feeds if self.feeds else 0.0

    @property
    def pinches_per_feed(self) -> float:
        """Pinches in one feed."""
        return self.per_feed_g / PINCH_G


def bands(profile: Profile) -> tuple[Band, ...]:
    """The feeding table of a species: tilapia have their own, the others eat like mbuna."""
    return TILAPIA if profile.scientific[0].startswith("Oreochromis") else MBUNA


def ration(
    profile: Profile,
    fish: float,
    mean_weight_g: float,
    length_mm: float,
    temperature_c: float,
    filter_g_per_day: float = inf,
) -> Ration:
    """What so many fish of this weight and length eat a day in this water.

    `filter_g_per_day`: ammonia nitrogen that filter and plants take up; the ration keeps below it. Rates by weight come
    from the species' table; half below 24 °C and above 31 °C, nothing below 20 °C (common practice, no source).
    """
    band = next(each for each in bands(profile) if mean_weight_g < each.below_g)
    factor, limit = _by_temperature(temperature_c)
    most = filter_g_per_day / (GRAMS_TAN_PER_GRAM_PROTEIN * profile.protein.likely)
    wanted = [share * factor * fish * mean_weight_g for share in (band.low, (band.low + band.high) / 2, band.high)]
    if wanted[1] > most:
        limit = Limit.FILTER
    low, grams, high = (min(each, most) for each in wanted)
    particle = particle_mm(length_mm)
    return Ration(low, grams, high, band.feeds if grams > 0 else 0, particle, particle[1] <= 0.5, profile.protein.likely, limit)


def _by_temperature(temperature_c: float) -> tuple[float, Limit]:
    if temperature_c < 20:
        return 0.0, Limit.TOO_COLD
    if temperature_c < 24:
        return 0.5, Limit.COLD
    return (1.0, Limit.NONE) if temperature_c <= 31 else (0.5, Limit.HEAT)


def particle_mm(length_mm: float) -> tuple[float, float]:
    """Particle size for fish of this length: below 0.3 mm for new fry, 0.5-1 mm at 2-4 cm (common practice, no source)."""
    sizes = ((16.0, (0.1, 0.3)), (20.0, (0.3, 0.5)), (40.0, (0.5, 1.0)), (70.0, (1.0, 2.0)), (inf, (2.0, 4.0)))
    return next(size for below, size in sizes if length_mm < below)


def published_share(feed_g: float, fish: float, mean_weight_g: float) -> float:
    """Feed a day over body weight, to compare a feeding chart."""
    return feed_g / (fish * mean_weight_g)


def ammonia_nitrogen_g(feed_g: float, protein: float) -> float:
    """P_TAN = feed · protein · 0.092, g of total ammonia nitrogen a day."""
    return feed_g * protein * GRAMS_TAN_PER_GRAM_PROTEIN


def ammonia_g(feed_g: float, protein: float) -> float:
    """FAO 589 app. 4: feed · protein · 0.16 · 0.61 · 1.2, g of ammonia a day."""
    return feed_g * protein * NITROGEN_OF_PROTEIN * WASTED_NITROGEN * AMMONIA_PER_NITROGEN


def biofilter_m2(feed_g: float, protein: float) -> float:
    """Surface that turns over the ammonia of a day's feed (FAO 589 app. 4)."""
    return ammonia_g(feed_g, protein) / BIOFILTER_G_PER_M2


def media_litres(feed_g: float, protein: float, m2_per_m3: float = MEDIA_M2_PER_M3) -> float:
    """Filter media that has this surface."""
    return biofilter_m2(feed_g, protein) / m2_per_m3 * 1000


def feed_for_media(litres: float, protein: float, m2_per_m3: float = MEDIA_M2_PER_M3) -> float:
    """The daily feed (g) that filter media of this volume carries (the inverse)."""
    return litres / 1000 * m2_per_m3 * BIOFILTER_G_PER_M2 / ammonia_g(1.0, protein)


def feed_for_plants(area_m2: float, crop: Crop) -> tuple[float, float]:
    """The daily feed (g, low and high) that plants on this area take up; 32 % protein feed."""
    low, high = PLANTS_G_PER_M2[crop]
    return low * area_m2, high * area_m2


def plants_m2(feed_g: float, crop: Crop) -> tuple[float, float]:
    """The area of plants (low and high) that takes up a day's feed."""
    low, high = PLANTS_G_PER_M2[crop]
    return feed_g / high, feed_g / low


def fish_for_feed_g(feed_g: float, share_of_weight: float) -> float:
    """Weight of fish that eats a day's feed at this share of body weight."""
    return feed_g / share_of_weight


def alkalinity_g(tan_g: float) -> float:
    """Alkalinity (g as CaCO3) used up while this much ammonia nitrogen is turned over."""
    return ALKALINITY_PER_TAN * tan_g


def excretion_mg_per_kg(grams_per_hundred_pounds: float) -> float:
    """An old extension unit (g of ammonia per 100 lb of fish and day) in mg per kg and day."""
    return grams_per_hundred_pounds * 1000 / (100 * LB_G / 1000)
