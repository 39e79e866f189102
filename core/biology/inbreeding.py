"""Inbreeding coefficients of a whole club's pedigree, in seconds, without a matrix of everyone with everyone.

Tabular rule (Henderson 1976, J. Dairy Sci. textbook form): a(i, j) = ½ a(i's sire, j) + ½ a(i's dam, j), a(i, i) = 1 + F,
F = ½ a(sire, dam). Two ways to keep it small, chosen by the pedigree's shape:

- `front`: generation by generation, the relationship of only those animals that will still be parents;
- `rows`: for each parent the sparse row of what its ancestors passed on (after Meuwissen & Luo 1992, Genet. Sel. Evol. 24:305;
  from memory), each row dropped after its last use.

Where parentage is in shares, every coefficient is the expectation over them (average relationships, Henderson 1988).
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.biology.chance import Floats
from core.biology.pedigree import Integers, Pedigree

MOST_IN_FRONT = 6000
"""Up to so many parents at a time the dense front is taken (288 MB, and as much again while working)."""


@dataclass(frozen=True, slots=True)
class Coefficients:
    """Per place in the pedigree: inbreeding F, and the Mendelian part of its variance (NaN for animals without young)."""

    inbreeding: Floats
    mendelian: Floats


def coefficients(pedigree: Pedigree) -> Coefficients:
    """F of every animal."""
    lasts = _last_use(pedigree)
    return _front(pedigree, lasts) if _widest(pedigree, lasts) <= MOST_IN_FRONT else _rows(pedigree, lasts)


def _last_use(pedigree: Pedigree) -> Integers:
    """The generation of each animal's last young (-1: it has none)."""
    last = np.full(len(pedigree.animals), -1, dtype=np.int64)
    generation = pedigree.generation[pedigree.child]
    for parent in (pedigree.sire, pedigree.dam):
        known = parent >= 0
        np.maximum.at(last, parent[known], generation[known])
    return last


def _widest(pedigree: Pedigree, last: Integers) -> int:
    """The largest number of animals that, once a generation is born, will still have young."""
    parents = last >= 0
    depth = int(pedigree.generation.max(initial=0)) + 2
    born = np.bincount(pedigree.generation[parents], minlength=depth)
    gone = np.bincount(last[parents], minlength=depth)
    return int(np.cumsum(born[:depth] - gone[:depth]).max(initial=0))


def _front(pedigree: Pedigree, last: Integers) -> Coefficients:
    count = len(pedigree.animals)
    front = _Front(last, np.zeros(count), np.full(count, np.nan), np.full(count + 1, -1, dtype=np.int64))
    animals = _split(pedigree.generation)
    families = _split(pedigree.generation[pedigree.child])
    for generation, born in enumerate(animals):
        rows = families[generation] if generation < len(families) else families[0][:0]
        front.generation(generation, born, _Families.of(pedigree, rows))
    return Coefficients(front.inbreeding, front.mendelian)


def _split(generation: Integers) -> list[Integers]:
    """The places of each generation, in order."""
    order = np.argsort(generation, kind="stable")
    bounds = np.searchsorted(generation[order], np.arange(1, int(generation.max(initial=0)) + 1))
    return np.split(order, bounds)


@dataclass(frozen=True, slots=True)
class _Families:
    child: Integers
    sire: Integers
    dam: Integers
    share: Floats

    @classmethod
    def of(cls, pedigree: Pedigree, rows: Integers) -> "_Families":
        return cls(pedigree.child[rows], pedigree.sire[rows], pedigree.dam[rows], pedigree.share[rows])


@dataclass(slots=True)
class _Front:
    """The relationship matrix of the animals that will still have young, moved on generation by generation."""

    last: Integers
    inbreeding: Floats
    mendelian: Floats
    column: Integers
    """Where an animal stands in `related` (-1: not there); the last entry answers for unknown parents."""
    active: Integers = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    related: Floats = field(default_factory=lambda: np.zeros((0, 0)))

    def generation(self, number: int, born: Integers, families: _Families) -> None:
        """Work out the generation's F, take its parents-to-be in and let go of those that have had their last young."""
        sire, dam = self.column[families.sire], self.column[families.dam]
        both = (sire >= 0) & (dam >= 0)
        shared = families.share[both] / 2 * self.related[sire[both], dam[both]]
        np.add.at(self.inbreeding, families.child[both], shared)
        new = born[self.last[born] >= 0]
        passed = self._passed(new, families)
        across = passed @ self.related
        among = passed @ across.T
        self.mendelian[new] = 1 + self.inbreeding[new] - among.diagonal()
        np.fill_diagonal(among, 1 + self.inbreeding[new])
        stays = self.last[self.active] > number
        kept = across[:, stays]
        self.related = np.block([[self.related[np.ix_(stays, stays)], kept.T], [kept, among]])
        self.column[self.active] = -1
        self.active = np.concatenate([self.active[stays], new])
        self.column[self.active] = np.arange(len(self.active))

    def _passed(self, new: Integers, families: _Families) -> Any:
        """Sparse new × active: what each parent passes on to each of the new."""
        from scipy.sparse import csr_matrix

        row = np.full(len(self.last), -1, dtype=np.int64)
        row[new] = np.arange(len(new))
        child = np.tile(row[families.child], 2)
        parent = np.concatenate([self.column[families.sire], self.column[families.dam]])
        known = (child >= 0) & (parent >= 0)
        entries = (np.tile(families.share / 2, 2)[known], (child[known], parent[known]))
        return csr_matrix(entries, shape=(len(new), len(self.active)))


def _rows(pedigree: Pedigree, last: Integers) -> Coefficients:
    count = len(pedigree.animals)
    inbreeding, mendelian = np.zeros(count), np.full(count, np.nan)
    uses = np.bincount(pedigree.sire[pedigree.sire >= 0], minlength=count)
    uses += np.bincount(pedigree.dam[pedigree.dam >= 0], minlength=count)
    passed: dict[int, tuple[NDArray[np.int32], Floats]] = {}
    scratch = np.zeros(count)
    cache: dict[tuple[int, int], float] = {}
    for index in range(count):
        families = pedigree.families_of(index)
        for sire, dam, share in families:
            if sire >= 0 and dam >= 0:
                pair = (min(sire, dam), max(sire, dam))
                if pair not in cache:
                    cache[pair] = _shared(passed[pair[0]], passed[pair[1]], mendelian, scratch)
                inbreeding[index] += share / 2 * cache[pair]
        if last[index] >= 0:
            ancestors, values = _merged(pedigree, index, passed, scratch)
            mendelian[index] = 1 + inbreeding[index] - float(values**2 @ mendelian[ancestors])
            passed[index] = (np.append(ancestors, np.int32(index)), np.append(values, 1.0))
        for sire, dam, _ in families:
            for parent in (sire, dam):
                if parent >= 0:
                    uses[parent] -= 1
                    if uses[parent] == 0:
                        del passed[parent]
    return Coefficients(inbreeding, mendelian)


def _shared(
    left: tuple[NDArray[np.int32], Floats], right: tuple[NDArray[np.int32], Floats], mendelian: Floats, scratch: Floats
) -> float:
    """a(i, j) = sum over common ancestors of what each passed to both, times its Mendelian variance."""
    scratch[left[0]] = left[1]
    shared = float((scratch[right[0]] * right[1]) @ mendelian[right[0]])
    scratch[left[0]] = 0.0
    return shared


def _merged(
    pedigree: Pedigree, index: int, passed: dict[int, tuple[NDArray[np.int32], Floats]], scratch: Floats
) -> tuple[NDArray[np.int32], Floats]:
    """The ancestors of an animal and what each passed on to it."""
    weights = pedigree.weights_of(index)
    if not weights:
        return np.zeros(0, dtype=np.int32), np.zeros(0)
    for parent, weight in weights.items():
        scratch[passed[parent][0]] += weight * passed[parent][1]
    ancestors = np.unique(np.concatenate([passed[parent][0] for parent in weights]))
    values = scratch[ancestors]
    scratch[ancestors] = 0.0
    return ancestors, values
