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
    parents = np.concatenate([pedigree.sire, pedigree.dam])
    uses = np.bincount(parents[parents >= 0], minlength=count)
    rows = _Rows(uses, np.zeros(count), np.full(count, np.nan), np.zeros(count), np.zeros(count, dtype=bool))
    for index in range(count):
        families = pedigree.families_of(index)
        rows.inbreeding[index] = sum(share / 2 * rows.shared(sire, dam) for sire, dam, share in families)
        if last[index] >= 0:
            rows.take_in(index, pedigree.weights_of(index))
        for sire, dam, _ in families:
            rows.used(sire)
            rows.used(dam)
    return Coefficients(rows.inbreeding, rows.mendelian)


@dataclass(slots=True)
class _Rows:
    """For every animal that will still have young: its ancestors, itself included, and what each passed on to it."""

    uses: Integers
    """Young still to come, by place."""
    inbreeding: Floats
    mendelian: Floats
    scratch: Floats
    marked: NDArray[np.bool_]
    ancestors: dict[int, Integers] = field(default_factory=dict)
    passed: dict[int, Floats] = field(default_factory=dict)
    known: dict[tuple[int, int], float] = field(default_factory=dict)

    def shared(self, one: int, other: int) -> float:
        """a(i, j): what each common ancestor passed to both, times its Mendelian variance (0 for an unknown parent)."""
        if one < 0 or other < 0:
            return 0.0
        pair = (one, other) if one < other else (other, one)
        if pair not in self.known:
            left, right = (self.ancestors[place] for place in pair)
            self.scratch[left] = self.passed[pair[0]]
            self.known[pair] = float((self.scratch[right] * self.passed[pair[1]]) @ self.mendelian[right])
            self.scratch[left] = 0.0
        return self.known[pair]

    def take_in(self, index: int, weights: dict[int, float]) -> None:
        """Work out the row of a parent from those of its own parents."""
        found: list[Integers] = [np.zeros(0, dtype=np.int64)]
        for parent, weight in weights.items():
            behind = self.ancestors[parent]
            self.scratch[behind] += weight * self.passed[parent]
            found.append(behind[~self.marked[behind]])
            self.marked[found[-1]] = True
        ancestors = np.concatenate([*found, [index]])
        self.scratch[index] = 1.0
        values = self.scratch[ancestors]
        self.scratch[ancestors] = 0.0
        self.marked[ancestors] = False
        from_parents = values[:-1] ** 2 @ self.mendelian[ancestors[:-1]]
        self.mendelian[index] = 1 + self.inbreeding[index] - from_parents
        self.ancestors[index], self.passed[index] = ancestors.astype(np.int32), values

    def used(self, parent: int) -> None:
        """One young less to come; the row goes with the last."""
        if parent >= 0:
            self.uses[parent] -= 1
            if self.uses[parent] == 0:
                del self.ancestors[parent], self.passed[parent]
