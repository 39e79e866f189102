"""What is fetched on a pickup: the fish of each reservation, where they come from, and the water they are used to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta

from core.biology.transport import Bags
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.outlook import brood_outlook
from core.planning.standing import in_sexes
from core.species import profile


@dataclass(frozen=True, slots=True)
class Parcel:
    """Fish of one reservation: what they are, where they come from, and the water they are used to."""

    reservation: int
    batch: str
    strain: str
    scientific: str = ""
    males: int = 0
    females: int = 0
    unsexed: int = 0
    bags: int = 1
    bag_litres: float | None = None
    sire: str | None = None
    dam: str | None = None
    kinship: float | None = None
    """Of the parents to each other (0–1): the inbreeding their young have."""
    hatched: date | None = None
    hatched_about: bool = False
    food: str = ""
    temp_c: float | None = None
    ph: float | None = None

    @property
    def count(self) -> int:
        """Fish in it."""
        return self.males + self.females + self.unsexed


@dataclass(frozen=True, slots=True)
class Pickup:
    """One meeting of a keeper and a buyer."""

    club: str
    keeper: str
    buyer: str
    day: date
    at: time | None
    parcels: tuple[Parcel, ...]


def parcel_of(
    room: Fishroom,
    reservation: Reservation,
    today: date,
    *,
    kinship: float | None = None,
    packed: Bags | None = None,
    food: str = "",
) -> Parcel:
    """What is still to be fetched of a reservation; `kinship` of the parents and the packing are worked out elsewhere."""
    batch = room.batches[reservation.batch]
    strain = room.strains.get(batch.strain)
    males_left = max(0, (reservation.males or 0) - reservation.collected_males)
    females_left = max(0, (reservation.females or 0) - reservation.collected_females)
    males, females, unsexed = in_sexes(reservation.left, reservation.sex, males_left, females_left)
    sire, dam = _parents(room, batch)
    temp_c, ph = water_now(room, batch)
    species = profile(room.species_of(batch.strain))
    return Parcel(
        reservation.number,
        batch.label,
        strain.name if strain else batch.strain,
        species.scientific[0] if species.key != "general" and species.scientific else "",
        males,
        females,
        unsexed,
        packed.bags if packed else 1,
        packed.water_l if packed else None,
        sire,
        dam,
        kinship,
        hatching_day(room, batch, today),
        hatched_about=True,
        food=food,
        temp_c=temp_c,
        ph=ph,
    )


def _parents(room: Fishroom, batch: Batch) -> tuple[str | None, str | None]:
    """The likeliest pair as it is called here; a parent from elsewhere by its label there."""
    (sire, dam), _ = max(batch.parentage.pairs, key=lambda pair: pair[1], default=((None, None), 1.0))
    called = {f"{room.id}/{fish.id}": f"{fish.id} “{fish.nickname}”" if fish.nickname else fish.id for fish in room.fish.values()}
    return tuple(called.get(one, one.rpartition("/")[2]) if one else None for one in (sire, dam))  # type: ignore[return-value]


def hatching_day(room: Fishroom, batch: Batch, today: date) -> date | None:
    """The likely day of hatching: from its brood, else from the day it was spawned; None where neither is known."""
    brood = room.broods.get(batch.brood) if batch.brood else None
    outlook = brood_outlook(room, brood, today) if brood else None
    if outlook and outlook.hatch:
        return outlook.hatch.likely
    if batch.spawned is None:
        return None
    return batch.spawned + timedelta(days=round(profile(room.species_of(batch.strain)).development.hatch_days.likely))


def water_now(room: Fishroom, batch: Batch) -> tuple[float | None, float | None]:
    """(°C, pH) of the water most of the batch swims in: last tested, for the temperature else as usual there."""
    place = batch.places[0] if batch.places else None
    water = room.water_of(place) if place else None
    tests = room.water_tests.get(water or "", ())
    usual = room.places[water].temp_c if water in room.places else None
    temp_c = next((test.temp_c for test in reversed(tests) if test.temp_c is not None), usual)
    return temp_c, next((test.ph for test in reversed(tests) if test.ph is not None), None)


def bag_contents(parcel: Parcel) -> tuple[tuple[int, int, int], ...]:
    """(males, females, unsexed) in each bag: every sex dealt out in turn, so that no two bags differ by more than one fish."""
    bags = [[0, 0, 0] for _ in range(max(parcel.bags, 1))]
    dealt = 0
    for sex, count in enumerate((parcel.males, parcel.females, parcel.unsexed)):
        for _ in range(count):
            bags[dealt % len(bags)][sex] += 1
            dealt += 1
    return tuple((males, females, unsexed) for males, females, unsexed in bags)
