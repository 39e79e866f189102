"""Kinship and inbreeding: textbook pedigrees, genes dropped by a genetics library, and a club of a hundred thousand."""

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology import inbreeding
from core.biology.kinship import Kinship, relationship_matrix
from core.biology.pedigree import Animal, Family, Pedigree
from tests.biology.published import FORMULA, MEMORY, VERIFIED, Published

Pairs = Mapping[Animal, tuple[Animal | None, Animal | None]]
FOUNDER = (None, None)
MRODE = "Mrode, Linear Models for the Prediction of Animal Breeding Values, Table 2.1; Henderson 1976"
WRIGHT = "Wright 1922; encyclopedia table of inbreeding by mating (text seen)"
FALCONER = "Falconer & Mackay 1996; Wright 1922"

TEXTBOOK: Pairs = {1: FOUNDER, 2: FOUNDER, 3: (1, 2), 4: (1, None), 5: (4, 3), 6: (5, 2)}
FULL_SIBS: Pairs = {"c": ("a", "b"), "d": ("a", "b"), "e": ("c", "d")}
HALF_SIBS: Pairs = {"c": ("a", "b"), "d": ("a", "x"), "e": ("c", "d")}
COUSINS: Pairs = {"c": ("a", "b"), "d": ("a", "b"), "e": ("c", "x"), "g": ("d", "y"), "h": ("e", "g")}
DOUBLE_COUSINS: Pairs = {
    "c": ("a", "b"),
    "d": ("a", "b"),
    "m": ("k", "l"),
    "n": ("k", "l"),
    "e": ("c", "m"),
    "g": ("d", "n"),
    "h": ("e", "g"),
}
BACKCROSS: Pairs = {"c": ("a", "b"), "d": ("a", "c")}
SELFED: Pairs = {"s": ("a", "a")}


def inbred(pairs: Pairs, animal: Animal) -> float:
    return Kinship(Pedigree.of(pairs)).inbreeding(animal)


def textbook_relationships() -> object:
    animals = list(TEXTBOOK)
    return 2 * Kinship(Pedigree.of(TEXTBOOK)).matrix(animals, animals)


TABLE = [
    Published(
        "inbreeding of the textbook pedigree",
        lambda: [inbred(TEXTBOOK, animal) for animal in TEXTBOOK],
        [0, 0, 0, 0, 0.125, 0.125],
        1e-9,
        MRODE,
        VERIFIED,
    ),
    Published(
        "relationships of the textbook pedigree",
        textbook_relationships,
        [
            [1.0, 0.0, 0.5, 0.5, 0.5, 0.25],
            [0.0, 1.0, 0.5, 0.0, 0.25, 0.625],
            [0.5, 0.5, 1.0, 0.25, 0.625, 0.5625],
            [0.5, 0.0, 0.25, 1.0, 0.625, 0.3125],
            [0.5, 0.25, 0.625, 0.625, 1.125, 0.6875],
            [0.25, 0.625, 0.5625, 0.3125, 0.6875, 1.125],
        ],
        1e-9,
        MRODE,
        FORMULA,
    ),
    Published("full sibs", lambda: inbred(FULL_SIBS, "e"), 0.25, 1e-9, WRIGHT, VERIFIED),
    Published("half sibs", lambda: inbred(HALF_SIBS, "e"), 0.125, 1e-9, FALCONER, MEMORY),
    Published("first cousins", lambda: inbred(COUSINS, "h"), 0.0625, 1e-9, WRIGHT, VERIFIED),
    Published("double first cousins", lambda: inbred(DOUBLE_COUSINS, "h"), 0.125, 1e-9, WRIGHT, VERIFIED),
    Published("parent and offspring", lambda: inbred(BACKCROSS, "d"), 0.25, 1e-9, FALCONER, MEMORY),
    Published("selfing", lambda: inbred(SELFED, "s"), 0.5, 1e-9, WRIGHT, VERIFIED),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_kinship_agrees_with_the_textbooks(published: Published) -> None:
    published.check()


def random_pairs(rng: np.random.Generator, founders: int, young: int, unknown: float = 0.1) -> Pairs:
    pairs: dict[Animal, tuple[Animal | None, Animal | None]] = dict.fromkeys(range(founders), FOUNDER)
    for index in range(founders, founders + young):
        sire, dam = rng.choice(index, 2, replace=False).tolist()
        pairs[index] = (sire, None if rng.random() < unknown else dam)
    return pairs


def path_kinship(pairs: Pairs) -> "Mapping[tuple[Animal, Animal], Fraction]":
    """Kinship by its definition, recursively and in exact fractions (Malécot), younger animal first."""
    order = list(pairs)

    @cache
    def kin(one: Animal | None, other: Animal | None) -> Fraction:
        if one is None or other is None:
            return Fraction(0)
        if order.index(one) < order.index(other):
            one, other = other, one
        sire, dam = pairs[one]
        return (1 + kin(sire, dam)) / 2 if one == other else (kin(sire, other) + kin(dam, other)) / 2

    return {(one, other): kin(one, other) for one in order for other in order}


@given(st.integers(0, 10_000))
@settings(max_examples=12, deadline=None)
def test_every_way_of_reckoning_gives_the_same(seed: int) -> None:
    """The front, the rows, the tabular rule and the pairs on demand, against exact fractions from the definition."""
    pairs = random_pairs(np.random.default_rng(seed), 5, 30)
    exact = path_kinship(pairs)
    pedigree = Pedigree.of(pairs)
    animals = list(pairs)
    expected = np.array([[float(exact[one, other]) for other in animals] for one in animals])
    by_place = [pedigree.place[animal] for animal in animals]
    last = inbreeding._last_use(pedigree)
    for found in (inbreeding._front(pedigree, last), inbreeding._rows(pedigree, last)):
        np.testing.assert_allclose(found.inbreeding[by_place], 2 * expected.diagonal() - 1, atol=1e-12)
    np.testing.assert_allclose(Kinship(pedigree).matrix(animals, animals), expected, atol=1e-12)
    tabular = relationship_matrix(pedigree)[np.ix_(by_place, by_place)]
    np.testing.assert_allclose(tabular, 2 * expected, atol=1e-12)


def dropped_genes(pairs: Pairs, animal: Animal, loci: int) -> float:
    """Share of independent loci at which msprime, dropping genes through the pedigree, finds both copies the same by descent."""
    import msprime

    generation: dict[Animal | None, int] = {None: -1}
    for each, (sire, dam) in pairs.items():
        generation[each] = 1 + max(generation[sire], generation[dam])
    builder = msprime.PedigreeBuilder()
    place: dict[Animal, int] = {}
    for each, (sire, dam) in pairs.items():
        parents = None if sire is None else [place[sire], place[dam]]
        age = max(generation.values()) - generation[each]
        place[each] = builder.add_individual(time=age, parents=parents, is_sample=True)
    drop = msprime.sim_ancestry(
        initial_state=builder.finalise(loci), model="fixed_pedigree", recombination_rate=0.5, random_seed=11
    )
    one, other = drop.individual(place[animal]).nodes
    return float(sum(tree.span for tree in drop.trees() if tree.mrca(one, other) != -1) / loci)


def test_genes_dropped_by_a_genetics_library_agree() -> None:
    """20,000 loci: a standard error below 0.0035."""
    rng = np.random.default_rng(5)
    pairs = random_pairs(rng, 4, 14, unknown=0.0)
    kinship = Kinship(Pedigree.of(pairs))
    most = max(pairs, key=kinship.inbreeding)
    assert kinship.inbreeding(most) > 0.1
    assert dropped_genes(pairs, most, 20_000) == pytest.approx(kinship.inbreeding(most), abs=0.012)


def twenty_generations() -> dict[Animal, tuple[Animal | None, Animal | None]]:
    """Broods of four from 40 males and 160 females a generation, chosen from the last."""
    rng, pairs = np.random.default_rng(2), dict[Animal, tuple[Animal | None, Animal | None]]()
    males, females = [f"m{n}" for n in range(40)], [f"f{n}" for n in range(160)]
    for generation in range(20):
        born = [f"{generation}.{n}" for n in range(1000)]
        for brood in range(250):
            parents = (males[rng.integers(40)], females[rng.integers(160)])
            pairs |= dict.fromkeys(born[4 * brood : 4 * brood + 4], parents)
        chosen = rng.choice(born, 200, replace=False).tolist()
        males, females = chosen[:40], chosen[40:]
    return pairs


def test_a_club_that_breeds_among_itself_becomes_as_inbred_as_wright_says() -> None:
    kinship = Kinship(Pedigree.of(twenty_generations()))
    assert len(kinship.coefficients.inbreeding) >= 20_000
    assert kinship.inbreeding("0.0") == 0
    # Wright: F after t generations of Ne = 4·40·160/200 = 128; breeders out of large broods make it somewhat more.
    last = np.mean([kinship.inbreeding(f"19.{n}") for n in range(1000)])
    assert 1 - (1 - 1 / 256) ** 18 < last < 1.5 * (1 - (1 - 1 / 256) ** 18)


def mixed() -> Kinship:
    """Two fish of one mixed batch: six in ten are young of a and b, four in ten of a and x."""
    shares = [Family("a", "b", 0.6), Family("a", "x", 0.4)]
    return Kinship(Pedigree.of({"s": ("a", "b"), "t": ("a", "x"), "m": shares, "n": shares, "z": ("s", "m")}))


def test_a_fish_of_a_mixed_batch_is_as_related_as_its_shares_say() -> None:
    """Full sibs of s six times in ten (0.25), half sibs four times in ten (0.125)."""
    answer = mixed().range_between("s", "m")
    assert (answer.low, answer.expected, answer.high) == pytest.approx((0.125, 0.6 * 0.25 + 0.4 * 0.125, 0.25))


def test_two_fish_of_a_mixed_batch_are_sibs_of_one_kind_or_the_other() -> None:
    expected = (0.36 + 0.16) * 0.25 + 0.48 * 0.125
    assert mixed().of_siblings("m") == pytest.approx(expected)
    assert mixed().between("m", "n") == pytest.approx(expected)


def test_the_young_of_a_mixed_parent_carry_the_expectation() -> None:
    assert mixed().inbreeding("z") == pytest.approx(0.2)
    assert mixed().of_brood("s", "m").expected == pytest.approx(0.2)


def test_an_unknown_part_of_a_mixture_is_unrelated() -> None:
    kinship = Kinship(Pedigree.of({"m": [Family("a", "b", 0.5), Family(None, None, 0.5)]}))
    answer = kinship.range_between("a", "m")
    assert (answer.low, answer.expected, answer.high) == pytest.approx((0, 0.125, 0.25))


@given(st.integers(0, 1000))
@settings(max_examples=8, deadline=None)
def test_shares_are_averages_over_the_certain_pedigrees(seed: int) -> None:
    """Expected kinship with outsiders is linear in the shares: the mean over both certain pedigrees."""
    rng = np.random.default_rng(seed)
    pairs = dict(random_pairs(rng, 4, 8, unknown=0.0))
    share = float(rng.uniform(0.1, 0.9))
    couples = [rng.choice(12, 2, replace=False).tolist() for _ in range(2)]
    families = [Family(sire, dam, part) for (sire, dam), part in zip(couples, (share, 1 - share), strict=True)]
    whole = Kinship(Pedigree.of({**pairs, "m": families}))
    certain = [Kinship(Pedigree.of({**pairs, "m": (each.sire, each.dam)})) for each in families]
    for other in pairs:
        expected = share * certain[0].between("m", other) + (1 - share) * certain[1].between("m", other)
        assert whole.between("m", other) == pytest.approx(expected)


def test_males_are_ranked_by_how_little_they_share_with_the_females() -> None:
    kinship = Kinship(Pedigree.of({"s": ("a", "b"), "t": ("a", "x"), "f": ("a", "b")}))
    ranked = kinship.least_related(["s", "t", "stranger"], to=["f"])
    assert [(mate.animal, mate.mean_kinship) for mate in ranked] == [("stranger", 0), ("t", 0.125), ("s", 0.25)]


def test_three_unrelated_fish_are_three_founders() -> None:
    kinship = Kinship(Pedigree.of(FULL_SIBS))
    assert kinship.founder_equivalents(["a", "b"]) == pytest.approx(2)
    assert kinship.founder_equivalents(["c", "d"]) < 2


def test_whoever_lacks_a_recorded_parent_is_a_founder() -> None:
    assert set(Pedigree.of(TEXTBOOK).founders([6])) == {1, 2, 4}


def test_an_animal_entered_as_its_own_ancestor_is_set_aside_not_fatal() -> None:
    pedigree = Pedigree.of({"a": ("b", "c"), "b": ("a", "c"), "d": ("c", "e")})
    assert set(pedigree.loops) == {"a", "b"}
    assert Kinship(pedigree).inbreeding("d") == 0


@given(st.integers(0, 1000))
@settings(max_examples=8, deadline=None)
def test_the_ancestors_alone_tell_the_kinship_of_a_pair(seed: int) -> None:
    pairs = random_pairs(np.random.default_rng(seed), 5, 40)
    small = Pedigree.behind([20, 31], pairs)
    assert len(small.animals) <= len(pairs)
    assert Kinship(small).between(20, 31) == pytest.approx(Kinship(Pedigree.of(pairs)).between(20, 31))


def test_an_empty_club_has_no_kin() -> None:
    kinship = Kinship(Pedigree.of({}))
    assert kinship.between("one", "other") == 0
    assert kinship.least_related([], []) == []
