"""The few distributions that forecasts need, exactly, from special functions (light enough for a chat's start-up)."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Beta:
    """A belief about a share between 0 and 1: as if `yes` of `yes + no` had been seen."""

    yes: float
    no: float

    @property
    def worth(self) -> float:
        """How many observations the belief is worth."""
        return self.yes + self.no

    @property
    def mean(self) -> float:
        """The expected share."""
        return self.yes / self.worth

    @classmethod
    def of(cls, mean: float, worth: float) -> "Beta":
        """The belief with this mean, worth so many observations."""
        return cls(mean * worth, (1 - mean) * worth)

    def seen(self, yes: float, no: float) -> "Beta":
        """The belief after so many more of each (the conjugate update)."""
        return Beta(self.yes + yes, self.no + no)

    def at_most_worth(self, worth: float) -> "Beta":
        """The same mean, with its certainty limited to so many observations."""
        return self if self.worth <= worth else Beta.of(self.mean, worth)

    def quantile(self, level: float) -> float:
        """The share that is not exceeded with probability `level`."""
        from scipy.special import betaincinv

        return float(betaincinv(self.yes, self.no, level))

    def scenarios(self, count: int) -> tuple[Floats, Floats]:
        """Weights and shares of a Gauss-Jacobi rule: exact for polynomials in the share up to degree 2 count - 1.

        A binomial probability of n fish is a polynomial of degree n in the share, so a mixture over
        `count > n / 2` scenarios *is* the beta-binomial distribution, not an approximation of it.
        """
        return _jacobi(self.yes, self.no, count)


@lru_cache(maxsize=1024)
def _jacobi(yes: float, no: float, count: int) -> tuple[Floats, Floats]:
    """Golub & Welsch 1969: nodes and weights of the beta weight from its three-term recurrence."""
    alpha, beta = no - 1.0, yes - 1.0
    k = np.arange(count, dtype=float)
    total = 2 * k + alpha + beta
    with np.errstate(divide="ignore", invalid="ignore"):
        diagonal = np.where(total * (total + 2) == 0, 0.0, (beta**2 - alpha**2) / (total * (total + 2)))
    diagonal[0] = (beta - alpha) / (alpha + beta + 2)
    k, total = k[1:], total[1:]
    off = 4 * k * (k + alpha) * (k + beta) * (k + alpha + beta)
    with np.errstate(divide="ignore", invalid="ignore"):
        off = off / (total**2 * (total + 1) * (total - 1))
    if count > 1:
        off[0] = 4 * (1 + alpha) * (1 + beta) / ((2 + alpha + beta) ** 2 * (3 + alpha + beta))
    matrix = np.diag(diagonal) + np.diag(np.sqrt(off), 1) + np.diag(np.sqrt(off), -1)
    nodes, vectors = np.linalg.eigh(matrix)
    return vectors[0] ** 2, np.clip((nodes + 1) / 2, 0.0, 1.0)


@lru_cache(maxsize=16)
def normal_scenarios(count: int) -> tuple[Floats, Floats]:
    """Weights and standard scores of a Gauss-Hermite rule for the normal distribution."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(count)
    return weights / weights.sum(), nodes


def binomial(n: int, share: float | Floats) -> Floats:
    """P(K = 0..n) of n independent fish; one row per share when several are given (shares × (n + 1))."""
    from scipy.special import gammaln, xlog1py, xlogy

    k = np.arange(n + 1)
    p = np.asarray(share, dtype=float)[..., None]
    log = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1) + xlogy(k, p) + xlog1py(n - k, -p)
    out: Floats = np.exp(log)
    return out


def beta_binomial(n: int, belief: Beta) -> Floats:
    """P(K = 0..n) of n fish that share one unknown chance (the beta-binomial distribution)."""
    from scipy.special import betaln, gammaln

    k = np.arange(n + 1)
    log = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    out: Floats = np.exp(log + betaln(k + belief.yes, n - k + belief.no) - betaln(belief.yes, belief.no))
    return out


def hypergeometric(total: int, marked: int, drawn: int) -> Floats:
    """P(0..marked of the marked are among the drawn) when `drawn` of `total` are taken blindly."""
    from scipy.special import gammaln

    k = np.arange(marked + 1)
    possible = (k <= drawn) & (drawn - k <= total - marked)
    safe = np.where(possible, k, min(marked, max(0, drawn - (total - marked))))

    def choose(n: int, r: NDArray[np.int_] | int) -> Floats:
        out: Floats = gammaln(n + 1) - gammaln(np.add(r, 1)) - gammaln(np.subtract(n, r) + 1)
        return out

    log = choose(marked, safe) + choose(total - marked, drawn - safe) - choose(total, drawn)
    return np.where(possible, np.exp(log), 0.0)


def at_least(distribution: Floats, count: int) -> float:
    """P(K ≥ count) of a distribution over 0, 1, 2 …"""
    return 1.0 if count <= 0 else float(min(1.0, distribution[count:].sum()))


def count_at(distribution: Floats, certainty: float) -> int:
    """The largest count that is reached with at least `certainty` (0 when none is)."""
    reached = np.cumsum(distribution[::-1])[::-1] >= certainty - 1e-12
    return int(np.flatnonzero(reached)[-1]) if reached.any() else 0


def interval(distribution: Floats, level: float = 0.9) -> tuple[int, int]:
    """The central interval of counts that holds with at least `level`."""
    below = np.cumsum(distribution)
    tail = (1 - level) / 2
    low, high = (int(np.searchsorted(below, level)) for level in (tail, 1 - tail))
    return low, min(high, len(distribution) - 1)


def mixture(weights: Sequence[float] | Floats, distributions: Floats) -> Floats:
    """The distribution that follows each row with its weight."""
    out: Floats = np.asarray(weights, dtype=float) @ distributions
    return out


def normal_cdf(score: float | Floats) -> Floats:
    """P(Z ≤ score) of the standard normal distribution."""
    from scipy.special import ndtr

    out: Floats = np.asarray(ndtr(score))
    return out
