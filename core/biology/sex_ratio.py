"""How many males and females to expect of a pairing, and how many unsexed fish to take for a wanted group.

Many Lake Malawi species carry an XY system, some also ZW, with W dominant over Y (Ser, Roberts & Kocher 2010; text seen):
half and half is an assumption that some crosses break, so each pairing has a beta belief of its own.
"""

from itertools import product

from core.biology.chance import Beta, Floats, beta_binomial, binomial, interval
from core.species import Profile

MOST_FISH = 4096
"""Nobody is told to take more fish than this."""
ROUNDING = 1e-12
"""A certainty that is met exactly must not be missed by the last digit."""


def prior(profile: Profile) -> Beta:
    """The belief about the share of males before any of a pairing's young were sexed."""
    return Beta.of(profile.male_share.likely, profile.male_share_worth.likely)


def sexed(belief: Beta, males: int, females: int) -> Beta:
    """The belief after so many young of the pairing were sexed."""
    return belief.seen(males, females)


def males_among(fish: int, belief: Beta | float) -> Floats:
    """P(0, 1 … males) among unsexed fish: beta-binomial for a belief, binomial for a known share."""
    return beta_binomial(fish, belief) if isinstance(belief, Beta) else binomial(fish, belief)


def probability_of_group(fish: int, males: int, females: int, belief: Beta | float) -> float:
    """P(at least so many males and so many females among so many unsexed fish)."""
    if fish < males + females:
        return 0.0
    return float(min(1.0, males_among(fish, belief)[males : fish - females + 1].sum()))


def unsexed_needed(males: int, females: int, certainty: float, belief: Beta | float) -> int | None:
    """The fewest unsexed fish that hold the group with this certainty; None if `MOST_FISH` do not."""
    few, many = males + females - 1, MOST_FISH
    enough = certainty - ROUNDING
    if probability_of_group(many, males, females, belief) < enough:
        return None
    while many - few > 1:
        middle = (few + many) // 2
        if probability_of_group(middle, males, females, belief) >= enough:
            many = middle
        else:
            few = middle
    return many


def males_expected(fish: int, belief: Beta) -> tuple[int, int]:
    """The number of males among unsexed fish that holds nine times in ten (low, high)."""
    return interval(males_among(fish, belief))


def expected_male_share(sire: tuple[str, str], dam: tuple[str, str]) -> float:
    """Share of males of a cross when W makes a female whatever the Y says; all genotypes live.

    A genotype is its ZW and its XY locus, as ("ZZ", "XY").
    """
    young = [(set(zw), set(xy)) for zw in product(sire[0], dam[0]) for xy in product(sire[1], dam[1])]
    return sum("W" not in zw and "Y" in xy for zw, xy in young) / len(young)
