"""What a fishroom holds: places, fish, broods, batches, promises, and what happened to each, as plain values.

Everything inside is a frozen value; only the `Fishroom` itself and its dictionaries and lists change, and only `replay` changes
them. `Fishroom.fork()` gives an independent copy at the cost of copying the dictionaries, for "what if this were so?".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date, datetime, time
from decimal import Decimal
from typing import Literal

from core.events import BatchId, BroodId, FishId, PersonId, PlaceName, PlaceType, Sex, StrainKey


@dataclass(frozen=True, slots=True)
class Strain:
    """A strain kept here, with the key of its species profile and the names it goes by."""

    key: StrainKey
    name: str
    species: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A tank, box, tub or pond. A box that hangs in a tank shares that tank's water."""

    name: PlaceName
    type: PlaceType
    litres: float | None = None
    temp_c: float | None = None
    hangs_in: PlaceName | None = None
    hard_to_catch: bool = False
    loop: bool = False
    retired: bool = False
    added: date | None = None


@dataclass(frozen=True, slots=True)
class Parentage:
    """Who the parents are, as shares that sum to 1: `((sire, dam), share)`; a parent is a pedigree id or None (unknown).

    One pair with share 1 for an ordinary brood; several after batches were mixed.
    """

    pairs: tuple[tuple[tuple[str | None, str | None], float], ...] = (((None, None), 1.0),)


UNKNOWN_PARENTS = Parentage()


@dataclass(frozen=True, slots=True)
class Stay:
    """From `since` on, until the next stay, the fish was in `place` (None: not here)."""

    since: date
    place: PlaceName | None


@dataclass(frozen=True, slots=True)
class Fish:
    """An individually known breeder."""

    id: FishId
    sex: Literal["male", "female"]
    label: str
    strain: StrainKey
    place: PlaceName | None = None
    nickname: str | None = None
    origin: str | None = None
    from_batch: BatchId | None = None
    born: date | None = None
    joined: date | None = None
    parentage: Parentage = UNKNOWN_PARENTS
    stays: tuple[Stay, ...] = ()
    gone: date | None = None
    gone_how: Literal["died", "left"] | None = None
    gone_to: PersonId | None = None
    formerly: str | None = None

    @property
    def alive_here(self) -> bool:
        """Whether the fish is in this fishroom now."""
        return self.gone is None


@dataclass(frozen=True, slots=True)
class Brood:
    """A clutch in a female's mouth, from spawning or first seen holding, to its end."""

    id: BroodId
    female: FishId
    strain: StrainKey
    male: FishId | None = None
    male_taken: bool = False
    """The sire is taken to be `male` because he was the only adult male of the strain with her."""
    spawned: date | None = None
    first_seen: date | None = None
    """Told as holding since this day; None where only the spawning was seen."""
    last_seen: date | None = None
    ended: date | None = None
    outcome: Literal["stripped", "released", "lost"] | None = None
    supposed: bool = False
    """The female was not recorded as holding: taken to be so when she was stripped or released."""
    batch: BatchId | None = None
    count: int | None = None
    eggs: int | None = None
    dead: int | None = None

    @property
    def since(self) -> date | None:
        """The day the clock starts from: the spawning where seen, else when she was first seen holding."""
        return self.spawned or self.first_seen


@dataclass(frozen=True, slots=True)
class Group:
    """Fish of one batch that share a place and a sex."""

    place: PlaceName | None
    sex: Sex
    count: int


ChangeKind = Literal[
    "stripped",
    "released",
    "bought",
    "died",
    "culled",
    "unexplained",
    "found",
    "sold",
    "collected",
    "bred_on",
    "split_off",
    "split_in",
    "merged_away",
    "merged_in",
    "assigned_death",
]
"""Why a batch's number changed. "unexplained" is a count below the book, "found" one above; "bred_on" became a breeder."""


@dataclass(frozen=True, slots=True)
class Change:
    """One dated change of a batch's number: `count` is signed. `entry` is the journal number that made it."""

    on: date
    kind: ChangeKind
    count: int
    entry: int
    sex: Sex | None = None
    approx: bool = False
    to: PersonId | BatchId | None = None
    price: Decimal | None = None
    """For the lot."""
    reservation: int | None = None


@dataclass(frozen=True, slots=True)
class Measurement:
    """Lengths in mm, or their mean with the number measured."""

    on: date
    lengths: tuple[float, ...] = ()
    mean_mm: float | None = None
    n: int | None = None


@dataclass(frozen=True, slots=True)
class CountSaid:
    """What a count asserted, and what the book said before it."""

    on: date
    count: int
    book: int
    approx: bool = False


@dataclass(frozen=True, slots=True)
class SexingSaid:
    """What was found when the batch was sexed."""

    on: date
    males: int
    females: int
    unsexed: int


@dataclass(frozen=True, slots=True)
class Offer:
    """What of the batch is for sale: from a day, up to `count` of a sex (None: all that can be promised)."""

    since: date
    count: int | None = None
    sex: Sex | None = None
    price: Decimal | None = None
    from_day: date | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """Young fish that are counted together."""

    id: BatchId
    label: str
    strain: StrainKey
    began: date
    """The day it entered the book (stripped, released, bought, split off)."""
    spawned: date | None = None
    """The day the clock of its growth starts from: spawning, or the best that is known (`born` of a bought batch)."""
    brood: BroodId | None = None
    parentage: Parentage = UNKNOWN_PARENTS
    origin: str | None = None
    formerly: str | None = None
    groups: tuple[Group, ...] = ()
    stays: tuple[Stay, ...] = ()
    """Where most of it was, over time (temperature follows it)."""
    arrivals: tuple[Stay, ...] = ()
    """Since when it has fish in each of the places where it has some now."""
    held_back: tuple[tuple[Sex, int], ...] = ()
    """Kept as future breeders, by sex (unsexed where none was said)."""
    changes: tuple[Change, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    counts: tuple[CountSaid, ...] = ()
    sexings: tuple[SexingSaid, ...] = ()
    offer: Offer | None = None
    prices: tuple[tuple[Sex | None, Decimal], ...] = ()
    hybrid: tuple[StrainKey, ...] = ()
    """The strains that were crossed or merged in it; never offered as any of them."""
    merged_into: BatchId | None = None
    mixture: tuple[tuple[BatchId, float], ...] = ()
    """The batches that were mixed into this one with their share of its number then (this one included)."""
    approx: bool = False

    @property
    def count(self) -> int:
        """Fish in it by the book."""
        return sum(group.count for group in self.groups)

    def count_of(self, sex: Sex) -> int:
        """Fish of one sex in it by the book."""
        return sum(group.count for group in self.groups if group.sex == sex)

    @property
    def held_back_count(self) -> int:
        """Fish kept as future breeders."""
        return sum(count for _, count in self.held_back)

    @property
    def places(self) -> tuple[PlaceName, ...]:
        """Where its fish are, the most numerous place first."""
        totals: dict[PlaceName, int] = {}
        for group in self.groups:
            if group.place is not None and group.count:
                totals[group.place] = totals.get(group.place, 0) + group.count
        return tuple(sorted(totals, key=lambda place: (-totals[place], place)))


@dataclass(frozen=True, slots=True)
class UnassignedDeaths:
    """Deaths told for a place with several batches: one of `batches` each, until a count settles it."""

    on: date
    place: PlaceName
    count: int
    batches: tuple[BatchId, ...]
    entry: int


ReservationStatus = Literal["unconfirmed", "confirmed", "collected", "cancelled", "declined", "no_show"]


@dataclass(frozen=True, slots=True)
class Reservation:
    """A promise to a member (or guest). `number` counts through the club; `made` is its place in the row of promises."""

    number: int
    member: PersonId
    batch: BatchId
    count: int
    made: datetime
    status: ReservationStatus
    sex: Sex | None = None
    males: int | None = None
    females: int | None = None
    pickup: date | None = None
    at: time | None = None
    min_mm: float | None = None
    hold_until: datetime | None = None
    proposed: tuple[date, time | None, PersonId] | None = None
    collected: int = 0
    collected_males: int = 0
    collected_females: int = 0
    deposit: Decimal = Decimal(0)
    wish: int | None = None
    sequence: int = 0
    """Rises with every change of the pickup (RFC 5545 SEQUENCE)."""
    closed: date | None = None

    @property
    def left(self) -> int:
        """Fish still to be handed over."""
        return self.count - self.collected

    def open_at(self, moment: datetime) -> bool:
        """Whether it still binds fish at that moment (UTC): confirmed, or held and not lapsed."""
        match self.status:
            case "confirmed":
                return True
            case "unconfirmed":
                return self.hold_until is None or moment < self.hold_until
            case _:
                return False


@dataclass(frozen=True, slots=True)
class WaterTest:
    """One set of readings at a place."""

    on: date
    at: time | None
    ph: float | None = None
    tan_mg_l: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    temp_c: float | None = None
    kh_dkh: float | None = None
    gh_dgh: float | None = None
    kit_unit: Literal["N", "NH3"] | None = None


@dataclass(frozen=True, slots=True)
class WaterChange:
    """One change of water."""

    on: date
    percent: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class Feeding:
    """One feeding."""

    on: date
    at: time | None
    place: PlaceName | None = None
    batch: BatchId | None = None
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A note or a picture; `text` and `photo` are keys (the words and bytes stand elsewhere and may have been blanked)."""

    on: date
    text: str | None
    photo: str | None = None
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class HabitSaid:
    """Every how many days, since when."""

    task: str
    place: PlaceName | None
    every_days: int
    since: date


@dataclass(frozen=True, slots=True)
class Absence:
    """The keeper is away on these days, both included."""

    from_day: date
    to_day: date
    sitter: PersonId | None = None


@dataclass(frozen=True, slots=True)
class TaskMark:
    """What somebody said about a care task."""

    kind: Literal["done", "later", "dropped"]
    on: date
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """An entry that does not fit: its journal number, why (a short key such as "no_such_batch", "not_enough"), and about what."""

    entry: int
    why: str
    about: str
    on: date


@dataclass(frozen=True, slots=True)
class FreeTime:
    """When the keeper can catch and hand over: weekdays (0 Monday), and hours."""

    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    from_time: time | None = None
    to_time: time | None = None


@dataclass(slots=True)
class Fishroom:
    """The state of one fishroom after a number of journal entries."""

    id: str
    number: int = 0
    """Journal entries taken in."""
    latest: date | None = None
    position: tuple[date, time, int] | None = None
    """Day, time of day and order of the last entry applied: a later one can simply be added, an earlier one means a replay."""
    strains: dict[StrainKey, Strain] = field(default_factory=dict)
    places: dict[PlaceName, Place] = field(default_factory=dict)
    fish: dict[FishId, Fish] = field(default_factory=dict)
    broods: dict[BroodId, Brood] = field(default_factory=dict)
    holding: dict[FishId, BroodId] = field(default_factory=dict)
    """Females that carry now, with their open brood."""
    batches: dict[BatchId, Batch] = field(default_factory=dict)
    told_apart: set[frozenset[BatchId]] = field(default_factory=set)
    unassigned: list[UnassignedDeaths] = field(default_factory=list)
    reservations: dict[int, Reservation] = field(default_factory=dict)
    strain_prices: dict[tuple[StrainKey, Sex | None], Decimal] = field(default_factory=dict)
    water_tests: dict[PlaceName, list[WaterTest]] = field(default_factory=dict)
    """By the water (see `water_of`: a hanging box's tests are its tank's), in order; so are the changes."""
    water_changes: dict[PlaceName, list[WaterChange]] = field(default_factory=dict)
    feedings: list[Feeding] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    habits: dict[tuple[str, PlaceName | None], HabitSaid] = field(default_factory=dict)
    absences: list[Absence] = field(default_factory=list)
    task_marks: dict[str, TaskMark] = field(default_factory=dict)
    free: FreeTime = FreeTime()
    settings: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    # Small questions that everybody asks; anything that needs a day, a moment or a number of biology lives elsewhere.

    def fork(self) -> Fishroom:
        """An independent copy: the values inside are shared, since they never change."""
        copy = replace(self)
        for name in _CONTAINERS:
            setattr(copy, name, getattr(self, name).copy())
        copy.water_tests = {place: tests.copy() for place, tests in self.water_tests.items()}
        copy.water_changes = {place: changes.copy() for place, changes in self.water_changes.items()}
        return copy

    def live_batches(self) -> list[Batch]:
        """Batches with fish in them that were not merged away, in the order of their beginning."""
        return [batch for batch in self.batches.values() if batch.merged_into is None and batch.count > 0]

    def batches_in(self, place: PlaceName) -> list[Batch]:
        """Live batches with fish in the place."""
        return [batch for batch in self.live_batches() if place in batch.places]

    def fish_in(self, place: PlaceName) -> list[Fish]:
        """Known breeders in the place now."""
        return [fish for fish in self.fish.values() if fish.alive_here and fish.place == place]

    def water_of(self, place: PlaceName) -> PlaceName:
        """The place whose water this is: a hanging box's tank, else itself."""
        found = self.places.get(place)
        return found.hangs_in if found and found.hangs_in else place

    def brood_of(self, female: FishId) -> Brood | None:
        """The brood she carries now."""
        brood = self.holding.get(female)
        return self.broods[brood] if brood else None

    def species_of(self, strain: StrainKey) -> str:
        """Key of the strain's species profile."""
        return self.strains[strain].species if strain in self.strains else "general"


_CONTAINERS = tuple(f.name for f in fields(Fishroom) if f.name not in {"id", "number", "latest", "position", "free"})


@dataclass(frozen=True, slots=True)
class Wish:
    """A line of the club's wanted list."""

    number: int
    member: PersonId
    strain: StrainKey
    count: int
    made: datetime
    sex: Sex | None = None
    by_day: date | None = None
    min_mm: float | None = None
    status: Literal["waiting", "offered", "met", "dropped"] = "waiting"
    offer: tuple[str, BatchId, int, datetime] | None = None
    """Fishroom, batch, number and answer-by moment of the running proposal."""
    passed: tuple[tuple[str, BatchId], ...] = ()
    """What the member has passed on (or let lapse), so that it is not proposed again."""


@dataclass(slots=True)
class Club:
    """What the club's own stream says."""

    id: str
    number: int = 0
    settings: dict[str, str] = field(default_factory=dict)
    wishes: dict[int, Wish] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


Texts = Mapping[str, str]
"""Free texts by key, as far as they have not been blanked."""
