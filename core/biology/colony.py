"""How fast a colony loses diversity: effective size, inbreeding rate, and what a line of close matings does.

Textbook algebra (Wright 1931; Falconer & Mackay 1996, from memory). The rates are long-run ones: young of unrelated
founders have F = 0 however few the founders are.
"""

from collections.abc import Sequence
from enum import StrEnum

SHORT_TERM_SIZE = 50
"""Least effective size for fitness in the short term (FAO expert consultation, Fisheries Technical Paper 217; text seen)."""
LONG_TERM_SIZE = 500
"""Least effective size for the long term (same source)."""


class Mating(StrEnum):
    """Systems of close mating, kept up generation after generation."""

    SELFING = "selfing"
    FULL_SIBS = "full_sibs"
    HALF_SIBS = "half_sibs"


def effective_size(males: float, females: float) -> float:
    """Ne = 4 Nm Nf / (Nm + Nf); 0 without one sex. One male with any number of females stays below 4."""
    return 4 * males * females / (males + females) if males > 0 and females > 0 else 0.0


def inbreeding_rate(size: float) -> float:
    """Inbreeding added per generation: 1 / (2 Ne); 1 for a colony that cannot breed."""
    return 1 / (2 * size) if size > 0 else 1.0


def size_of_rate(rate: float) -> float:
    """Effective size that loses diversity at this rate per generation."""
    return 1 / (2 * rate)


def inbreeding_after(size: float, generations: int) -> float:
    """F = 1 - (1 - 1 / (2 Ne))^t."""
    return float(1 - (1 - 1 / (2 * size)) ** generations)


def size_once_inbred(size: float, inbreeding: float) -> float:
    """Ne of parents already inbred: Ne / (1 + F)."""
    return size / (1 + inbreeding)


def size_over_generations(sizes: Sequence[float]) -> float:
    """Effective size of generations of changing size: their harmonic mean."""
    return len(sizes) / sum(1 / size for size in sizes)


def size_to_stay_below(inbreeding: float, generations: int) -> float:
    """Effective size that keeps F below a limit over so many generations: t / (2 F) (Tave 1999, FAO FTP 392, from memory)."""
    return generations / (2 * inbreeding)


def allele_loss(frequency: float, size: float) -> float:
    """Chance to lose an allele of this frequency in one generation: (1 - p)^(2 Ne) (Tave 1999, from memory)."""
    return float((1 - frequency) ** (2 * size))


def line(mating: Mating, generations: int) -> list[float]:
    """F of generations 1, 2 … of a line of close matings from unrelated, non-inbred founders.

    Full sibs: f = (1 + 2 f1 + f2) / 4; half sibs: f = (1 + 6 f1 + f2) / 8; selfing: f = (1 + f1) / 2, with f1 and f2 of the
    last and the last but one generation (Crow & Kimura; Falconer & Mackay, from memory).
    """
    parts, one, two = {
        Mating.SELFING: (2, 1, 0),
        Mating.FULL_SIBS: (4, 2, 1),
        Mating.HALF_SIBS: (8, 6, 1),
    }[mating]
    inbred = [0.0, 0.0]
    for _ in range(generations):
        inbred.append((1 + one * inbred[-1] + two * inbred[-2]) / parts)
    return inbred[2:]
