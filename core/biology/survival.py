"""How many of a batch are alive on a day to come, learned from the counts and losses of this fishroom.

A fish in a box or in grow-out survives each day with an unknown chance. The belief about that chance is a beta
distribution over *fish-days*: each fish-day that was seen, survived or not, adds one (conjugate). The chance to
survive d days is its d-th power, whose first two moments are known exactly; the beta with those moments is taken,
so the number alive is beta-binomial. In the mouth the whole stage counts as one trial.
"""

from collections.abc import Sequence
from enum import StrEnum
from math import comb, exp

import numpy as np

from core.biology.chance import Beta, Floats, at_least, beta_binomial, binomial
from core.species import Profile

STAGE_DAYS = 30
"""Days the shares of a profile for box and grow-out speak of."""
BETWEEN_BATCHES = 60.0
"""What other batches can teach is worth at most this many fish over a stage: batches differ (common practice, no source)."""


class Stage(StrEnum):
    """Where a juvenile is in its life."""

    MOUTH = "mouth"
    BOX = "box"
    GROW_OUT = "grow_out"


def prior(profile: Profile, stage: Stage) -> Beta:
    """The belief before this fishroom has counted: per day in box and grow-out, for the whole stage in the mouth."""
    of = {
        Stage.MOUTH: profile.survival.mouth,
        Stage.BOX: profile.survival.box,
        Stage.GROW_OUT: profile.survival.grow_out,
    }[stage]
    if stage is Stage.MOUTH:
        return Beta.of(of.share.likely, of.worth.likely)
    return Beta.of(float(of.share.likely ** (1 / STAGE_DAYS)), of.worth.likely * STAGE_DAYS)


def fish_days(fish: float, lost: float, days: float) -> float:
    """Fish-days lived by so many fish, of which some were lost along the way (on average half-way)."""
    return (fish - lost / 2) * days


def learned(daily: Beta, lost: float, lived: float) -> Beta:
    """The daily belief after so many losses in so many fish-days."""
    return daily.seen(max(0.0, lived - lost), lost)


def learned_whole(stage: Beta, survived: float, started: float) -> Beta:
    """The belief about a whole stage after a count at its start and at its end."""
    return stage.seen(survived, max(0.0, started - survived))


def from_other_batches(daily: Beta, evidence: Sequence[tuple[float, float]]) -> Beta:
    """The daily belief with which a new batch starts, from (lost, fish-days) of the others; never too certain."""
    for lost, lived in evidence:
        daily = learned(daily, lost, lived)
    return daily.at_most_worth(BETWEEN_BATCHES * STAGE_DAYS)


def over_days(daily: Beta, days: float) -> Beta:
    """The belief about surviving so many days in a row (two exact moments, matched)."""
    return along([(daily, days)])


def along(stages: Sequence[tuple[Beta, float]]) -> Beta:
    """The belief about surviving several stretches, each with its daily belief and its days.

    A stage that counts as one trial is given with 1 day. The stretches are taken as independent.
    """
    first = float(np.prod([_moment(daily, days) for daily, days in stages]))
    second = float(np.prod([_moment(daily, 2 * days) for daily, days in stages]))
    variance = max(second - first**2, 1e-12)
    return Beta.of(min(first, 1 - 1e-9), max(first * (1 - first) / variance - 1, 1e-3))


def alive(fish: int, surviving: Beta) -> Floats:
    """P(0, 1 … fish alive) after a stretch survived with this belief: exact beta-binomial."""
    return beta_binomial(fish, surviving)


def all_there(counts: Sequence[int], needs: Sequence[int], surviving: Beta, unassigned: int = 0) -> float:
    """P(every batch in one water keeps what it needs), exactly.

    The batches share their water, so they share the unknown chance `surviving`. `unassigned`: deaths told for the
    place that nobody could give to a batch; each fish of the `counts` may be one of them.
    """
    weights, shares = surviving.scenarios(sum(counts) // 2 + 1)
    dead = min(unassigned, sum(counts))
    ways = [np.array([[1.0] for _ in weights])]
    for fish, need in zip(counts, needs, strict=True):
        ways.append(_convolved(ways[-1], _kept(fish, need, shares, dead), dead))
    kept = ways[-1][:, dead] if ways[-1].shape[1] > dead else np.zeros(len(weights))
    return float(weights @ kept / comb(sum(counts), dead))


def count_kept(fish: int, surviving: Beta, certainty: float) -> int:
    """The largest number that is alive with at least this certainty."""
    distribution = alive(fish, surviving)
    return max(count for count in range(fish + 1) if at_least(distribution, count) >= certainty - 1e-12)


def _kept(fish: int, need: int, shares: Floats, dead: int) -> Floats:
    """Scenarios × dead of this batch: ways to choose the dead, times P(the rest keeps the need)."""
    columns = [
        comb(fish, gone) * binomial(fish - gone, shares)[:, max(need, 0) :].sum(axis=1) for gone in range(min(dead, fish) + 1)
    ]
    return np.stack(columns, axis=1)


def _convolved(left: Floats, right: Floats, dead: int) -> Floats:
    width = min(left.shape[1] + right.shape[1] - 1, dead + 1)
    out = np.zeros((left.shape[0], width))
    for gone in range(right.shape[1]):
        take = min(left.shape[1], width - gone)
        if take > 0:
            out[:, gone : gone + take] += left[:, :take] * right[:, gone : gone + 1]
    return out


def _moment(daily: Beta, power: float) -> float:
    """E[p^power] of a beta-distributed p."""
    from scipy.special import betaln

    return exp(float(betaln(daily.yes + power, daily.no) - betaln(daily.yes, daily.no)))
