"""What lives in a fishroom and where: strains, places, breeders, broods, batches with their groups and changes, as plain
values.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
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
        return sum([group.count for group in self.groups]) if self.groups else 0

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
        return places_of(self.groups)


def places_of(groups: Iterable[Group]) -> tuple[PlaceName, ...]:
    """Where the fish are, the most numerous place first."""
    totals: dict[PlaceName, int] = {}
    for group in groups:
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
