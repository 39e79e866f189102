"""Who is related to whom, across the fishrooms of a club and through fish that changed hands.

Every breeder and every batch is an animal of one pedigree, by its pedigree id ("ROOM/F4"); a fish that changed hands keeps the id of
the fishroom it was first known in. Parents nobody recorded are founders: all coefficients are relative to them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from core.biology.colony import effective_size, inbreeding_rate
from core.biology.kinship import Expected, Kinship, Mate
from core.biology.pedigree import Animal, Family, Pedigree
from core.events import StrainKey
from core.fishroom.names import batch_pedigree_id, pedigree_id
from core.fishroom.state import UNKNOWN_PARENTS, Batch, Fish, Fishroom, Parentage

WARN_FROM = 0.0625
"""Expected inbreeding of a brood from which a warning is said: that of first cousins' young."""
Tie = Literal["unrelated", "distant", "cousins", "half_siblings", "close", "closer"]
TIES: tuple[tuple[float, Tie], ...] = (
    (0.0, "unrelated"),
    (0.0624, "distant"),
    (0.1249, "cousins"),
    (0.2499, "half_siblings"),
    (0.2501, "close"),
    (1.1, "closer"),
)
"""Up to which expected F of their young two fish count as what: 1/16 for cousins, 1/8 half siblings, 1/4 full siblings."""


@dataclass(frozen=True, slots=True)
class Related:
    """Two fish: the expected F of young they would have, its range, and what that is like."""

    female: str
    male: str
    brood: Expected
    tie: Tie
    founders: int
    """Founders behind the two (fish whose own parents are not recorded)."""


@dataclass(frozen=True, slots=True)
class Colony:
    """The living breeders of one strain in a fishroom."""

    strain: StrainKey
    males: int
    females: int
    size: float
    """Effective size Ne."""
    rate: float
    """Inbreeding added per generation."""
    with_another_male: float
    mean_kinship: float | None
    """Of its males with its females; None without one of either."""


@dataclass(frozen=True, slots=True)
class Pairing:
    """A male somewhere in the club as a mate for females of a fishroom."""

    room: str
    male: Fish
    mate: Mate
    own: bool


def kinship_of(rooms: Iterable[Fishroom]) -> Kinship:
    """The pedigree of everything in these fishrooms."""
    parentage: dict[str, tuple[Family, ...]] = {}
    for room in rooms:
        for fish in room.fish.values():
            if fish.formerly is None or fish.parentage.pairs != (((None, None), 1.0),):
                parentage[pedigree_id(room, fish)] = families(fish.parentage)
            else:
                parentage.setdefault(pedigree_id(room, fish), ())
        for batch in room.batches.values():
            parentage[batch_pedigree_id(room, batch)] = families(batch.parentage)
    return Kinship(Pedigree.of({animal: its or (Family(None, None),) for animal, its in parentage.items()}))


def kinship_behind(rooms: Mapping[str, Fishroom], room: Fishroom, fish: Iterable[Fish]) -> Kinship:
    """The pedigree of these fish of a fishroom and of their ancestors alone, wherever in the club those are."""
    waiting = [(pedigree_id(room, one), one.parentage) for one in fish]
    parentage: dict[Animal, tuple[Family, ...]] = {}
    while waiting:
        animal, told = waiting.pop()
        if animal not in parentage:
            its = told if told != UNKNOWN_PARENTS else _recorded(rooms, animal)
            parentage[animal] = families(its)
            parents = {parent for pair, _ in its.pairs for parent in pair if parent is not None}
            waiting += [(parent, UNKNOWN_PARENTS) for parent in parents]
    return Kinship(Pedigree.of(parentage))


def _recorded(rooms: Mapping[str, Fishroom], animal: str) -> Parentage:
    """The parentage of an animal in the book of the fishroom it was first known in; where that is not here, of one it went to."""
    home, _, name = animal.partition("/")
    if home in rooms:
        books = [rooms[home].fish.get(name), rooms[home].batches.get(name)]
        return next((one.parentage for one in books if one is not None), UNKNOWN_PARENTS)
    fish = [one.parentage for room in rooms.values() for one in room.fish.values() if one.formerly == animal]
    batches = [one.parentage for room in rooms.values() for one in room.batches.values() if one.formerly == animal]
    return next((one for one in (*fish, *batches) if one != UNKNOWN_PARENTS), UNKNOWN_PARENTS)


def families(parentage: Parentage) -> tuple[Family, ...]:
    """Parentage shares as families of the pedigree."""
    return tuple(Family(sire, dam, share) for (sire, dam), share in parentage.pairs)


def related(kin: Kinship, room: Fishroom, female: Fish, male: Fish) -> Related:
    """How the two are related."""
    mother, father = pedigree_id(room, female), pedigree_id(room, male)
    brood = kin.of_brood(father, mother)
    tie = next(name for most, name in TIES if brood.expected <= most)
    return Related(mother, father, brood, tie, len(kin.pedigree.founders([mother, father])))


def brood_inbreeding(kin: Kinship, room: Fishroom, female: Fish, male: Fish) -> Expected:
    """Expected F of the pair's brood."""
    return kin.of_brood(pedigree_id(room, male), pedigree_id(room, female))


def colony(kin: Kinship, room: Fishroom, strain: StrainKey) -> Colony:
    """The strain's breeders here: effective size, inbreeding rate, and what another male would do."""
    fish = [one for one in room.fish.values() if one.alive_here and one.strain == strain]
    males = [pedigree_id(room, one) for one in fish if one.sex == "male"]
    females = [pedigree_id(room, one) for one in fish if one.sex == "female"]
    size = effective_size(len(males), len(females))
    mean = float(kin.matrix(males, females).mean()) if males and females else None
    return Colony(
        strain, len(males), len(females), size, inbreeding_rate(size), effective_size(len(males) + 1, len(females)), mean
    )


def pairings(
    kin: Kinship, rooms: Mapping[str, Fishroom], room: Fishroom, strain: StrainKey, female: Fish | None = None
) -> list[Pairing]:
    """Males of the strain across the club for the fishroom's females (or one of them), the least related first."""
    mothers = [female] if female else [f for f in room.fish.values() if f.alive_here and f.sex == "female" and f.strain == strain]
    animals = {
        pedigree_id(other, fish): (key, fish)
        for key, other in rooms.items()
        for fish in other.fish.values()
        if fish.alive_here and fish.sex == "male" and fish.strain == strain
    }
    mates = kin.least_related(list(animals), [pedigree_id(room, mother) for mother in mothers])
    return [Pairing(*animals[str(mate.animal)], mate, animals[str(mate.animal)][0] == room.id) for mate in mates]


def of_batch(kin: Kinship, room: Fishroom, batch: Batch) -> float:
    """F of the young of a batch."""
    return kin.inbreeding(batch_pedigree_id(room, batch))
