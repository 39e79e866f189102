"""Kinship across a club's fishrooms: a pair's ancestors alone tell as much as the whole club's pedigree."""

from datetime import date
from typing import Any

import pytest

from core.fishroom.state import Batch, Fish, Fishroom, Parentage
from core.planning.kin import brood_inbreeding, kinship_behind, kinship_of


def of(sire: str, dam: str) -> Parentage:
    return Parentage((((sire, dam), 1.0),))


def fish(sex: Any, label: str, **more: Any) -> Fish:
    return Fish(f"{sex[0].upper()}{label}", sex, label, "lab", **more)


@pytest.fixture
def rooms() -> dict[str, Fishroom]:
    """Marit's pair has a batch; a daughter of it went to Ivar, who bred her to her brother, and Ivar's F2 is of that."""
    marit, ivar = Fishroom("marit"), Fishroom("ivar")
    marit.fish = {
        "M1": fish("male", "1"),
        "F1": fish("female", "1"),
        "F5": fish("female", "5", parentage=of("marit/M1", "marit/F1")),
        "M5": fish("male", "5", parentage=of("marit/M1", "marit/F1")),
    }
    marit.batches = {"A": Batch("A", "A", "lab", date(2026, 1, 1), parentage=of("marit/M1", "marit/F1"))}
    ivar.fish = {
        "F1": fish("female", "1", formerly="marit/F5"),
        "M1": fish("male", "1", formerly="marit/M5", parentage=of("marit/M1", "marit/F1")),
        "F2": fish("female", "2", parentage=of("marit/M5", "marit/F5")),
    }
    return {"marit": marit, "ivar": ivar}


@pytest.mark.parametrize(("female", "inbreeding"), [("F1", 0.25), ("F2", 0.375)])
def test_a_fish_that_changed_hands_keeps_its_family(rooms: dict[str, Fishroom], female: str, inbreeding: float) -> None:
    """Full sibs' young carry 1/4, young of a male and his full sib's daughter by him 3/8 (Wright 1922; Falconer & Mackay 1996)."""
    ivar = rooms["ivar"]
    pair = ivar.fish[female], ivar.fish["M1"]
    assert brood_inbreeding(kinship_behind(rooms, ivar, pair), ivar, *pair).expected == pytest.approx(inbreeding)
    assert brood_inbreeding(kinship_of(rooms.values()), ivar, *pair).expected == pytest.approx(inbreeding)


def test_only_ancestors_are_looked_at(rooms: dict[str, Fishroom]) -> None:
    ivar = rooms["ivar"]
    kinship = kinship_behind(rooms, ivar, [ivar.fish["F2"]])
    assert set(kinship.pedigree.animals) == {"ivar/F2", "marit/M5", "marit/F5", "marit/M1", "marit/F1"}


def test_a_fish_whose_first_fishroom_is_not_in_the_club_keeps_what_is_known_of_it(rooms: dict[str, Fishroom]) -> None:
    ivar = rooms["ivar"]
    pair = ivar.fish["F2"], ivar.fish["M1"]
    kinship = kinship_behind({"ivar": ivar}, ivar, pair)
    assert kinship.between("marit/M5", "marit/M1") == pytest.approx(0.25)
