"""When a brood hatches, has used its yolk and leaves the mother: warmth added up day by day, in ranges.

The model: at temperature T a stage that takes D days at 27 °C takes D · Q10^((27 − T) / 10). Every day at T therefore
counts for Q10^((T − 27) / 10) *days at 27 °C*, and a stage is reached when those add up to D. D, Q10, the day of spawning
and the female's own pace are all uncertain; the windows are nine-in-ten ranges over all four together.
Common practice, no source: the synthesis of the two forms; the tilapia fits behind its Q10 are in `tilapia`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot, log, sqrt

import numpy as np

from core.biology.chance import Floats, normal_cdf, normal_scenarios
from core.biology.days import Temperatures, Window
from core.species import Figure, Profile

REFERENCE_C = 27.0
HOLDS_C = (22.0, 31.0)
"""Outside these the model does not hold (common practice, no source)."""
TRUSTED_C = (24.0, 29.0)
"""Between these it is trusted; up to the outer bounds it is stretched (common practice, no source)."""
HORIZON_DAYS = 120
"""No brood is looked at for longer than this."""
STEPS_A_DAY = 4
CERTAIN = 6.0
"""So many standard deviations out, a chance is 0 or 1 to nine places and is not worked out."""
WATER_ERROR = 0.044
"""Relative error of a duration from the water being known by a few readings: about 0.4 °C (common practice, no source)."""
WITHIN_FEMALE = 0.6
"""Share of the variance of log holding time that is left between broods of one female (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class DoesNotHold:
    """The water was, or will be, outside what the model knows: no window can be given."""

    coldest_c: float
    warmest_c: float
    bounds_c: tuple[float, float] = HOLDS_C


@dataclass(frozen=True, slots=True)
class Pace:
    """A female's own pace: log of the ratio of her holding times to the species' (0: as the species)."""

    mean: float = 0.0
    variance: float = 0.0
    """Of what is believed of her mean ratio."""
    within: float = 0.0
    """Variance from one of her broods to the next."""

    @property
    def spread(self) -> float:
        """Standard deviation of the log ratio of her next brood."""
        return sqrt(self.variance + self.within)

    def after(self, ratio: float, day_error: float = 0.0, duration: float = 21.0) -> "Pace":
        """What is believed after one more brood (normal-normal conjugate update).

        `ratio`: her holding time over the expected, both in days at 27 °C. `day_error`: standard deviation in days of
        what was observed (spawning seen a day late, release noticed late), on a holding time of `duration` days.
        """
        noise = self.within + (day_error / duration) ** 2
        gain = self.variance / (self.variance + noise)
        return Pace(self.mean + gain * (log(ratio) - self.mean), self.variance * (1 - gain), self.within)


@dataclass(frozen=True, slots=True)
class Holding:
    """What is known of a spawning: the latest day it can have been, and by how many days it may be earlier."""

    day: int
    days_before: int = 0
    """0: spawning was seen; 3: she was seen holding, and was surely not holding more than three days before."""

    @property
    def first(self) -> int:
        """The earliest day the spawning can have been."""
        return self.day - self.days_before


@dataclass(frozen=True, slots=True)
class Course:
    """The expected course of one brood; all windows in the caller's day count."""

    hatch: Window
    bulge: Window
    yolk: Window
    release: Window
    strip_opens: float
    """Counted from the latest day she can have spawned: too early costs eggs."""
    strip_closes: float
    """Before the earliest release: too late and the fry are out in the tank."""
    stretched: bool
    """The water leaves the range in which the model is trusted."""


def daily_rate(temperature_c: float | Floats, days_at_27: float, q10: float) -> Floats:
    """Share of a stage that passes in a day at each temperature (per day)."""
    return np.asarray(q10 ** ((np.asarray(temperature_c) - REFERENCE_C) / 10) / days_at_27)


def duration(temperature_c: float, days_at_27: float, q10: float) -> float:
    """Days a stage takes at a steady temperature."""
    return days_at_27 * float(q10 ** ((REFERENCE_C - temperature_c) / 10))


def duration_over(temperatures_c: Sequence[float], days_at_27: float, q10: float) -> float:
    """Days a stage takes when the temperature changes from day to day (the last one given stays)."""
    done = 0.0
    for day in range(10_000):
        rate = float(daily_rate(temperatures_c[min(day, len(temperatures_c) - 1)], days_at_27, q10))
        if done + rate >= 1:
            return day + (1 - done) / rate
        done += rate
    raise ValueError("nothing develops at these temperatures")


def warmth(temperatures: Temperatures, first: int, last: int, q10: float) -> float:
    """What the days `first` ≤ day < `last` count for, in days at 27 °C."""
    return float(np.sum(daily_rate(temperatures.between(first, last), 1.0, q10)))


def species_pace(profile: Profile) -> Pace:
    """The pace of a female of whom nothing is known yet; the profile's range split between her and her broods."""
    variance = profile.development.release_days.log_spread**2
    return Pace(0.0, variance * (1 - WITHIN_FEMALE), variance * WITHIN_FEMALE)


def observed_ratio(profile: Profile, holding: Holding, released_on: float, temperatures: Temperatures) -> float:
    """Her holding time in one brood over the species' expectation, to feed `Pace.after` (at least 0.1)."""
    clock = _Clock.of(profile, holding, temperatures)
    spawned = (holding.first + holding.day) / 2
    taken = clock.at_likely_q10(released_on) - clock.at_likely_q10(spawned)
    return max(0.1, taken / profile.development.release_days.likely)


def course(
    profile: Profile,
    holding: Holding,
    temperatures: Temperatures,
    pace: Pace | None = None,
    still_holding_on: int | None = None,
) -> Course | DoesNotHold:
    """When a brood reaches each stage, for a female of this pace in this water.

    `still_holding_on`: a day on which she was seen holding; it moves the release window of a brood that takes its time.
    """
    clock = _Clock.of(profile, holding, temperatures)
    development = profile.development
    release = clock.release(development.release_days, pace or species_pace(profile), still_holding_on)
    water = temperatures.between(holding.first, ceil(release.latest) + 1)
    if water.min() < HOLDS_C[0] or water.max() > HOLDS_C[1]:
        return DoesNotHold(float(water.min()), float(water.max()))
    closes = max(float(holding.first), min(clock.likely_day(development.strip_days.high), release.earliest))
    opens = clock.likely_day(development.strip_days.low, spawned=holding.day)
    return Course(
        hatch=clock.window(development.hatch_days),
        bulge=clock.window(development.bulge_days),
        yolk=clock.window(development.yolk_days),
        release=release,
        strip_opens=min(opens, closes),
        strip_closes=closes,
        stretched=bool(water.min() < TRUSTED_C[0] or water.max() > TRUSTED_C[1]),
    )


def days_without_food(course_of_brood: Course, stripped_on: float) -> Window:
    """For how many days fry stripped on a day live on their yolk and must not be fed (0: feed them)."""
    yolk = course_of_brood.yolk.shifted(-stripped_on)
    return Window(max(0.0, yolk.earliest), max(0.0, yolk.likely), max(0.0, yolk.latest))


def probability_released_by(
    profile: Profile, holding: Holding, temperatures: Temperatures, day: float, pace: Pace | None = None
) -> float:
    """P(the brood is out of the mother's mouth by the start of `day`)."""
    clock = _Clock.of(profile, holding, temperatures)
    known = pace or species_pace(profile)
    chances = clock.reached(profile.development.release_days.likely, known.mean, known.spread)
    return float(np.interp(day, clock.days, chances))


@dataclass(frozen=True, slots=True)
class _Clock:
    """Days at 27 °C since the first possible spawning, for each Q10 that is thought possible.

    Every stage is read off the same clock, so what does not depend on the stage is worked out once.
    """

    holding: Holding
    days: Floats
    passed: Floats
    """Q10 × days."""
    log_since: Floats
    """Log of the days at 27 °C since each possible spawning: Q10 × spawnings × days."""
    fastest: Floats
    """The most of that on each day: spawned first, at the fastest Q10."""
    slowest: Floats
    """The least: spawned last, at the slowest."""
    weights: Floats

    @classmethod
    def of(cls, profile: Profile, holding: Holding, temperatures: Temperatures) -> "_Clock":
        q10 = profile.development.q10
        weights, scores = normal_scenarios(7)
        rates = np.exp(log(q10.likely) + scores * q10.log_spread)[:, None]
        water = temperatures.between(holding.first, holding.first + HORIZON_DAYS)[None, :]
        steps = np.repeat(rates ** ((water - REFERENCE_C) / 10), STEPS_A_DAY, axis=1) / STEPS_A_DAY
        days = holding.first + np.arange(HORIZON_DAYS * STEPS_A_DAY + 1) / STEPS_A_DAY
        passed = np.hstack([np.zeros((len(rates), 1)), np.cumsum(steps, axis=1)])
        starts = passed[:, : holding.days_before * STEPS_A_DAY + 1 : STEPS_A_DAY]
        log_since = np.log(np.maximum(passed[:, None, :] - starts[:, :, None], 1e-9))
        return cls(holding, days, passed, log_since, log_since[:, 0].max(axis=0), log_since[:, -1].min(axis=0), weights)

    def at_likely_q10(self, day: float) -> float:
        return float(np.interp(day, self.days, self.passed[len(self.weights) // 2]))

    def likely_day(self, days_at_27: float, spawned: float | None = None) -> float:
        """The day on which so many days at 27 °C have passed since the middle (or the given) spawning day."""
        start = (self.holding.first + self.holding.day) / 2 if spawned is None else spawned
        target = self.at_likely_q10(start) + days_at_27
        return float(np.interp(target, self.passed[len(self.weights) // 2], self.days))

    def reached(self, days_at_27: float, mean: float, spread: float) -> Floats:
        """P(stage reached by the start of each day), over every possible spawning day and Q10."""
        middle, deviation = log(days_at_27) + mean, hypot(spread, WATER_ERROR)
        first = int(np.searchsorted(self.fastest, middle - CERTAIN * deviation))
        last = int(np.searchsorted(self.slowest, middle + CERTAIN * deviation))
        chance = np.zeros(len(self.days))
        chance[first:last] = self.weights @ normal_cdf((self.log_since[..., first:last] - middle) / deviation).mean(axis=1)
        chance[last:] = 1.0
        return chance

    def window(self, stage: Figure) -> Window:
        """When a stage that depends on the eggs alone is reached."""
        return self._quantiles(self.reached(stage.likely, 0.0, stage.log_spread))

    def release(self, stage: Figure, pace: Pace, still_holding_on: int | None) -> Window:
        """When the mother lets go, given that she had not by the start of `still_holding_on`."""
        chance = self.reached(stage.likely, pace.mean, pace.spread)
        if still_holding_on is None:
            return self._quantiles(chance)
        before = min(float(np.interp(still_holding_on, self.days, chance)), 0.999)
        later = self._quantiles(np.clip((chance - before) / (1 - before), 0.0, 1.0))
        # A brood past every expectation can be let go any day: the window never lies in the past.
        today = float(still_holding_on)
        return Window(max(later.earliest, today), max(later.likely, today), max(later.latest, today + 1))

    def _quantiles(self, chance: Floats) -> Window:
        return Window(*(float(np.interp(level, chance, self.days)) for level in (0.05, 0.5, 0.95)))
