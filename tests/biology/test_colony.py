"""Colonies: effective size, inbreeding rate and lines of close mating, against textbook algebra and explicit pedigrees."""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.biology import colony
from core.biology.colony import Mating
from core.biology.kinship import Kinship
from core.biology.pedigree import Animal, Pedigree
from tests.biology.published import FORMULA, MEMORY, VERIFIED, Published

HANDBOOK = "Wright; U.S. Fish & Wildlife Service salmonid broodstock handbook (page seen)"


def size_and_rate(males: int, females: int) -> dict[str, float]:
    size = colony.effective_size(males, females)
    return {"size": size, "rate": colony.inbreeding_rate(size)}


TABLE = [
    *(
        Published(
            f"{males} males, {females} females",
            partial(size_and_rate, males, females),
            {"size": size, "rate": rate},
            0.005,
            HANDBOOK,
            mark,
        )
        for males, females, size, rate, mark in (
            (1, 99, 3.96, 0.12626, VERIFIED),
            (2, 2, 4.0, 0.125, VERIFIED),
            (1, 3, 3.0, 0.16667, FORMULA),
            (1, 4, 3.2, 0.15625, FORMULA),
        )
    ),
    Published(
        "25 males and 25 females, a generation",
        lambda: colony.inbreeding_rate(colony.effective_size(25, 25)),
        0.01,
        1e-6,
        "FAO advice of 0.5-1 % as quoted in a breeding wiki (text seen)",
        VERIFIED,
    ),
    Published(
        "Ne 50, ten generations", lambda: colony.inbreeding_after(50, 10), 0.09562, 1e-4, "Falconer & Mackay 1996", FORMULA
    ),
    Published("10, 4, 20 in turn", lambda: colony.size_over_generations([10, 4, 20]), 7.5, 1e-6, "Falconer & Mackay", MEMORY),
    Published("a 5 % allele, Ne 45", lambda: colony.allele_loss(0.05, 45), 0.00989, 1e-4, "Tave 1999, FAO FTP 392", MEMORY),
    Published(
        "5 % over ten generations", lambda: colony.size_to_stay_below(0.05, 10), 100, 1e-9, "Tave 1999, FAO FTP 392", MEMORY
    ),
    Published(
        "least sizes, short and long term",
        lambda: [colony.SHORT_TERM_SIZE, colony.LONG_TERM_SIZE],
        [50, 500],
        0,
        "FAO expert consultation, Fisheries Technical Paper 217 (abstract seen)",
        VERIFIED,
    ),
    Published(
        "full-sib line",
        lambda: colony.line(Mating.FULL_SIBS, 4),
        [0.25, 0.375, 0.5, 0.59375],
        1e-9,
        "Crow & Kimura; Falconer & Mackay",
        MEMORY,
    ),
    Published(
        "half-sib line",
        lambda: colony.line(Mating.HALF_SIBS, 2),
        [0.125, 0.21875],
        1e-9,
        "Crow & Kimura; Falconer & Mackay (recursion seen)",
        FORMULA,
    ),
    Published(
        "selfing line",
        lambda: colony.line(Mating.SELFING, 3),
        [0.5, 0.75, 0.875],
        1e-9,
        "Textbooks (table seen)",
        VERIFIED,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_colonies_agree_with_the_textbooks(published: Published) -> None:
    published.check()


@given(st.integers(1, 500))
def test_one_male_never_makes_more_than_four(females: int) -> None:
    assert colony.effective_size(1, females) < 4


def test_without_a_male_there_is_no_colony() -> None:
    assert colony.effective_size(0, 9) == 0
    assert colony.inbreeding_rate(0) == 1


def test_a_full_sib_line_is_what_its_pedigree_says() -> None:
    parents: dict[Animal, tuple[Animal | None, Animal | None]] = {}
    pair: tuple[Animal, Animal] = ("a", "b")
    for generation in range(7):
        young = (f"m{generation}", f"f{generation}")
        parents |= dict.fromkeys(young, pair)
        pair = young
    kinship = Kinship(Pedigree.of(parents))
    found = [kinship.inbreeding(f"m{generation}") for generation in range(1, 7)]
    assert found == pytest.approx(colony.line(Mating.FULL_SIBS, 6))


def test_inbred_parents_count_for_less() -> None:
    """Ne / (1 + F): NACA training text (seen)."""
    assert colony.size_once_inbred(50, 0.25) == 40


def test_rate_and_size_turn_into_each_other() -> None:
    assert colony.size_of_rate(colony.inbreeding_rate(33)) == pytest.approx(33)
