"""How related two fish are, what a brood of them would carry, and which mates are least related.

Kinship is the chance that a gene taken blindly from each is the same by descent: the inbreeding coefficient F of their
young. It is relative to the recorded founders. Where parentage is in shares, it is an expectation with a range.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod

import numpy as np

from core.biology.chance import Floats
from core.biology.inbreeding import Coefficients, coefficients
from core.biology.pedigree import Animal, Family, Pedigree

WARN_FROM = 0.0625
"""F of a brood from which the keeper is warned: the young of first cousins."""
MOST_CASES = 256
"""So many combinations of families are looked at for a range; beyond, the oldest shares stay expectations."""


@dataclass(frozen=True, slots=True)
class Expected:
    """An expected coefficient and the lowest and highest it can be, by which family each mixed fish is of."""

    low: float
    expected: float
    high: float


@dataclass(frozen=True, slots=True)
class Mate:
    """A possible mate: its mean kinship with the animals it is for, and the closest of them."""

    animal: Animal
    mean_kinship: float
    highest_kinship: float


@dataclass(frozen=True)
class Kinship:
    """Answers about one pedigree; F is worked out once, when it is first needed."""

    pedigree: Pedigree

    @cached_property
    def coefficients(self) -> Coefficients:
        """F and Mendelian variance of every animal."""
        return coefficients(self.pedigree)

    def inbreeding(self, animal: Animal) -> float:
        """F of an animal (0 for one the pedigree does not know)."""
        place = self.pedigree.place.get(animal)
        return 0.0 if place is None else float(self.coefficients.inbreeding[place])

    def between(self, one: Animal, other: Animal) -> float:
        """Kinship of two fish; with itself ½ (1 + F). Animals the pedigree does not know are unrelated to all."""
        if one == other:
            return (1 + self.inbreeding(one)) / 2
        return float(self.matrix([one], [other])[0, 0])

    def of_brood(self, sire: Animal, dam: Animal) -> Expected:
        """F of the young of a pair, with its range where parentage is in shares."""
        return self.range_between(sire, dam)

    def of_siblings(self, animal: Animal) -> float:
        """Kinship of two different fish with this animal's recorded parentage (two of one batch)."""
        weights = self.pedigree.weights_of(self.pedigree.place[animal])
        parents = [self.pedigree.animals[place] for place in weights]
        shares = np.array(list(weights.values()))
        return float(shares @ self.matrix(parents, parents) @ shares) if parents else 0.0

    def matrix(self, rows: Sequence[Animal], columns: Sequence[Animal]) -> Floats:
        """Kinship of each of `rows` with each of `columns` (len(rows) × len(columns)), by their ancestors alone."""
        places = self.pedigree.ancestors([*rows, *columns])
        column = {place: index for index, place in enumerate(places)}
        variance = np.array([self._mendelian(place) for place in places])
        left, right = (np.stack([self._passed(each, column) for each in side]) for side in (rows, columns))
        kinship = (left * variance) @ right.T / 2
        for i, one in enumerate(rows):
            for j, other in enumerate(columns):
                if one == other:
                    kinship[i, j] = (1 + self.inbreeding(one)) / 2
        return np.asarray(kinship)

    def range_between(self, one: Animal, other: Animal) -> Expected:
        """Expected kinship of two different fish, and its range over the families mixed fish can be of."""
        expected = self.between(one, other)
        behind = self.pedigree.ancestors([one, other])
        mixed = [place for place in reversed(behind) if len(self.pedigree.families_of(place)) > 1]
        counts = [len(self.pedigree.families_of(place)) for place in mixed]
        while prod(counts) > MOST_CASES:
            mixed, counts = mixed[:-1], counts[:-1]
        if not mixed:
            return Expected(expected, expected, expected)
        cases = [self._case(behind, dict(zip(mixed, chosen, strict=True))) for chosen in product(*map(range, counts))]
        values = [Kinship(case).between(one, other) for case in cases]
        return Expected(min(values), expected, max(values))

    def mean(self, animal: Animal, others: Sequence[Animal]) -> float:
        """Mean kinship of an animal with others."""
        return float(self.matrix([animal], list(others)).mean())

    def least_related(self, candidates: Sequence[Animal], to: Sequence[Animal]) -> list[Mate]:
        """The candidates by their mean kinship with `to`, least related first."""
        if not candidates or not to:
            return []
        kinship = self.matrix(candidates, to)
        mates = [Mate(animal, float(row.mean()), float(row.max())) for animal, row in zip(candidates, kinship, strict=True)]
        return sorted(mates, key=lambda mate: (mate.mean_kinship, mate.highest_kinship))

    def founder_equivalents(self, animals: Sequence[Animal]) -> float:
        """How many unrelated founders would hold as much diversity: 1 / (2 mean kinship, each with itself included).

        Lacy 1989, Zoo Biology 8:111 (from memory).
        """
        return float(1 / (2 * self.matrix(animals, animals).mean()))

    def _mendelian(self, place: int) -> float:
        known = float(self.coefficients.mendelian[place])
        if not np.isnan(known):
            return known
        # An animal without young passes nothing on: only its kinship with itself would need this, and has F for it.
        return 0.0

    def _passed(self, animal: Animal, column: dict[int, int]) -> Floats:
        """What each ancestor passed on to an animal, itself included (1 / 2 for a parent)."""
        row = np.zeros(len(column))
        place = self.pedigree.place.get(animal)
        if place is None:
            return row
        row[column[place]] = 1.0
        for behind in reversed(self.pedigree.ancestors([animal])):
            for parent, weight in self.pedigree.weights_of(behind).items():
                row[column[parent]] += weight * row[column[behind]]
        return row

    def _case(self, behind: Sequence[int], chosen: dict[int, int]) -> Pedigree:
        """The pedigree of these places if each of the mixed fish is of the chosen family."""
        animals = self.pedigree.animals

        def name(place: int) -> Animal | None:
            return None if place < 0 else animals[place]

        parentage = {}
        for place in behind:
            families = self.pedigree.families_of(place)
            kept = [families[chosen[place]]] if place in chosen else families
            parentage[animals[place]] = [Family(name(sire), name(dam), share) for sire, dam, share in kept]
        return Pedigree.of(parentage)


def relationship_matrix(pedigree: Pedigree) -> Floats:
    """The numerator relationship matrix A of a small pedigree, by the tabular rule, in the pedigree's order.

    a(i, j) = what i's parents share with j, halved; a(i, i) = 1 + ½ a(sire, dam) (Henderson 1976; Mrode, Linear Models).
    """
    count = len(pedigree.animals)
    related = np.zeros((count, count))
    for index in range(count):
        for parent, weight in pedigree.weights_of(index).items():
            related[index, :index] += weight * related[parent, :index]
        related[:index, index] = related[index, :index]
        related[index, index] = 1 + sum(
            share / 2 * related[sire, dam] for sire, dam, share in pedigree.families_of(index) if sire >= 0 and dam >= 0
        )
    return related
