"""Stocking, salt and heavy tubs."""

import pytest

from core.biology import stocking
from core.biology.stocking import Crowding
from tests.biology.published import FORMULA, MEMORY, PRACTICE, VERIFIED, Published

TABLE = [
    Published(
        "a quarter pound to the gallon, kg/m3",
        lambda: stocking.kg_per_m3_from_pounds_per_gallon(0.25),
        29.96,
        0.05,
        "Mississippi State extension on small tilapia tanks (seen)",
        FORMULA,
    ),
    Published(
        "fish in a 300 L tub, kg", lambda: stocking.most_fish_kg(300), 6.0, 1e-6, "Somerville et al. 2014, FAO 589", MEMORY
    ),
    Published(
        "three per cent of salt, ppt and ppm", lambda: stocking.salt_strength(3), [30, 30_000], 0, "UF/IFAS VM86 (seen)", VERIFIED
    ),
    Published(
        "1 and 5 ppt of salt, g to the US gallon",
        lambda: [stocking.salt_grams_per_us_gallon(ppt) for ppt in (1, 5)],
        [3.8, 19],
        0.1,
        "An aquaculture supplier's notes copied in a forum (seen)",
        VERIFIED,
    ),
    Published(
        "a full 1,000 L container, kg",
        lambda: stocking.full_mass_kg(1000, stocking.TOTE_TARE_KG),
        1060,
        5,
        "A litre of water is a kilogram; about 60 kg of cage and pallet",
        PRACTICE,
    ),
    Published(
        "residual-current device, mA", lambda: stocking.RCD_MOST_MA, 30, 0, "HSE guidance copied by an electrician", VERIFIED
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_stocking_agrees_with_what_is_published(published: Published) -> None:
    published.check()


@pytest.mark.parametrize(
    ("grams", "crowding"),
    [(1000, Crowding.ROOMY), (4500, Crowding.USUAL), (6000, Crowding.FULL), (6500, Crowding.TOO_FULL)],
)
def test_a_tub_says_how_full_it_is(grams: float, crowding: Crowding) -> None:
    """300 L at 20 kg per m³ carry 6 kg."""
    load = stocking.load(grams, 300)
    assert load.crowding is crowding
    assert load.room_kg == pytest.approx(6 - grams / 1000)


def test_a_nursery_holds_by_number_and_never_more_than_a_gram_a_litre() -> None:
    """20-30 new fry per 10 L (common practice, no source)."""
    assert stocking.nursery_fry(20, 0.02) == (40, 60)
    assert stocking.nursery_fry(20, 0.5) == (40, 40)
    assert stocking.nursery_fry(20, 2.0) == (10, 10)
