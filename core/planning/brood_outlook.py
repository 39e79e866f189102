"""When a brood reaches each stage, for this female in this water: windows of days with their reasons."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, floor, sqrt

from core.biology import development
from core.biology.development import Course, DoesNotHold, Holding, Pace
from core.events import BroodId
from core.fishroom.state import Brood, Fishroom, Stay
from core.planning.temperature import DayWindow, Warmth, day_of, warmth_over
from core.species import Profile, profile

SEEN_LATE_DAYS = 3
"""A female first seen holding may have spawned up to so many days before (common practice, no source)."""
NOTICED_WITHIN_DAYS = 1.0
"""A release is noticed within about a day (standard deviation; common practice, no source)."""


@dataclass(frozen=True, slots=True)
class BroodOutlook:
    """The expected course of one brood as known on a day. All windows are None where the model does not hold."""

    brood: BroodId
    since: date
    days_holding: int
    since_seen_late: int
    """By how many days the spawning may lie before `since` (0 where it was seen)."""
    warmth: Warmth
    own_record: int
    """How many of her own earlier releases narrow the window."""
    hatch: DayWindow | None = None
    bulge: DayWindow | None = None
    yolk: DayWindow | None = None
    """When the young have used up their yolk and must be fed."""
    release: DayWindow | None = None
    strip_opens: date | None = None
    strip_closes: date | None = None
    stretched: bool = False
    """The water leaves the range in which the model is trusted."""
    out_of_range: DoesNotHold | None = None
    """The water is outside what the model knows: no windows can be given."""


def brood_outlook(room: Fishroom, brood: Brood, day: date) -> BroodOutlook | None:
    """What to expect of a brood, as known on `day`; None for one whose beginning nobody knows."""
    since = brood.since
    if since is None:
        return None
    species = profile(room.species_of(brood.strain))
    warmth = _warmth(room, brood, min(day, brood.ended or day), species)
    pace, record = _pace(room, brood, species)
    seen = brood.last_seen.toordinal() if brood.last_seen and brood.last_seen > since else None
    course = development.course(species, _spawning(room, brood, since), warmth.temperatures, pace, seen)
    early = _spawning(room, brood, since).days_before
    known = BroodOutlook(brood.id, since, (min(day, brood.ended or day) - since).days, early, warmth, record)
    match course:
        case DoesNotHold():
            return replace(known, out_of_range=course)
        case Course():
            return _with_windows(known, course)


def course_of(room: Fishroom, brood: Brood, day: date) -> Course | None:
    """The biological course behind the outlook; None where there is none."""
    since = brood.since
    if since is None:
        return None
    species = profile(room.species_of(brood.strain))
    warmth = _warmth(room, brood, day, species)
    pace, _ = _pace(room, brood, species)
    found = development.course(species, _spawning(room, brood, since), warmth.temperatures, pace)
    return found if isinstance(found, Course) else None


def _with_windows(known: BroodOutlook, course: Course) -> BroodOutlook:
    return replace(
        known,
        hatch=DayWindow.of(course.hatch),
        bulge=DayWindow.of(course.bulge),
        yolk=DayWindow.of(course.yolk),
        release=DayWindow.of(course.release),
        strip_opens=day_of(ceil(course.strip_opens)),
        strip_closes=day_of(max(floor(course.strip_closes), ceil(course.strip_opens))),
        stretched=course.stretched,
    )


def _warmth(room: Fishroom, brood: Brood, day: date, species: Profile) -> Warmth:
    """The water where she was, from a few days before the brood was noticed; then that of its fry."""
    mother = room.fish.get(brood.female)
    stays = list(mother.stays) if mother else []
    if brood.ended is not None:
        fry = room.batches.get(brood.batch) if brood.batch else None
        stays = [stay for stay in stays if stay.since < brood.ended]
        stays += list(fry.stays) if fry else []
    start = (brood.since or day) - timedelta(days=SEEN_LATE_DAYS)
    return warmth_over(room, _from(stays, start), max(day, start), species)


def _from(stays: list[Stay], start: date) -> list[Stay]:
    """The stays from a day on; where the first one begins later, it is taken to have begun then."""
    before = [stay for stay in stays if stay.since <= start]
    after = [stay for stay in stays if stay.since > start]
    first = before[-1:] or after[:1]
    return [Stay(start, stay.place) for stay in first] + (after if before else after[1:])


def _spawning(room: Fishroom, brood: Brood, since: date) -> Holding:
    """Where only the holding was seen, the spawning is up to some days earlier, but not before her last brood ended."""
    if brood.spawned is not None:
        return Holding(since.toordinal())
    ends = [
        b.ended for b in room.broods.values() if b.female == brood.female and b.ended and b.ended <= since and b.id != brood.id
    ]
    free = min(((since - end).days for end in ends), default=SEEN_LATE_DAYS)
    return Holding(since.toordinal(), max(0, min(SEEN_LATE_DAYS, free)))


def _pace(room: Fishroom, brood: Brood, species: Profile) -> tuple[Pace, int]:
    """Her own pace after her earlier natural releases, and how many there were."""
    pace, record = development.species_pace(species), 0
    for earlier in room.broods.values():
        if earlier.female != brood.female or earlier.id == brood.id or earlier.outcome != "released" or earlier.supposed:
            continue
        if earlier.since is None or earlier.ended is None or (brood.since and earlier.ended > brood.since):
            continue
        holding = _spawning(room, earlier, earlier.since)
        warmth = _warmth(room, earlier, earlier.ended, species)
        ratio = development.observed_ratio(species, holding, earlier.ended.toordinal(), warmth.temperatures)
        error = sqrt(NOTICED_WITHIN_DAYS**2 + holding.days_before**2 / 12)
        pace = pace.after(ratio, error, species.development.release_days.likely)
        record += 1
    return pace, record
