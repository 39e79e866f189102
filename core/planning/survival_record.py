"""How well young fish live in this fishroom: what its counts and losses teach about every batch's days to come.

Fish-days are followed only as far as somebody looked: up to a batch's last count or sexing (or its end). Losses are deaths
told and fish that counts did not find; fish found above the book take losses back; sold, culled and grown-up fish are no
losses. A batch is in the box while most of it is in a nursery box, else in grow-out. Its own record counts in full, that of
the other batches only so far.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from core.biology import sex_ratio, survival
from core.biology.chance import Beta
from core.biology.survival import Stage
from core.fishroom.state import Batch, Fishroom, Parentage
from core.planning.batch_outlook import ready_days, size_for
from core.species import profile

LOSSES = {"died", "unexplained", "assigned_death", "found"}
LONG_STRETCH = 3650
"""Days the last stretch of life is taken to last."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """What one batch went through in one stage: fish lost, fish-days lived."""

    stage: Stage
    lost: float
    lived: float


def exposures(room: Fishroom, batch: Batch, day: date) -> tuple[Exposure, ...]:
    """What was seen of the batch in box and grow-out, up to `day`."""
    seen_until = _seen_until(batch, day)
    if seen_until is None:
        return ()
    lost = {Stage.BOX: 0.0, Stage.GROW_OUT: 0.0}
    lived = dict(lost)
    changes = [change for change in batch.changes if change.on <= seen_until]
    dates = sorted(
        {change.on for change in changes} | {stay.since for stay in batch.stays if stay.since <= seen_until} | {seen_until}
    )
    for here, there in pairwise(dates):
        stage = _stage_on(room, batch, here)
        fish = sum(change.count for change in changes if change.on <= here)
        gone = -sum(change.count for change in changes if change.on == there and change.kind in LOSSES)
        lost[stage] += gone
        lived[stage] += survival.fish_days(fish, max(gone, 0), (there - here).days)
    return tuple(Exposure(stage, max(0.0, lost[stage]), lived[stage]) for stage in lost if lived[stage] > 0)


def daily_survival(room: Fishroom, batch: Batch, stage: Stage, day: date) -> Beta:
    """The belief about a fish of the batch surviving one day in a stage."""
    prior = survival.prior(profile(room.species_of(batch.strain)), stage)
    others = (b for b in room.batches.values() if b.id != batch.id and room.species_of(b.strain) == room.species_of(batch.strain))
    belief = survival.from_other_batches(prior, [(e.lost, e.lived) for e in _of(stage, room, others, day)])
    for exposure in _of(stage, room, (batch,), day):
        belief = survival.learned(belief, exposure.lost, exposure.lived)
    return belief


def survival_stretches(room: Fishroom, batch: Batch, day: date) -> tuple[tuple[int, Beta], ...]:
    """Beliefs about surviving a day from `day` on, each with the days it holds: the rest of the box, then grow-out."""
    later = (LONG_STRETCH, daily_survival(room, batch, Stage.GROW_OUT, day))
    if _stage_on(room, batch, day) is not Stage.BOX:
        return (later,)
    species = profile(room.species_of(batch.strain))
    leaves = ready_days(room, batch, day, size_for(species, "out_of_box")).half.likely
    left = max(1, (leaves - day).days) if leaves is not None else survival.STAGE_DAYS
    return ((left, daily_survival(room, batch, Stage.BOX, day)), later)


def mouth_survival(room: Fishroom, strain: str) -> Beta:
    """The belief about an egg surviving to be stripped or released, after the broods of which both numbers were told."""
    belief = survival.prior(profile(room.species_of(strain)), Stage.MOUTH)
    for brood in room.broods.values():
        told = brood.eggs is not None or brood.dead is not None
        if brood.strain == strain and brood.outcome == "stripped" and told and brood.count is not None:
            lost = (brood.eggs or 0) + (brood.dead or 0)
            belief = survival.learned_whole(belief, brood.count, brood.count + lost)
    return belief


def male_share(room: Fishroom, batch: Batch) -> Beta:
    """The belief about the share of males among its unsexed young: per pairing, mixed by the shares of its parents."""
    beliefs = [(share, _of_pairing(room, batch, pair)) for pair, share in batch.parentage.pairs]
    mean = sum(share * belief.mean for share, belief in beliefs)
    worth = sum(share * belief.worth for share, belief in beliefs)
    return Beta.of(mean, worth)


def unsexed_needed(room: Fishroom, batch: Batch, males: int, females: int, certainty: float = 0.95) -> int | None:
    """How many unsexed fish of the batch hold at least so many males and females with this certainty; None: not even
    thousands.
    """
    return sex_ratio.unsexed_needed(males, females, certainty, male_share(room, batch))


def _of_pairing(room: Fishroom, batch: Batch, pair: tuple[str | None, str | None]) -> Beta:
    """After all sexings of unmixed batches of the pair; of unknown parents only the batch itself teaches."""
    belief = sex_ratio.prior(profile(room.species_of(batch.strain)))
    for other in room.batches.values():
        same = other.parentage == Parentage(((pair, 1.0),)) if all(pair) else other.id == batch.id
        if same and other.sexings and not other.mixture and other.strain == batch.strain:
            belief = sex_ratio.sexed(belief, other.sexings[-1].males, other.sexings[-1].females)
    return belief


def _of(stage: Stage, room: Fishroom, batches: Iterable[Batch], day: date) -> list[Exposure]:
    return [exposure for batch in batches for exposure in exposures(room, batch, day) if exposure.stage is stage]


def _seen_until(batch: Batch, day: date) -> date | None:
    looked = [said.on for said in batch.counts] + [said.on for said in batch.sexings]
    if batch.count == 0 and batch.changes:
        looked.append(batch.changes[-1].on)
    return max((on for on in looked if on <= day), default=None)


def _stage_on(room: Fishroom, batch: Batch, day: date) -> Stage:
    here = [stay.place for stay in batch.stays if stay.since <= day]
    place = room.places.get(here[-1]) if here and here[-1] is not None else None
    return Stage.BOX if place is not None and place.type == "box" else Stage.GROW_OUT
