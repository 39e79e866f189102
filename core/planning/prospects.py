"""What biology says of one batch's days to come, put so that its promises can be weighed: alive, long enough, male."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from core import species
from core.biology.chance import Beta, Floats, normal_scenarios
from core.biology.days import Temperatures
from core.biology.growth import Growth, Part, mixed_scenarios, warmth_by
from core.biology.growth import prior as growth_prior
from core.biology.sex_ratio import prior as sex_prior
from core.biology.sex_ratio import sexed
from core.biology.survival import Stage, fish_days, learned
from core.biology.survival import prior as survival_prior
from core.fishroom.state import Batch, Fishroom
from core.planning.together import Scenarios
from core.species import Profile

SURE = 1e-7
"""A share this close to all fish is all of them."""


@dataclass(frozen=True, slots=True)
class Fineness:
    """How many scenarios of each kind are looked at."""

    survival: int
    growth: int
    male_share: int


IN_TOTAL = Fineness(survival=12, growth=9, male_share=1)
"""Where only numbers count: agrees with the closed beta-binomial form to nine decimals for forty fish."""
BY_SEX = Fineness(survival=6, growth=5, male_share=5)
"""Where males and females are counted: agrees to about four decimals, in a tenth of the time."""


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
        weights, shares = self.male_share.scenarios(fineness.male_share)
        return Scenarios(
            self._survival(fineness)[0], normal_scenarios(fineness.growth)[0], male_shares=shares, male_weights=weights
        )

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
    profile = species.profile(room.species_of(batch.strain))
    water = _water(room, batch, profile)
    released = _released(batch, profile)
    growth = _growth(batch, profile, water, released)

    def parts(day: date) -> Sequence[Part]:
        return (Part(1.0, growth, warmth_by(profile, water, released, day.toordinal())),)

    return Prospect(
        today=today,
        stretches=((1, _daily(batch, profile, today)),),
        parts=parts,
        male_share=_male_share(batch, profile),
        saleable_mm=profile.ready_mm.saleable.likely,
        sexable_mm=profile.ready_mm.sexable.likely,
    )


def _water(room: Fishroom, batch: Batch, profile: Profile) -> Temperatures:
    place = room.places.get(batch.places[0]) if batch.places else None
    usual = place.temp_c if place and place.temp_c is not None else profile.temperature_c.likely
    tests = room.water_tests.get(room.water_of(place.name), []) if place else []
    return Temperatures.from_readings({t.on.toordinal(): t.temp_c for t in tests if t.temp_c is not None}, usual)


def _released(batch: Batch, profile: Profile) -> int:
    free_swimming = batch.spawned.toordinal() + round(profile.development.release_days.likely) if batch.spawned else 0
    return max(free_swimming, batch.began.toordinal()) if batch.brood else free_swimming or batch.began.toordinal()


def _growth(batch: Batch, profile: Profile, water: Temperatures, released: int) -> Growth:
    belief = growth_prior(profile)
    for seen in batch.measurements:
        warmth = warmth_by(profile, water, released, seen.on.toordinal())
        if seen.lengths:
            belief = belief.measured_lengths(warmth, seen.lengths)
        elif seen.mean_mm:
            belief = belief.measured(warmth, seen.mean_mm, seen.n or 1)
    return belief


def _daily(batch: Batch, profile: Profile, today: date) -> Beta:
    lost = -sum(change.count for change in batch.changes if change.kind in ("died", "unexplained", "assigned_death"))
    lived = fish_days(batch.count + lost, lost, max(0, (today - batch.began).days))
    return learned(survival_prior(profile, Stage.GROW_OUT), max(0, lost), lived)


def _male_share(batch: Batch, profile: Profile) -> Beta:
    last = batch.sexings[-1:]
    males, females = sum(said.males for said in last), sum(said.females for said in last)
    return sexed(sex_prior(profile), males, females)
