"""What biology says of one batch's days to come, put so that its promises can be weighed: alive, long enough, male."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from core.biology.chance import Beta, Floats, normal_scenarios
from core.biology.growth import Part, mixed_scenarios
from core.fishroom.state import Batch, Fishroom
from core.planning.outlook import male_share, size_for, strands, survival_stretches
from core.planning.tally import Scenarios
from core.species import profile

SURE = 1e-7
"""A share this close to all fish is all of them."""


@dataclass(frozen=True, slots=True)
class Fineness:
    """How many scenarios of each kind are looked at."""

    survival: int
    growth: int


IN_TOTAL = Fineness(survival=12, growth=9)
"""Where only numbers count: agrees with the closed beta-binomial form to nine decimals for forty fish."""
BY_SEX = Fineness(survival=6, growth=5)
"""Where males and females are counted: agrees to about four decimals, in a fraction of the time."""


@dataclass(frozen=True, slots=True)
class Prospect:
    """Beliefs about one batch from `today` on."""

    today: date
    stretches: tuple[tuple[int, Beta], ...]
    """The belief about surviving one day, and for how many days it holds; the last one holds on."""
    parts: Callable[[date], Sequence[Part]]
    """Its growth on a day: one part, or several where batches were mixed or stand in different water."""
    male_share: Beta
    saleable_mm: float
    sexable_mm: float

    def scenarios(self, fineness: Fineness) -> Scenarios:
        """How likely each scenario is."""
        return Scenarios(self._survival(fineness)[0], normal_scenarios(fineness.growth)[0], self.male_share)

    def alive(self, day: date, fineness: Fineness) -> Floats:
        """P(a fish alive today is alive on the day), per survival scenario.

        A scenario that is lucky in one stretch of life is as lucky in the next: the spread is never understated.
        """
        left = max(0, (day - self.today).days)
        surviving = np.ones(fineness.survival)
        for index, (days, belief) in enumerate(self.stretches):
            last = index == len(self.stretches) - 1
            here = left if last else min(left, days)
            surviving = surviving * self._like_first(belief, fineness) ** here
            left -= here
        return surviving

    def long(self, mm: float | None, day: date, fineness: Fineness) -> Floats:
        """P(a fish of the batch is at least so long on the day), per growth scenario; sure where no length is asked."""
        if not mm:
            return np.ones(fineness.growth)
        share = mixed_scenarios(self.parts(max(day, self.today)), mm, fineness.growth)[1]
        return np.where(share > 1 - SURE, 1.0, np.clip(share, 0.0, 1.0))

    def expected_alive(self, day: date) -> float:
        """The share of the fish alive today that is expected alive on the day."""
        return float(self._survival(IN_TOTAL)[0] @ self.alive(day, IN_TOTAL))

    def expected_long(self, mm: float | None, day: date) -> float:
        """The share of the living that is expected to be so long on the day."""
        return float(normal_scenarios(IN_TOTAL.growth)[0] @ self.long(mm, day, IN_TOTAL))

    def _survival(self, fineness: Fineness) -> tuple[Floats, Floats]:
        return self.stretches[0][1].scenarios(fineness.survival)

    def _like_first(self, belief: Beta, fineness: Fineness) -> Floats:
        """The scenarios of the first stretch, at the same luck in another belief."""
        first = self.stretches[0][1]
        shares = self._survival(fineness)[1]
        if belief == first:
            return shares
        from scipy.special import betainc, betaincinv

        return np.asarray(betaincinv(belief.yes, belief.no, betainc(first.yes, first.no, shares)))


Prospects = Callable[[Fishroom, Batch, date], Prospect]
"""Where the prospect of a batch comes from."""


def prospect_of(room: Fishroom, batch: Batch, today: date) -> Prospect:
    """What the fishroom's own records say of the batch."""
    species = profile(room.species_of(batch.strain))
    found = strands(room, batch, today)
    return Prospect(
        today=today,
        stretches=survival_stretches(room, batch, today),
        parts=lambda day: [strand.part(day) for strand in found],
        male_share=male_share(room, batch),
        saleable_mm=size_for(species, "saleable"),
        sexable_mm=size_for(species, "sexable"),
    )
