"""How a batch grows, from everything that was measured and the water it really had: its growth in parts.

A batch has one part for each batch that was mixed into it and each water that it now stands in. Each part follows its own
water. Lengths measured before a mixing speak of the part they were measured in; those measured later, or while the batch
stands in several waters, move all parts in the same proportion (nobody knows which part the measured fish were of).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from core.biology import growth
from core.biology.growth import Ahead, Growth, Part
from core.events import PlaceName
from core.fishroom.state import Batch, Fishroom, Measurement, Stay
from core.planning.brood_outlook import course_of
from core.planning.temperature import Warmth, warmth_over
from core.species import Figure, Mark, Profile, profile

UNSAID_FISH = 5
"""A mean told without a number is taken to be of so many fish (common practice, no source)."""
BOUGHT_MM = Figure(25.0, 15.0, 40.0, Mark.PRACTICE)
"""Length of young fish that came in with neither size nor age told (common practice, no source)."""
TOLD_WITHIN = 0.12
"""A size told by the seller is within this share of the truth, nine times in ten (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Strand:
    """One part of a batch: its share of the fish, its growth so far, the day its warmth counts from, and its water."""

    share: float
    growth: Growth
    released: int
    """Day ordinal of its release, or what stands for it."""
    warmth: Warmth

    def part(self, day: date) -> Part:
        """As the biology takes it, for one day."""
        temperatures = self.warmth.temperatures
        return Part(self.share, self.growth, growth.warmth_by(self.growth.profile, temperatures, self.released, day.toordinal()))

    def ahead(self) -> Ahead:
        """Its growth foreseen, as long as the water stays as usual."""
        return self.growth.ahead(self.warmth.temperatures, self.released)


def strands(room: Fishroom, batch: Batch, day: date) -> tuple[Strand, ...]:
    """The batch's parts as known on `day`, the largest share first."""
    species = profile(room.species_of(batch.strain))
    waters = _waters(room, batch)
    components = _components(room, batch)
    since = _joint_since(batch, waters) if len(waters) * len(components) > 1 else None
    found = [
        _strand(room, component, batch, species, day, water, share, since) for component, share in components for water in waters
    ]
    for measurement in measured_on(batch, day):
        if since is not None and measurement.on >= since:
            found = _moved_together(found, measurement)
    return tuple(sorted(found, key=lambda strand: -strand.share))


def parts(room: Fishroom, batch: Batch, day: date, at: date | None = None) -> tuple[Part, ...]:
    """The batch's parts on the day `at` (left out: on `day`), as known on `day`."""
    return tuple(strand.part(at or day) for strand in strands(room, batch, day))


def measured_on(batch: Batch, day: date) -> list[Measurement]:
    """What was measured of the batch up to a day."""
    return [measurement for measurement in batch.measurements if measurement.on <= day]


def _components(room: Fishroom, batch: Batch) -> list[tuple[Batch, float]]:
    known = [(room.batches[letter], share) for letter, share in batch.mixture if letter in room.batches]
    whole = sum(share for _, share in known)
    return [(component, share / whole) for component, share in known] if known else [(batch, 1.0)]


@dataclass(frozen=True, slots=True)
class _Standing:
    """A water in which part of the batch stands: one place of it, the share of the fish, since when (None: all along)."""

    place: PlaceName | None
    share: float
    since: date | None


def _waters(room: Fishroom, batch: Batch) -> list[_Standing]:
    counts: dict[PlaceName | None, int] = {}
    places: dict[PlaceName | None, PlaceName | None] = {}
    for group in batch.groups:
        water = room.water_of(group.place) if group.place is not None else None
        counts[water] = counts.get(water, 0) + group.count
        places.setdefault(water, group.place)
    if len(counts) < 2:
        return [_Standing(None, 1.0, None)]
    arrived = {stay.place: stay.since for stay in batch.arrivals}
    return [_Standing(places[water], count / batch.count, arrived.get(places[water])) for water, count in counts.items()]


def _joint_since(batch: Batch, waters: Sequence[_Standing]) -> date:
    """The day from which a measurement speaks of all parts together: the last mixing or parting."""
    mixings = [change.on for change in batch.changes if change.kind == "merged_in"]
    return max([batch.began, *mixings[-1:], *(water.since for water in waters if water.since is not None)])


def _strand(
    room: Fishroom,
    component: Batch,
    stock: Batch,
    species: Profile,
    day: date,
    water: _Standing,
    share: float,
    joint_since: date | None,
) -> Strand:
    released, start, told = _start(room, component, species, day)
    stays = _stays(room, component, stock)
    if water.since is not None:
        stays = [*(stay for stay in stays if stay.since < water.since), Stay(water.since, water.place)]
    warmth = warmth_over(room, _covering(stays, released), day, species)
    believed = growth.prior(species, start)
    for measurement in component.measurements[told:]:
        joint = component.id == stock.id and joint_since is not None and measurement.on >= joint_since
        if measurement.on <= day and not joint:
            at = growth.warmth_by(species, warmth.temperatures, released, measurement.on.toordinal())
            believed = _seen(believed, at, measurement)
    return Strand(share * water.share, believed, released, warmth)


def _seen(believed: Growth, warmth: float, measurement: Measurement) -> Growth:
    if measurement.lengths:
        return believed.measured_lengths(warmth, measurement.lengths)
    if measurement.mean_mm is None:
        return believed
    return believed.measured(warmth, measurement.mean_mm, measurement.n or UNSAID_FISH)


def _moved_together(found: list[Strand], measurement: Measurement) -> list[Strand]:
    """All parts moved in the proportion of what was measured to what was expected."""
    then = [strand.part(measurement.on) for strand in found]
    expected = sum(part.share * part.growth.mean_mm(part.warmth).likely for part in then)
    lengths = measurement.lengths
    mean = sum(lengths) / len(lengths) if lengths else measurement.mean_mm
    if mean is None or expected <= 0:
        return found
    fish = len(lengths) or measurement.n or UNSAID_FISH
    moved = []
    for strand, part in zip(found, then, strict=True):
        own = part.growth.mean_mm(part.warmth).likely * mean / expected
        moved.append(replace(strand, growth=strand.growth.measured(part.warmth, own, max(1, round(fish * part.share)))))
    return moved


def _start(room: Fishroom, component: Batch, species: Profile, day: date) -> tuple[int, Figure | None, int]:
    """The day its warmth counts from, its length then (None: the species'), and how many measurements that already uses."""
    first = component.measurements[0] if component.measurements else None
    if component.brood is None and first is not None and first.on == component.began and first.mean_mm is not None:
        likely = min(first.mean_mm, 0.9 * species.growth.asymptote_mm.likely)
        told = Figure(likely, likely * (1 - TOLD_WITHIN), likely * (1 + TOLD_WITHIN), Mark.PRACTICE)
        return component.began.toordinal(), told, 1
    brood = room.broods.get(component.brood) if component.brood else None
    if brood is not None and brood.outcome == "released" and brood.ended is not None:
        return brood.ended.toordinal(), None, 0
    course = course_of(room, brood, max(day, component.began)) if brood is not None else None
    if course is not None:
        return round(course.release.likely), None, 0
    development = species.development
    if component.spawned is not None:
        return component.spawned.toordinal() + round(development.release_days.likely), None, 0
    if brood is not None:
        return component.began.toordinal() + round(development.release_days.likely - development.strip_days.likely), None, 0
    return component.began.toordinal(), BOUGHT_MM, 0


def _covering(stays: Sequence[Stay], released: int) -> list[Stay]:
    """The stays, the first of them begun no later than the release (before it was in the book it lived as on its first day)."""
    if not stays:
        return []
    first = stays[0]
    start = date.fromordinal(min(released, first.since.toordinal()))
    return [Stay(start, first.place), *stays[1:]]


def _stays(room: Fishroom, component: Batch, stock: Batch, depth: int = 10) -> list[Stay]:
    """Where the fish of a component were: in its own places, then, from the day it was mixed in, in those of the stock."""
    into = [change for change in component.changes if change.kind == "merged_away" and change.to in room.batches]
    if component.id == stock.id or not into or depth == 0:
        return list(component.stays)
    cut, onward = into[-1].on, room.batches[str(into[-1].to)]
    later = _stays(room, onward, stock, depth - 1)
    at_cut = [stay for stay in later if stay.since <= cut][-1:] or later[:1]
    return [
        *(stay for stay in component.stays if stay.since < cut),
        *(Stay(cut, stay.place) for stay in at_cut),
        *(stay for stay in later if stay.since > cut),
    ]
