"""A season in one tub, as it really goes: which fish die when, how long each is, which sex, who asks for what and when.

Truth is drawn wider than what Frywire believes beforehand (`WIDER` times the standard deviation of survival, growth rate and
spread), so the study does not flatter the model. All rules meet the same fish and the same buyers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.biology.chance import Floats
from core.species import profile

PROFILE = profile("general")
WIDER = 1.5
DAYS = 182
TEMPERATURE_C = 26.0
START_AGE = (60, 110)
"""Days since release at the start of the season, at least and at most."""
START_FISH = (18, 45)
BUYERS = 16
COUNT_EVERY = 28
LOOK_EVERY = 7
FOUND = 0.6
"""Share of the dead that are found and told; the others are missed at the next count."""
SEXED_FROM_MM = 50.0
"""The keeper sexes what is this long at each count."""


@dataclass(frozen=True, slots=True)
class Buyer:
    """Somebody who asks on a day for fish to fetch on a later one."""

    asks_on: int
    fetches_on: int
    males: int
    females: int
    either: int
    min_mm: float

    @property
    def count(self) -> int:
        """All fish asked for."""
        return self.males + self.females + self.either


@dataclass(frozen=True, slots=True)
class Season:
    """What will happen, known to nobody but the oracle."""

    age: int
    """Days since release on day 0."""
    dies_on: NDArray[np.int_]
    """Day on which each fish would die in the tub (beyond the season where it does not)."""
    is_male: NDArray[np.bool_]
    rank: Floats
    """Each fish's place among its siblings, in standard deviations of length."""
    rate: float
    spread: float
    is_found: NDArray[np.bool_]
    order: Floats
    """A random number per fish: who swims into the net."""
    buyers: tuple[Buyer, ...]

    def lengths(self, day: int) -> Floats:
        """Length in mm of every fish on a day."""
        growth = PROFILE.growth
        warmth = (self.age + day) * (TEMPERATURE_C - growth.base_c.likely)
        start = -np.log(1 - growth.start_mm.likely / growth.asymptote_mm.likely)
        mean = growth.asymptote_mm.likely * -np.expm1(-(start + self.rate * warmth))
        return np.asarray(mean * np.maximum(0.3, 1 + self.spread * self.rank))


def draw(rng: np.random.Generator) -> Season:
    """A season by lot."""
    growth, survival = PROFILE.growth, PROFILE.survival.grow_out
    fish = int(rng.integers(START_FISH[0], START_FISH[1] + 1))
    worth = survival.worth.likely / WIDER**2
    monthly = rng.beta(survival.share.likely * worth, (1 - survival.share.likely) * worth)
    daily = max(monthly, 0.3) ** (1 / 30)
    lives = rng.geometric(max(1e-9, 1 - daily), size=fish)
    share = PROFILE.male_share
    males = rng.beta(share.likely * PROFILE.male_share_worth.likely, (1 - share.likely) * PROFILE.male_share_worth.likely)
    return Season(
        age=int(rng.integers(*START_AGE)),
        dies_on=np.minimum(lives, 10_000),
        is_male=rng.random(fish) < males,
        rank=rng.normal(size=fish),
        rate=max(growth.rate.likely + WIDER * growth.rate.spread * rng.normal(), 0.3 * growth.rate.likely),
        spread=max(growth.spread.likely + WIDER * growth.spread.spread * rng.normal(), 0.03),
        is_found=rng.random(fish) < FOUND,
        order=rng.random(fish),
        buyers=tuple(sorted((_buyer(rng) for _ in range(BUYERS)), key=lambda buyer: buyer.asks_on)),
    )


def _buyer(rng: np.random.Generator) -> Buyer:
    asks_on = int(rng.integers(0, DAYS - 10))
    fetches_on = min(DAYS - 1, asks_on + int(rng.integers(3, 60)))
    by_sex = fetches_on > 120 and rng.random() < 0.3
    if by_sex:
        return Buyer(asks_on, fetches_on, 1, int(rng.integers(1, 4)), 0, 0.0)
    min_mm = float(rng.choice([0.0, 30.0, 38.0]))
    return Buyer(asks_on, fetches_on, 0, 0, int(rng.integers(2, 8)), min_mm)
