"""How big a batch is, how far its siblings have drawn apart, and on which day a share of them reaches a size.

The model: mean length L follows von Bertalanffy's curve on degree-days τ since release. With y = -ln(1 - L / Linf) the
curve is a straight line, y = c + k τ, so every measurement updates start c and rate k by Bayesian linear regression
with the conjugate normal prior of the species. Siblings' lengths are normal about the mean with a coefficient of variation
of their own, learned by the conjugate scaled-inverse-chi-square update. (Gelman et al., Bayesian Data Analysis, ch. 14 and
2; from memory.)
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, inf, log, pi, sqrt

import numpy as np

from core.biology.chance import Floats, normal_cdf, normal_scenarios
from core.biology.days import Temperatures, Window, degree_days
from core.biology.size import mean_weight_g
from core.species import Figure, Profile

MODEL_ERROR = 0.03
"""Relative wobble of a batch about its own curve: feed, company, season (common practice, no source)."""
OF_THE_FISHROOM = 0.5
"""Share of the variance of growth rates that is the fishroom's (feed, water), common to its batches (common practice, no
source)."""
COARSE = 10
"""Every so many sizes are enough to find where the fish are."""
HORIZON_DAYS = 900
"""Sizes not reached within this many days count as never reached."""
Z90 = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class Range:
    """A value and the range that holds nine times in ten."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Growth:
    """What is believed of one batch's growth. Degree-days count from the day of its release."""

    profile: Profile
    start: float
    """Mean of c."""
    rate: float
    """Mean of k, per degree-day."""
    start_variance: float
    rate_variance: float
    covariance: float
    spread: float
    """Coefficient of variation of siblings' lengths."""
    spread_worth: float
    """How many measured siblings the spread is known from."""

    @property
    def asymptote_mm(self) -> float:
        """The length the curve tends to."""
        return self.profile.growth.asymptote_mm.likely

    def measured(self, warmth: float, mean_mm: float, fish: int, deviation_mm: float | None = None) -> "Growth":
        """The belief after `fish` of the batch were measured at `warmth` degree-days.

        `deviation_mm`: standard deviation of their lengths, where single lengths are known. Lengths beyond what the
        curve can give (below 1 mm, above 97 % of the asymptote) count as its ends.
        """
        seen = self if deviation_mm is None or fish < 2 else self._spread_seen(deviation_mm / mean_mm, fish)
        return seen._line_seen(warmth, mean_mm, seen.spread**2 / fish + MODEL_ERROR**2)

    def measured_lengths(self, warmth: float, lengths_mm: Sequence[float]) -> "Growth":
        """The belief after these fish of the batch were measured one by one."""
        lengths = np.asarray(lengths_mm, dtype=float)
        deviation = float(lengths.std(ddof=1)) if len(lengths) > 1 else None
        return self.measured(warmth, float(lengths.mean()), len(lengths), deviation)

    def mean_mm(self, warmth: float) -> Range:
        """Mean length of the batch."""
        middle, deviation = self._line(warmth)
        scores = (-Z90, 0.0, Z90)
        return Range(*(float(self.length(middle + score * deviation)) for score in scores))

    def fish_mm(self, warmth: float) -> Range:
        """Length of a fish taken blindly from the batch."""
        return mixed_fish_mm([Part(1.0, self, warmth)])

    def mean_g(self, warmth: float) -> Range:
        """Mean weight of the batch."""
        lengths = self.mean_mm(warmth)
        weigh = self.profile.length_weight
        return Range(*(mean_weight_g(mm, self.spread, weigh) for mm in (lengths.low, lengths.likely, lengths.high)))

    def share_at_least(self, size_mm: float, warmth: float) -> float:
        """P(a fish of the batch is this long), over all that is unknown: the curve, the spread, the fish."""
        weights, shares = self.scenarios(size_mm, warmth)
        return float(weights @ shares)

    def shares_at_least(self, sizes_mm: Floats, warmth: float) -> Floats:
        """As `share_at_least`, for many sizes at once."""
        weights, scores = normal_scenarios(9)
        middle, deviation = self._line(warmth)
        means = self.length(middle + scores * deviation)
        return np.asarray(weights @ self._share(sizes_mm[None, :], means[:, None]))

    def scenarios(self, size_mm: float, warmth: float, count: int = 9) -> tuple[Floats, Floats]:
        """Weights, and the share of the batch that is this long, in each of `count` scenarios of its curve.

        Scenario i is the same curve for every size and day (from slow to fast), so counts of different days may be
        taken together; within a scenario the fish are independent.
        """
        weights, scores = normal_scenarios(count)
        middle, deviation = self._line(warmth)
        return weights, self._share(size_mm, self.length(middle + scores * deviation))

    def reaches(self, size_mm: float, share: float, temperatures: Temperatures, released: int, fish: int | None = None) -> Window:
        """The day (caller's count) on which this share of the batch is at least this long.

        `fish`: how many the batch counts; so few siblings are not spread exactly as the model says.
        """
        return self.ahead(temperatures, released).reaches(size_mm, share, fish)

    def ahead(self, temperatures: Temperatures, released: int) -> "Ahead":
        """The growth foreseen day by day in this water, of which any number of sizes may be asked."""
        growth = self.profile.growth
        water = temperatures.between(released, released + HORIZON_DAYS)
        warmth = np.concatenate([[0.0], degree_days(water, growth.base_c.likely, growth.optimum_c.likely)])
        return Ahead(self, released, *self._line(warmth), self._spreads())

    def of_few(self, share: float, fish: int) -> float:
        """Relative standard deviation of the length that this share of so few siblings reaches (order statistics)."""
        density = exp(-(_score(share) ** 2) / 2) / sqrt(2 * pi)
        return self.spread * sqrt(share * (1 - share) / fish) / density

    def _spreads(self) -> Floats:
        """Five equally likely values of the sibling spread."""
        from scipy.special import chdtri

        levels = (np.arange(5) + 0.5) / 5
        return np.asarray(self.spread * np.sqrt(self.spread_worth / chdtri(self.spread_worth, levels)))

    def _share(self, size_mm: float | Floats, mean_mm: float | Floats) -> Floats:
        from scipy.special import stdtr

        return np.asarray(stdtr(self.spread_worth, (1 - np.asarray(size_mm) / np.asarray(mean_mm)) / self.spread))

    def _line(self, warmth: float | Floats) -> tuple[Floats, Floats]:
        """Mean and standard deviation of y at a warmth, the batch's wobble included."""
        tau = np.asarray(warmth, dtype=float)
        middle = self.start + self.rate * tau
        length = self.length(middle)
        wobble = MODEL_ERROR * length / (self.asymptote_mm - length)
        variance = self.start_variance + 2 * tau * self.covariance + tau**2 * self.rate_variance + wobble**2
        return middle, np.sqrt(variance)

    def length(self, y: float | Floats) -> Floats:
        """Length in mm at a y of the curve's straight line."""
        return self.asymptote_mm * -np.expm1(-np.maximum(y, 0.01))

    def _line_seen(self, warmth: float, mean_mm: float, relative_variance: float) -> "Growth":
        """Conjugate update of (c, k) by one observation of y with known variance."""
        length = min(max(mean_mm, 1.0), 0.97 * self.asymptote_mm)
        y = -log(1 - length / self.asymptote_mm)
        noise = relative_variance * (length / (self.asymptote_mm - length)) ** 2
        with_start = self.start_variance + warmth * self.covariance
        with_rate = self.covariance + warmth * self.rate_variance
        total = with_start + warmth * with_rate + noise
        surprise = y - self.start - self.rate * warmth
        return replace(
            self,
            start=self.start + with_start / total * surprise,
            rate=max(self.rate + with_rate / total * surprise, 1e-6),
            start_variance=self.start_variance - with_start**2 / total,
            covariance=self.covariance - with_start * with_rate / total,
            rate_variance=self.rate_variance - with_rate**2 / total,
        )

    def _spread_seen(self, coefficient: float, fish: int) -> "Growth":
        """Conjugate update of the squared coefficient of variation."""
        worth = self.spread_worth + fish - 1
        square = (self.spread_worth * self.spread**2 + (fish - 1) * coefficient**2) / worth
        return replace(self, spread=sqrt(square), spread_worth=worth)


@dataclass(frozen=True, slots=True)
class Ahead:
    """A batch's growth foreseen: mean and standard deviation of y on each day from its release, and likely spreads."""

    growth: Growth
    released: int
    middle: Floats
    deviation: Floats
    spreads: Floats

    def reaches(self, size_mm: float, share: float, fish: int | None = None) -> Window:
        """As `Growth.reaches`."""
        score = _score(share)
        lines = np.array([self._line_needed(size_mm, 1 - spread * score) for spread in self.spreads])
        deviation = self.deviation if not fish else self._with_few(share, fish)
        days = self._undecided(lines, deviation)
        chances = normal_cdf((self.middle[days] - lines[:, None]) / deviation[days])
        reached = np.maximum.accumulate(chances.mean(axis=0))
        when = self.released + np.arange(days.start, days.stop, dtype=float)
        return Window(*(_first(level, reached, when) for level in (0.05, 0.5, 0.95)))

    def _line_needed(self, size_mm: float, factor: float) -> float:
        """The y of a mean length of which `factor` is the size; infinite where the curve never gets there."""
        needed = size_mm / factor if factor > 0 else inf
        asymptote = self.growth.asymptote_mm
        return -log(1 - needed / asymptote) if needed < asymptote else inf

    def _with_few(self, share: float, fish: int) -> Floats:
        length = self.growth.length(self.middle)
        return np.hypot(self.deviation, self.growth.of_few(share, fish) * length / (self.growth.asymptote_mm - length))

    def _undecided(self, lines: Floats, deviation: Floats) -> slice:
        """The days from the last on which surely less than 5 % say yes to the first on which surely more than 95 % do."""
        begun = self.middle - lines.min() > -Z90 * deviation
        over = self.middle - lines.max() > Z90 * deviation
        first = int(begun.argmax()) if begun.any() else len(begun) - 1
        last = int(over.argmax()) if over.any() else len(over) - 1
        return slice(max(0, first - 1), last + 1)


def prior(profile: Profile, start_mm: Figure | None = None) -> Growth:
    """What is believed of a batch of this species before it was measured.

    `start_mm`: length at the day counted as release, where the species' figure does not fit (a batch bought in).
    """
    growth = profile.growth
    start = start_mm or growth.start_mm
    asymptote = growth.asymptote_mm.likely
    return Growth(
        profile=profile,
        start=-log(1 - start.likely / asymptote),
        rate=growth.rate.likely,
        start_variance=(start.spread / (asymptote - start.likely)) ** 2,
        rate_variance=growth.rate.spread**2,
        covariance=0.0,
        spread=growth.spread.likely,
        spread_worth=growth.spread_worth.likely,
    )


def taught_by(belief: Growth, earlier: Sequence[Growth]) -> Growth:
    """The prior of a batch whose fishroom has raised others of the species: their rates move it, and narrow it a little.

    `belief` is the species' prior, `earlier` what is now believed of the other batches (each from that same prior). Rates
    are a fishroom's own plus a batch's own, both normal; each batch's measurements are taken back out of its belief by
    precision, and the fishroom's part is updated by them (normal-normal).
    """
    common = OF_THE_FISHROOM * belief.rate_variance
    own = belief.rate_variance - common
    mean, variance = 0.0, common
    for batch in earlier:
        seen = 1 / batch.rate_variance - 1 / belief.rate_variance
        if seen > 1e-6 / belief.rate_variance:
            said = (batch.rate / batch.rate_variance - belief.rate / belief.rate_variance) / seen - belief.rate
            gain = variance / (variance + own + 1 / seen)
            mean, variance = mean + gain * (said - mean), variance * (1 - gain)
    return replace(belief, rate=max(belief.rate + mean, 1e-6), rate_variance=variance + own)


def warmth_by(profile: Profile, temperatures: Temperatures, released: int, day: int) -> float:
    """Degree-days a batch has had from its release to the start of a day (0 before its release)."""
    if day <= released:
        return 0.0
    growth = profile.growth
    water = temperatures.between(released, day)
    return float(degree_days(water, growth.base_c.likely, growth.optimum_c.likely)[-1])


@dataclass(frozen=True, slots=True)
class Part:
    """One of several batches that live as one stock: its share of the fish, its growth, its warmth so far."""

    share: float
    growth: Growth
    warmth: float


def mixed_share_at_least(parts: Sequence[Part], size_mm: float) -> float:
    """P(a fish of the mixed stock is this long)."""
    return sum(part.share * part.growth.share_at_least(size_mm, part.warmth) for part in parts)


def mixed_scenarios(parts: Sequence[Part], size_mm: float, count: int = 9) -> tuple[Floats, Floats]:
    """As `Growth.scenarios` for a mixed stock; its parts share the water, so they are slow or fast together."""
    weights, _ = normal_scenarios(count)
    shares = [part.share * part.growth.scenarios(size_mm, part.warmth, count)[1] for part in parts]
    return weights, np.asarray(np.sum(shares, axis=0))


def mixed_fish_mm(parts: Sequence[Part]) -> Range:
    """Length of a fish taken blindly from the mixed stock; looked at closely only where nine in ten of them are."""
    sizes = np.linspace(1.0, 1.5 * max(part.growth.asymptote_mm for part in parts), 200)
    rough = _shares_at_least(parts, sizes[::COARSE])
    longer, shorter = np.flatnonzero(rough > 0.95), np.flatnonzero(rough < 0.05)
    near = sizes[COARSE * longer[-1] if len(longer) else 0 : COARSE * shorter[0] + 1 if len(shorter) else None]
    shares = _shares_at_least(parts, near)
    return Range(*(float(np.interp(-level, -shares, near)) for level in (0.95, 0.5, 0.05)))


def _shares_at_least(parts: Sequence[Part], sizes_mm: Floats) -> Floats:
    shares = [part.share * part.growth.shares_at_least(sizes_mm, part.warmth) for part in parts]
    return np.asarray(np.sum(shares, axis=0))


def _first(level: float, reached: Floats, days: Floats) -> float:
    return float(np.interp(level, reached, days)) if reached[-1] >= level else inf


def _score(share: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(share))
