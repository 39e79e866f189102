"""The species data: complete, in order, marked, and found by every name."""

from dataclasses import fields, is_dataclass

import pytest

from core.species import Figure, Mark, Profile, names, profile, profiles, sources
from core.species.catalogue import ProfileDataError, _figure


def figures(value: object) -> list[Figure]:
    if isinstance(value, Figure):
        return [value]
    if not is_dataclass(value):
        return []
    return [figure for each in fields(value) for figure in figures(getattr(value, each.name))]


def test_the_club_knows_many_species_and_has_a_stand_in_for_the_others() -> None:
    assert len(profiles()) >= 9
    assert profile("a fish nobody has heard of").key == "general"


@pytest.mark.parametrize("name", ["Yellow Lab", "LABIDOCHROMIS CAERULEUS", "  yellow   lab ", "yellow-lab", "electric yellow"])
def test_a_species_is_found_by_any_of_its_names(name: str) -> None:
    assert profile(name).scientific[0] == "Labidochromis caeruleus"


def test_old_scientific_names_still_work() -> None:
    assert profile("Pseudotropheus saulosi") is profile("Chindongo saulosi")
    assert profile("Haplochromis burtoni") is profile("Astatotilapia burtoni")


def test_no_name_belongs_to_two_species() -> None:
    every = [name.lower() for each in profiles().values() for name in (*each.names, *each.scientific)]
    assert len(every) == len(set(every))
    assert set(names().values()) == set(profiles())


@pytest.mark.parametrize("known", list(profiles().values()), ids=lambda known: known.key)
def test_every_figure_is_in_order_and_says_where_it_is_from(known: Profile) -> None:
    found = figures(known)
    assert len(found) > 30
    for figure in found:
        assert figure.low <= figure.likely <= figure.high
        assert (figure.source is None) == (figure.mark is Mark.PRACTICE)


@pytest.mark.parametrize("known", list(profiles().values()), ids=lambda known: known.key)
def test_development_goes_in_order(known: Profile) -> None:
    stages = known.development
    assert stages.hatch_days.likely < stages.yolk_days.likely <= stages.release_days.likely
    assert stages.strip_days.low < stages.strip_days.high <= stages.release_days.likely
    ready = known.ready_mm
    assert known.growth.start_mm.likely < ready.out_of_box.likely < ready.saleable.likely < known.growth.asymptote_mm.likely


def test_what_an_entry_does_not_say_comes_from_the_one_it_is_like() -> None:
    assert profile("zebra").male_share == profile("red zebra").male_share
    assert profile("demasoni").growth == profile("saulosi").growth
    assert profile("demasoni").brood.fry != profile("saulosi").brood.fry


def test_a_zebra_pairing_is_not_taken_to_be_half_and_half() -> None:
    """Ser, Roberts & Kocher 2010: several Lake Malawi species carry ZW beside XY."""
    assert profile("red zebra").male_share.likely < 0.5


@pytest.mark.parametrize(
    "entry",
    [
        {"low": 1, "likely": 2, "high": 3, "mark": "verified"},
        {"low": 1, "likely": 2, "high": 3, "mark": "practice", "source": "rana1990"},
        {"low": 3, "likely": 2, "high": 1, "mark": "practice"},
    ],
)
def test_a_figure_out_of_order_or_without_its_source_is_not_loaded(entry: dict[str, object]) -> None:
    with pytest.raises(ProfileDataError):
        _figure(entry)


def test_a_range_is_nine_in_ten() -> None:
    """A normal distribution holds 90 % within ±1.645 standard deviations (any table)."""
    assert Figure(10, 10 - 1.645, 10 + 1.645, Mark.PRACTICE).spread == pytest.approx(1, abs=1e-3)


def test_sources_are_citations_not_addresses() -> None:
    assert not any("http" in text or "www" in text for text in sources().values())
