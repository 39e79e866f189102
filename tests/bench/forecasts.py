"""How good the forecasts are: whole seasons simulated, windows and likely days held against what then happened.

    python -m tests.bench.forecasts [seasons]

A season is one female's brood and the batch it becomes: water that wanders about a temperature the keeper knows only
roughly and reads now and then, a female with a pace of her own and up to three broods on record, holding seen some days
late, a batch with a growth rate and a spread of its own, measured twice with a handful of fish, and losses. The truth is
drawn from the species' priors, and again 1.5 times wider. Two plain rules are given the same days to beat: release 21
days after she was seen holding; an inch every ten weeks, from nothing at release (counted from the length at release the
rule misses by half as much again). Only species said to hold for about 21 days take part, so that the first rule has a
fair chance. The last line is one JSON object, for truth as the priors.
"""

import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import chain
from math import exp, sqrt
from typing import Any

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from core.biology import growth, survival
from core.biology.chance import Beta, interval
from core.biology.days import Temperatures, Window, degree_days
from core.biology.development import DoesNotHold, Holding, Pace, course, observed_ratio, species_pace
from core.species import Figure, Profile, profiles

Floats = NDArray[np.float64]
RULE_DAYS = 21
RULE_MM_PER_DAY = 25.4 / 70
MOMENTS = ("not measured", "measured once", "measured twice")
DAYS = 1100


@dataclass
class Score:
    """Windows held and days missed, of forecasts and of the rule."""

    held: list[bool] = field(default_factory=list)
    missed: list[float] = field(default_factory=list)
    rule: list[float] = field(default_factory=list)
    width: list[float] = field(default_factory=list)

    def add(self, earliest: float, likely: float, latest: float, truth: float, rule: float) -> None:
        self.held.append(earliest <= truth <= latest)
        likely, latest, truth = (min(day, growth.HORIZON_DAYS) for day in (likely, latest, truth))
        self.missed.append(abs(likely - truth))
        self.rule.append(abs(rule - truth))
        self.width.append(latest - earliest)

    @classmethod
    def together(cls, scores: "Sequence[Score]") -> "Score":
        def joined(values: Iterable[list[Any]]) -> list[Any]:
            return list(chain.from_iterable(values))

        return cls(
            joined(each.held for each in scores),
            joined(each.missed for each in scores),
            joined(each.rule for each in scores),
            joined(each.width for each in scores),
        )

    def row(self, name: str) -> str:
        return (
            f"  {name:<34}{len(self.held):>6}{np.mean(self.held):>10.3f}"
            f"{np.mean(self.missed):>10.1f}{np.mean(self.rule):>10.1f}{np.median(self.width):>10.1f}"
        )


@dataclass(frozen=True)
class Water:
    """What the water truly was each day, and what the keeper knows of it."""

    truth: Floats
    readings: dict[int, float]
    usual: float

    def known(self, today: int, before: int = 0) -> Temperatures:
        """What is known on a day; `before` days precede day 0."""
        seen = {day - before: value for day, value in self.readings.items() if day - before < today}
        return Temperatures.from_readings(seen, self.usual)


def wandering(rng: Generator, days: int, deviation: float, memory: float) -> Floats:
    """A slow random walk that is pulled back to zero (standard deviation, days of memory)."""
    keep = exp(-1 / memory)
    steps = rng.normal(0, deviation * sqrt(1 - keep**2), days)
    out = np.empty(days)
    out[0] = rng.normal(0, deviation)
    for day in range(1, days):
        out[day] = keep * out[day - 1] + steps[day]
    return out


def water(rng: Generator) -> Water:
    centre = rng.uniform(24.5, 28.0)
    truth = centre + wandering(rng, DAYS, 0.6, 12)
    readings = {day: float(truth[day] + rng.normal(0, 0.2)) for day in np.flatnonzero(rng.random(DAYS) < 1 / 6).tolist()}
    return Water(truth, readings, float(centre + rng.normal(0, 0.3)))


def log_normal(rng: Generator, figure: Figure, wider: float) -> float:
    return figure.likely * exp(rng.normal(0, figure.log_spread * wider))


def normal(rng: Generator, figure: Figure, wider: float) -> float:
    return max(0.2 * figure.likely, rng.normal(figure.likely, figure.spread * wider))


def held_until(spawned: float, days: float, q10: float, truth: Floats) -> float:
    """The day on which a brood of so many days at 27 °C is let go."""
    passed = np.concatenate([[0.0], np.cumsum(q10 ** ((truth - 27) / 10))])
    return float(np.interp(np.interp(spawned, np.arange(len(passed)), passed) + days, passed, np.arange(len(passed))))


@dataclass(frozen=True)
class Brood:
    """One brood: when it was let go, what was forecast a week after it was seen, and what it teaches of the female."""

    released: float
    outlook: Window
    ratio: float
    day_error: float


def brood(rng: Generator, profile: Profile, q10: float, days: float, pace: Pace) -> Brood | None:
    """A brood of so many days at 27 °C, seen on day 10 and up to four days late; None where no window is given."""
    here, late = water(rng), int(rng.integers(0, 5))
    holding = Holding(10, late)
    released = held_until(10.0 - int(rng.integers(0, late + 1)), days, q10, here.truth)
    expected = course(profile, holding, here.known(17), pace)
    if isinstance(expected, DoesNotHold):
        return None
    ratio = observed_ratio(profile, holding, released, here.known(DAYS))
    return Brood(released, expected.release, ratio, sqrt((late**2 + 2 * late) / 12))


def one_release(rng: Generator, profile: Profile, wider: float, score: Score) -> None:
    """A female's earlier broods are recorded (up to three), then her next release is forecast."""
    development = profile.development
    pace = species_pace(profile)
    q10 = log_normal(rng, development.q10, wider)
    hers = rng.normal(0, sqrt(pace.variance) * wider)
    earlier = int(rng.integers(0, 4))
    for number in range(earlier + 1):
        days = development.release_days.likely * exp(hers + rng.normal(0, sqrt(pace.within) * wider))
        this = brood(rng, profile, q10, days, pace)
        if this and number == earlier:
            window = this.outlook
            score.add(window.earliest, window.likely, window.latest, this.released, 10 + RULE_DAYS)
        elif this:
            pace = pace.after(this.ratio, this.day_error, development.release_days.likely)


@dataclass(frozen=True)
class Batch:
    """A batch as it truly is: each sibling's length on each day since release, and the day each one died."""

    lengths: Floats
    """Siblings × days, mm."""
    died: Floats

    def alive(self, day: int) -> NDArray[np.bool_]:
        return self.died > day

    def ready(self, size_mm: float, share: float) -> float:
        """The first day on which this share of those alive is this long."""
        living = self.died[:, None] > np.arange(self.lengths.shape[1])
        long_enough = ((self.lengths >= size_mm) & living).sum(axis=0)
        enough = long_enough >= np.maximum(1, np.ceil(share * living.sum(axis=0)))
        return float(np.argmax(enough)) if enough.any() else float("inf")


def batch(rng: Generator, profile: Profile, here: Water, wider: float) -> Batch:
    """A batch of 8 to 40 fry in this water."""
    of = profile.growth
    fish = int(rng.integers(8, 41))
    warmth = np.concatenate([[0.0], degree_days(here.truth, of.base_c.likely, of.optimum_c.likely)])[:DAYS]
    asymptote = of.asymptote_mm.likely
    start = min(normal(rng, of.start_mm, wider), 0.5 * asymptote)
    mean = asymptote * (1 - (1 - start / asymptote) * np.exp(-normal(rng, of.rate, wider) * warmth))
    mean *= 1 + wandering(rng, DAYS, growth.MODEL_ERROR * wider, 30)
    worth = of.spread_worth.likely
    spread = of.spread.likely * (worth / rng.chisquare(worth)) ** (wider / 2)
    lengths = mean * (1 + spread * rng.normal(size=(fish, 1)))
    boxed, out = (survival.prior(profile, stage) for stage in (survival.Stage.BOX, survival.Stage.GROW_OUT))
    risks = [1 - drawn(rng, belief, wider) for belief in (boxed, out)]
    in_box = rng.geometric(max(risks[0], 1e-6), fish).astype(float)
    later = 40 + rng.geometric(max(risks[1], 1e-6), fish).astype(float)
    return Batch(lengths, np.where(in_box < 40, in_box, later))


def drawn(rng: Generator, belief: Beta, wider: float) -> float:
    """A chance from a belief whose standard deviation is so many times wider."""
    return float(rng.beta(belief.yes / wider**2, belief.no / wider**2))


def one_batch(rng: Generator, profile: Profile, wider: float, ready: Sequence[Score], nine: Score, alive: Score) -> None:
    """Ready-to-sell (half of the batch) is forecast at release, after one and after two rounds of measuring."""
    here = water(rng)
    true = batch(rng, profile, here, wider)
    size = profile.ready_mm.saleable.likely
    belief = growth.prior(profile)
    for number, today in enumerate((0, int(rng.integers(25, 45)), int(rng.integers(55, 80)))):
        here_known = here.known(today)
        living = np.flatnonzero(true.alive(today))
        if number and len(living):
            caught = rng.choice(living, min(len(living), int(rng.integers(5, 11))), replace=False)
            measured = true.lengths[caught, today] + rng.normal(0, 0.5, len(caught))
            belief = belief.measured_lengths(growth.warmth_by(profile, here_known, 0, today), measured.tolist())
        if not len(living):
            return
        window = belief.reaches(size, 0.5, here_known, 0, len(living))
        truth = true.ready(size, 0.5)
        if truth > today and np.isfinite(truth):
            rule = size / RULE_MM_PER_DAY
            ready[number].add(window.earliest, window.likely, window.latest, truth, rule)
            late = belief.reaches(size, 0.9, here_known, 0, len(living))
            nine.add(late.earliest, late.likely, late.latest, true.ready(size, 0.9), rule)
    count_alive(profile, true, alive)


def count_alive(profile: Profile, true: Batch, alive: Score) -> None:
    """How many of the batch live on day 130, forecast on day 70 from the species and its own thirty days in grow-out."""
    before, living = (int(true.alive(day).sum()) for day in (40, 70))
    lived = survival.fish_days(before, before - living, 30)
    daily = survival.learned(survival.prior(profile, survival.Stage.GROW_OUT), before - living, lived)
    surviving = survival.over_days(daily, 60)
    low, high = interval(survival.alive(living, surviving))
    alive.add(low, living * surviving.mean, high, float(true.alive(130).sum()), living)


def study(seasons: int, wider: float, seed: int) -> dict[str, float]:
    """Simulate, print the table, return the figures."""
    rng = np.random.default_rng(seed)
    kinds = [each for each in profiles().values() if each.development.release_days.likely == RULE_DAYS]
    release, nine, alive = Score(), Score(), Score()
    ready = [Score() for _ in MOMENTS]
    for season in range(seasons):
        profile = kinds[season % len(kinds)]
        one_release(rng, profile, wider, release)
        one_batch(rng, profile, wider, ready, nine, alive)
    everything = Score.together(ready)
    print(f"\nTruth drawn {'as' if wider == 1 else f'{wider} times wider than'} the priors, {seasons} seasons")
    print(f"  {'':<34}{'n':>6}{'coverage':>10}{'error':>10}{'rule':>10}{'width':>10}")
    print(release.row("release, days"))
    for moment, score in zip(MOMENTS, ready, strict=True):
        print(score.row(f"ready (half), {moment}, days"))
    print(everything.row("ready (half), all, days"))
    print(nine.row("ready (nine in ten), all, days"))
    print(alive.row("alive on day 130 (rule: no losses)"))
    return {
        "coverage_release": round(float(np.mean(release.held)), 4),
        "coverage_ready": round(float(np.mean(everything.held)), 4),
        "mae_release_days": round(float(np.mean(release.missed)), 3),
        "mae_release_days_rule": round(float(np.mean(release.rule)), 3),
        "mae_ready_days": round(float(np.mean(everything.missed)), 3),
        "mae_ready_days_rule": round(float(np.mean(everything.rule)), 3),
    }


def main() -> None:
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else 700
    as_priors = study(seasons, 1.0, 20260302)
    study(seasons, 1.5, 20260303)
    print()
    print(json.dumps(as_priors))


if __name__ == "__main__":
    main()
