"""Who descends from whom, in an order in which parents come before their young.

An animal has one family (sire, dam; either may be unknown) or, out of a mixed batch, several with the share of each.
Unknown parents and parents without an entry of their own are founders: unrelated and not inbred, as far as recorded.
An animal entered as its own ancestor cannot be: its parentage is set aside and it is listed under `loops`.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Animal: TypeAlias = Hashable
Integers: TypeAlias = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Family:
    """A pair that may be an animal's parents, and the share of the chance that it is."""

    sire: Animal | None
    dam: Animal | None
    share: float = 1.0


Parentage: TypeAlias = tuple[Animal | None, Animal | None] | Sequence[Family]


@dataclass(frozen=True)
class Pedigree:
    """All animals, parents first; families as parallel arrays of places in that order (-1: unknown)."""

    animals: tuple[Animal, ...]
    child: Integers
    sire: Integers
    dam: Integers
    share: NDArray[np.float64]
    loops: tuple[Animal, ...] = ()

    @classmethod
    def of(cls, parentage: Mapping[Animal, Parentage]) -> "Pedigree":
        """The pedigree of these animals and every parent they name; shares are scaled to add up to 1."""
        families = {animal: _families(parents) for animal, parents in parentage.items()}
        order, loops = _ordered(families)
        place = {animal: index for index, animal in enumerate(order)}
        rows = [
            (place[child], _place(place, family.sire), _place(place, family.dam), family.share)
            for child in order
            if child not in loops
            for family in families.get(child, ())
        ]
        child, sire, dam, share = (np.array(column) for column in zip(*rows, strict=True)) if rows else _nothing()
        return cls(tuple(order), child, sire, dam, share.astype(float), tuple(loops))

    @classmethod
    def behind(cls, animals: Iterable[Animal], parentage: Mapping[Animal, Parentage]) -> "Pedigree":
        """The pedigree of these animals and their ancestors alone: enough for their kinship, and small."""
        found: dict[Animal, Parentage] = {}
        waiting = list(animals)
        while waiting:
            animal = waiting.pop()
            if animal not in found:
                found[animal] = parents = parentage.get(animal, (None, None))
                families = _families(parents)
                waiting.extend(each for family in families for each in (family.sire, family.dam) if each is not None)
        return cls.of(found)

    @cached_property
    def place(self) -> Mapping[Animal, int]:
        """Where each animal stands."""
        return {animal: index for index, animal in enumerate(self.animals)}

    @cached_property
    def first_family(self) -> Integers:
        """Place i's families are rows first_family[i] ≤ row < first_family[i + 1]."""
        return np.searchsorted(self.child, np.arange(len(self.animals) + 1)).astype(np.int64)

    @cached_property
    def generation(self) -> Integers:
        """Longest line of recorded ancestors behind each animal (founders 0)."""
        depth = [0] * len(self.animals)
        for child, sire, dam in zip(self.child.tolist(), self.sire.tolist(), self.dam.tolist(), strict=True):
            above = max(depth[sire] if sire >= 0 else -1, depth[dam] if dam >= 0 else -1)
            depth[child] = max(depth[child], above + 1)
        return np.array(depth, dtype=np.int64)

    def families_of(self, index: int) -> list[tuple[int, int, float]]:
        """(sire, dam, share) of the animal at a place."""
        rows = slice(self.first_family[index], self.first_family[index + 1])
        return list(zip(self.sire[rows].tolist(), self.dam[rows].tolist(), self.share[rows].tolist(), strict=True))

    def weights_of(self, index: int) -> dict[int, float]:
        """What each known parent passes on to the animal at a place (a certain parent: one half)."""
        weights: dict[int, float] = {}
        for sire, dam, share in self.families_of(index):
            for parent in (sire, dam):
                if parent >= 0:
                    weights[parent] = weights.get(parent, 0.0) + share / 2
        return weights

    def ancestors(self, animals: Iterable[Animal]) -> list[int]:
        """Places of these animals and of everything behind them, parents first."""
        seen: set[int] = set()
        waiting = [self.place[animal] for animal in animals if animal in self.place]
        while waiting:
            index = waiting.pop()
            if index not in seen:
                seen.add(index)
                waiting.extend(self.weights_of(index))
        return sorted(seen)

    def founders(self, animals: Iterable[Animal]) -> tuple[Animal, ...]:
        """The animals behind these whose own parents are not fully recorded: kinship is relative to them."""
        return tuple(
            self.animals[index]
            for index in self.ancestors(animals)
            if any(sire < 0 or dam < 0 for sire, dam, _ in self.families_of(index) or [(-1, -1, 1.0)])
        )


def _families(parents: Parentage) -> tuple[Family, ...]:
    if all(isinstance(each, Family) for each in parents):
        listed = [each for each in parents if isinstance(each, Family) and each.share > 0]
    else:
        sire, dam = parents
        listed = [Family(sire, dam)]
    if all(each.sire is None and each.dam is None for each in listed):
        return ()
    total = sum(each.share for each in listed)
    return tuple(Family(each.sire, each.dam, each.share / total) for each in listed)


def _ordered(families: Mapping[Animal, Sequence[Family]]) -> tuple[list[Animal], list[Animal]]:
    loops: list[Animal] = []
    while True:
        parents = {
            child: [each for family in its for each in (family.sire, family.dam) if each is not None]
            for child, its in families.items()
            if child not in loops
        }
        sorter = TopologicalSorter(parents | {child: [] for child in loops})
        try:
            return list(sorter.static_order()), loops
        except CycleError as error:
            loops.extend(each for each in dict.fromkeys(error.args[1]) if each not in loops)


def _place(place: Mapping[Animal, int], animal: Animal | None) -> int:
    return -1 if animal is None else place[animal]


def _nothing() -> tuple[Integers, Integers, Integers, NDArray[np.float64]]:
    none = np.zeros(0, dtype=np.int64)
    return none, none, none, np.zeros(0)
