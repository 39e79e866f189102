"""Inbreeding of a hundred thousand animals, against genes dropped through a pedigree by the genetics library used as a check.

msprime drops genes through the pedigree and counts: its answer comes with chance in it, at 20,000 loci a standard error of 0.0035 at
worst. It is given a smaller club, and its time is scaled by the number of animals, which flatters it (its trees grow faster).
"""

from __future__ import annotations

from importlib.util import find_spec

import numpy as np

from core.biology.kinship import Kinship
from core.biology.pedigree import Animal, Pedigree
from tests.bench.figures import Line, Study, timed

LOCI = 20_000
BROOD, FATHERS, MOTHERS = 20, 40, 160

Pairs = dict[Animal, tuple[Animal | None, Animal | None]]


def club(animals: int, generations: int = 20) -> Pairs:
    """Broods of twenty from 40 males and 160 females a generation (fewer in a small club), chosen from the last."""
    rng = np.random.default_rng(2)
    born_each = animals // generations
    fathers, mothers = min(FATHERS, born_each // 10), min(MOTHERS, born_each // 5)
    males, females = [f"m{n}" for n in range(fathers)], [f"f{n}" for n in range(mothers)]
    pairs: Pairs = dict.fromkeys([*males, *females], (None, None))
    for generation in range(generations):
        born = [f"{generation}.{n}" for n in range(born_each)]
        for place in range(0, born_each, BROOD):
            parents = (males[rng.integers(len(males))], females[rng.integers(len(females))])
            pairs |= dict.fromkeys(born[place : place + BROOD], parents)
        chosen = rng.choice(born, fathers + mothers, replace=False).tolist()
        males, females = chosen[:fathers], chosen[fathers:]
    return pairs


def dropped(pairs: Pairs, loci: int) -> float:
    """Mean inbreeding of the last brood, by genes that msprime drops."""
    import msprime

    generation: dict[Animal | None, int] = {None: -1}
    for each, (sire, dam) in pairs.items():
        generation[each] = 1 + max(generation[sire], generation[dam])
    oldest = max(generation.values())
    youngest = list(pairs)[-BROOD:]
    builder = msprime.PedigreeBuilder()
    place: dict[Animal, int] = {}
    for each, (sire, dam) in pairs.items():
        parents = None if sire is None else [place[sire], place[dam]]
        place[each] = builder.add_individual(time=oldest - generation[each], parents=parents, is_sample=each in set(youngest))
    pedigree = builder.finalise(loci)
    drop = msprime.sim_ancestry(initial_state=pedigree, model="fixed_pedigree", recombination_rate=0.5, random_seed=11)
    nodes = [drop.individual(place[each]).nodes for each in youngest]
    shared = sum(tree.span * sum(tree.mrca(one, other) != -1 for one, other in nodes) for tree in drop.trees())
    return float(shared / loci / len(nodes))


def study(animals: int = 100_000, small: int = 1_000, loci: int = LOCI) -> Study:
    """Ours on all, the library on a small club."""
    pairs = club(animals)
    seconds, _ = timed(lambda: _worked_out(pairs))
    library: float | None = None
    beside = "msprime is not installed"
    if find_spec("msprime"):
        few = club(small, 5)
        took, theirs = timed(lambda: dropped(few, loci))
        mine = _mean_of_last(_worked_out(few), few)
        library = took * len(pairs) / len(few)
        beside = f"msprime {took:.1f} s for {len(few):,} ({loci:,} loci; mean F {theirs:.3f}, ours {mine:.3f}), scaled {library:.0f} s"
    line = Line(f"inbreeding of {len(pairs):,} animals", f"{seconds:.2f} s", beside, "one pass down the pedigree")
    return Study(
        [line],
        {
            "kinship_100k_s": round(seconds * 100_000 / len(pairs), 3),
            "kinship_vs_library": round(seconds / library, 5) if library else None,
        },
    )


def _worked_out(pairs: Pairs) -> Kinship:
    kinship = Kinship(Pedigree.of(pairs))
    _ = kinship.coefficients
    return kinship


def _mean_of_last(kinship: Kinship, pairs: Pairs) -> float:
    last = list(pairs)[-BROOD:]
    return float(np.mean([kinship.inbreeding(each) for each in last]))
