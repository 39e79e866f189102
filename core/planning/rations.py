"""What the fish of a batch or a place should eat in a day, from their number, their size and the water they are in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from itertools import takewhile

from core.biology import feeding, stocking
from core.biology.feeding import Ration
from core.biology.size import mean_weight_g
from core.biology.stocking import Load
from core.events import BatchId, PlaceName
from core.fishroom.history import newest_first
from core.fishroom.state import Batch, Fish, Fishroom
from core.planning.batch_outlook import BatchOutlook, batch_outlook
from core.planning.temperature import Basis, DayWindow, usual_temperature
from core.planning.yolk import first_food
from core.species import Profile, profile

ADULT_SHARE = 0.75
"""A breeder whose size nobody told is taken to be so much of its species' full length (common practice, no source)."""
CARRIED_DAYS = 7
"""A temperature tested so lately is the water's temperature now."""


@dataclass(frozen=True, slots=True)
class BatchRation:
    """What the fish of a batch in one place (or all of it) eat in a day."""

    batch: BatchId
    fish: int
    mean_mm: float
    mean_g: float
    temperature_c: float
    basis: Basis
    ration: Ration
    no_food_before: DayWindow | None
    """The fry still live on their yolk: no food until then."""


@dataclass(frozen=True, slots=True)
class LoopNeed:
    """What the plants and the filter of a loop must carry for a day's feed (FAO 589 figures, see core.biology.feeding)."""

    leafy_m2: tuple[float, float]
    fruiting_m2: tuple[float, float]
    media_litres: float


@dataclass(frozen=True, slots=True)
class PlaceRation:
    """What everybody in a place eats in a day, and how full the place is."""

    place: PlaceName
    batches: tuple[BatchRation, ...]
    breeders: int
    breeders_g: tuple[float, float]
    """Grams a day for the breeders, low and high."""
    load: Load | None
    """Against what the water carries; None where its volume is not known."""
    nursery: tuple[int, int] | None = None
    """How many fry of that size a nursery box holds (cautious, usual)."""
    loop: LoopNeed | None = None
    """For a place in a plant loop."""

    @property
    def grams(self) -> float:
        """Likely grams a day for all of them."""
        return sum(each.ration.grams for each in self.batches) + sum(self.breeders_g) / 2


def batch_ration(
    room: Fishroom, batch: Batch, day: date, place: PlaceName | None = None, outlook: BatchOutlook | None = None
) -> BatchRation:
    """What the batch eats in a day; with a place, only its fish there. An outlook worked out before saves doing it again."""
    species = profile(room.species_of(batch.strain))
    outlook = outlook or batch_outlook(room, batch, day)
    here = place or (batch.places[0] if batch.places else None)
    fish = sum(group.count for group in batch.groups if place is None or group.place == place)
    temperature, basis = temperature_now(room, here, day, species)
    length, weight = outlook.mean_mm.likely, outlook.mean_g.likely
    food = feeding.ration(species, fish, weight, length, temperature)
    return BatchRation(batch.id, fish, length, weight, temperature, basis, food, first_food(room, batch, day))


def place_ration(room: Fishroom, place: PlaceName, day: date) -> PlaceRation:
    """What everybody in the place eats in a day."""
    batches = tuple(batch_ration(room, batch, day, place) for batch in room.batches_in(place))
    breeders = room.fish_in(place)
    foods = [_breeder(room, fish, day) for fish in breeders]
    stands = room.places.get(place)
    weight = sum(each.fish * each.mean_g for each in batches) + sum(weight for _, weight in foods)
    full = stocking.load(weight, stands.litres) if stands is not None and stands.litres and not stands.hangs_in else None
    eaten = (sum(food.low_g for food, _ in foods), sum(food.high_g for food, _ in foods))
    found = PlaceRation(place, batches, len(breeders), eaten, full)
    nursery = stocking.nursery_fry(stands.litres, batches[0].mean_g) if stands and stands.type == "box" and stands.litres and batches else None
    return replace(found, nursery=nursery, loop=loop_need(found) if stands is not None and stands.loop and found.grams else None)


def loop_need(found: PlaceRation) -> LoopNeed:
    """What a day's feed asks of plants and filter; the protein is that of the largest batch's food, 32 % for breeders alone."""
    protein = max(found.batches, key=lambda one: one.ration.grams).ration.protein if found.batches else 0.32
    return LoopNeed(
        feeding.plants_m2(found.grams, feeding.Crop.LEAFY),
        feeding.plants_m2(found.grams, feeding.Crop.FRUITING),
        feeding.media_litres(found.grams, protein),
    )


def temperature_now(room: Fishroom, place: PlaceName | None, day: date, species: Profile) -> tuple[float, Basis]:
    """°C of a place's water: tested lately, else usual."""
    tests = room.water_tests.get(room.water_of(place), ()) if place is not None else ()
    lately = takewhile(lambda test: (day - test.on).days <= CARRIED_DAYS, newest_first(tests, day))
    known = next((test.temp_c for test in lately if test.temp_c is not None), None)
    if known is not None:
        return known, "tested"
    return usual_temperature(room, place, species)


def _breeder(room: Fishroom, fish: Fish, day: date) -> tuple[Ration, float]:
    """A breeder's food and its weight in grams; a female that carries does not eat."""
    species = profile(room.species_of(fish.strain))
    length = ADULT_SHARE * species.growth.asymptote_mm.likely
    weight = mean_weight_g(length, 0.0, species.length_weight)
    temperature, _ = temperature_now(room, fish.place, day, species)
    return feeding.ration(species, 0 if fish.id in room.holding else 1, weight, length, temperature), weight
