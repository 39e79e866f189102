"""The values a promise is reckoned with: fish there are, fish needed on a day, scenarios; and the two tables both walks use."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from core.biology.chance import Beta, Floats, binomial


@dataclass(frozen=True, slots=True)
class Stock:
    """The fish there are now, and those of them that are not to be given away."""

    males: int = 0
    females: int = 0
    unsexed: int = 0
    held_males: int = 0
    held_females: int = 0
    held: int = 0
    """All that are held back, those of known sex included."""
    missing: tuple[tuple[float, int, int, int], ...] = ((1.0, 0, 0, 0),)
    """How many of the book's males, females and unsexed may already be gone: (probability, males, females, unsexed)."""

    @property
    def count(self) -> int:
        """All fish of the book."""
        return self.males + self.females + self.unsexed


@dataclass(frozen=True, slots=True)
class Need:
    """What is handed over on one day; the arrays say what each scenario makes of that day."""

    males: int
    females: int
    either: int
    survive: Floats
    """P(alive on this day | alive on the day of the need before, or now), per survival scenario."""
    long: Floats
    """P(a fish is as long as asked), per growth scenario."""
    long_by_sex: Floats
    """The same for a fish asked for by sex: it must also be long enough to be sexed, where it is not yet."""

    @property
    def count(self) -> int:
        """All fish handed over that day."""
        return self.males + self.females + self.either

    @property
    def by_sex(self) -> bool:
        """Whether some are asked for by sex."""
        return self.males + self.females > 0


@dataclass(frozen=True, slots=True)
class Scenarios:
    """How likely each scenario of survival and of growth is, and the belief about the share of males; all independent."""

    survival: Floats
    growth: Floats
    male_share: Beta


@dataclass(slots=True)
class Memory:
    """Binomial tables already worked out, so that a search over numbers pays for them once."""

    tables: dict[tuple[int, bytes], Floats] = field(default_factory=dict)

    def thinning(self, most: int, survive: Floats) -> Floats:
        """P(k of n survive) as survival scenario × n × k, n and k from 0 to `most`."""
        key = (most, survive.tobytes())
        if key not in self.tables:
            self.tables[key] = _thinning(most, survive)
        return self.tables[key]


def enough(most_there: int, taken: int, needed: int, long: Floats) -> Floats:
    """P(`needed` of n fish are long enough, after the `taken` longest were handed over): growth scenario × n."""
    there = np.arange(most_there + 1)
    sure = (there >= needed).astype(float)
    if needed <= 0 or not np.any(long < 1.0):
        return np.broadcast_to(sure, (len(long), most_there + 1))
    from scipy.special import bdtrc

    reached = bdtrc(float(taken + needed - 1), (there + taken)[None, :], np.clip(long, 0.0, 1.0)[:, None])
    return np.where(there[None, :] >= needed, np.nan_to_num(reached), 0.0)


def _thinning(most_there: int, survive: Floats) -> Floats:
    table = np.zeros((len(survive), most_there + 1, most_there + 1))
    for n in range(most_there + 1):
        table[:, n, : n + 1] = binomial(n, survive)
    return table
