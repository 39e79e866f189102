"""The shape of a species profile: which numbers Frywire needs of a species, and how sure each of them is."""

from dataclasses import dataclass
from enum import StrEnum
from math import log


class Mark(StrEnum):
    """How sure a figure is."""

    VERIFIED = "verified"  # the text of the source was seen
    MEMORY = "memory"  # reported from memory, the text was not seen
    PRACTICE = "practice"  # common practice, no source


NINETY_PERCENT = 2 * 1.6448536269514722
"""Width of a nine-in-ten range of a normal distribution, in standard deviations."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of a profile: the likely value, a nine-in-ten range about it, and where it comes from."""

    likely: float
    low: float
    high: float
    mark: Mark
    source: str | None = None
    """The publication behind it; None for common practice."""

    @property
    def spread(self) -> float:
        """Standard deviation implied by the range (same unit as the figure)."""
        return (self.high - self.low) / NINETY_PERCENT

    @property
    def log_spread(self) -> float:
        """Standard deviation of the logarithm implied by the range (positive figures only)."""
        return log(self.high / self.low) / NINETY_PERCENT

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Development:
    """Days from spawning at 27 °C to each stage, and how steeply warmth shortens them."""

    bulge_days: Figure
    hatch_days: Figure
    strip_days: Figure
    """low: the strip window opens; high: it closes."""
    yolk_days: Figure
    release_days: Figure
    q10: Figure
    """How many times faster development runs for 10 °C more."""


@dataclass(frozen=True, slots=True)
class Growth:
    """A von Bertalanffy-shaped curve on degree-days, lengths in mm of total length."""

    start_mm: Figure
    """Length at release."""
    asymptote_mm: Figure
    base_c: Figure
    """Below this temperature nothing grows (°C)."""
    optimum_c: Figure
    """Warmth above this adds nothing (°C)."""
    rate: Figure
    """Growth coefficient per degree-day."""
    spread: Figure
    """Coefficient of variation of length among siblings."""
    spread_worth: Figure
    """How many measured siblings the prior for the spread is worth."""


@dataclass(frozen=True, slots=True)
class LengthWeight:
    """W = a L^b, W in grams, L in cm of total length."""

    a: Figure
    b: Figure


@dataclass(frozen=True, slots=True)
class Ready:
    """Lengths (mm) at which a juvenile may leave the box, may be sold, can be sexed."""

    out_of_box: Figure
    saleable: Figure
    sexable: Figure


@dataclass(frozen=True, slots=True)
class Brood:
    """What a female is expected to do: fry in a brood, days between broods, days of rest, company."""

    fry: Figure
    interval_days: Figure
    rest_days: Figure
    females_per_male: Figure


@dataclass(frozen=True, slots=True)
class StageSurvival:
    """Share surviving a stage (`mouth`: the whole of it; `box` and `grow_out`: thirty days of it)."""

    share: Figure
    worth: Figure
    """How many fish followed through the stage the prior is worth."""


@dataclass(frozen=True, slots=True)
class Survival:
    """The three stages of a juvenile's life in the club."""

    mouth: StageSurvival
    box: StageSurvival
    grow_out: StageSurvival


@dataclass(frozen=True, slots=True)
class Profile:
    """A species as Frywire sees it before the club's own records narrow the figures."""

    key: str
    names: tuple[str, ...]
    """Common names, lower case, the usual one first."""
    scientific: tuple[str, ...]
    """The accepted scientific name first, then synonyms still in use."""
    temperature_c: Figure
    ph: Figure
    development: Development
    growth: Growth
    length_weight: LengthWeight
    ready_mm: Ready
    brood: Brood
    survival: Survival
    male_share: Figure
    male_share_worth: Figure
    maturity_mm: Figure
    maturity_months: Figure
    protein: Figure
    """Share of protein in the feed."""
