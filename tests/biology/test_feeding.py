"""Feed: what charts say, what the fish get, and what it puts into the water."""

import math

import pytest

from core.biology import feeding
from core.biology.feeding import Crop, Limit
from core.species import profile
from tests.biology.published import FORMULA, MEMORY, PRACTICE, VERIFIED, Published

LAB, TILAPIA = profile("yellow lab"), profile("nile tilapia")
FAO = "Somerville et al. 2014, FAO 589 app. 4: 200 g, 32 %, 61 % seen; 0.16, 1.2, 0.57 g/m2/day, 300 m2/m3 from memory"
TANKS = "Extension text on recirculating systems for tilapia (seen)"


def percent(weight_g: float, species: str) -> list[float]:
    answer = feeding.ration(profile(species), 1, weight_g, 40, 27)
    return [100 * answer.low_g / weight_g, 100 * answer.high_g / weight_g]


TABLE = [
    Published(
        "1.1 kg for 1000 fish of 12-20 g, %",
        lambda: 100 * feeding.published_share(1100, 1000, 16),
        6.9,
        0.1,
        "Commercial tilapia feeding chart (seen)",
        FORMULA,
    ),
    Published(
        "our tilapia of 16 g, %",
        lambda: sum(percent(16, "nile tilapia")) / 2,
        6.9,
        0.5,
        "Commercial tilapia feeding chart (seen)",
        VERIFIED,
    ),
    Published(
        "tilapia of 1 g, %",
        lambda: percent(1.0, "nile tilapia"),
        [8, 9],
        0,
        "Feed company manager quoted in a newspaper (seen)",
        VERIFIED,
        within=True,
    ),
    Published("mbuna fry, %", lambda: percent(0.1, "general"), [6, 10], 1e-9, "Half of tilapia rates", PRACTICE, within=True),
    Published("mbuna of 1 g, %", lambda: percent(1.0, "general"), [4, 6], 1e-9, "Half of tilapia rates", PRACTICE, within=True),
    Published(
        "ammonia nitrogen of 100 g at 35 % and 200 g at 32 %",
        lambda: [feeding.ammonia_nitrogen_g(100, 0.35), feeding.ammonia_nitrogen_g(200, 0.32)],
        [3.22, 5.89],
        0.005,
        "Timmons & Ebeling, Recirculating Aquaculture",
        MEMORY,
    ),
    Published(
        "ammonia, filter surface and media for 200 g at 32 %",
        lambda: [feeding.ammonia_g(200, 0.32), feeding.biofilter_m2(200, 0.32), feeding.media_litres(200, 0.32)],
        [7.5, 13.15, 43.8],
        0.05,
        FAO,
        MEMORY,
    ),
    Published(
        "feed for 2 m2 of leafy plants",
        lambda: feeding.feed_for_plants(2, Crop.LEAFY),
        [80, 100],
        0,
        "FAO 589 ch. 8 (chapter copy seen)",
        FORMULA,
    ),
    Published(
        "fish for 45 g a day at 1.5 %, kg",
        lambda: feeding.fish_for_feed_g(45, 0.015) / 1000,
        3,
        1e-9,
        "FAO 589 ch. 8 (chapter copy seen)",
        FORMULA,
    ),
    Published("10 g per 100 lb in mg/kg", lambda: feeding.excretion_mg_per_kg(10), 220.5, 0.5, TANKS, FORMULA),
    Published("alkalinity used by 3.22 g", lambda: feeding.alkalinity_g(3.22), 22.5, 0.3, TANKS, FORMULA),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_feed_agrees_with_what_is_published(published: Published) -> None:
    published.check()


def test_the_two_textbooks_agree_on_the_nitrogen() -> None:
    """5.89 g by one, 6.25 g by the other (7.5 g of ammonia over 1.2)."""
    by_fao = feeding.ammonia_g(200, 0.32) / feeding.AMMONIA_PER_NITROGEN
    assert by_fao == pytest.approx(feeding.ammonia_nitrogen_g(200, 0.32), rel=0.07)


def test_a_box_of_fry_eats_by_the_pinch() -> None:
    """24 fry of 0.15 g at 6-10 %: 0.29 g in five feeds, about a third of a pinch each (common practice, no source)."""
    answer = feeding.ration(LAB, 24, 0.15, 18, 26)
    assert answer.grams == pytest.approx(24 * 0.15 * 0.08)
    assert answer.feeds == 5
    assert answer.pinches_per_feed == pytest.approx(answer.grams / 5 / 0.15)
    assert answer.ground
    assert answer.limit is Limit.NONE


@pytest.mark.parametrize(
    ("celsius", "share", "limit"),
    [(26, 1.0, Limit.NONE), (22, 0.5, Limit.COLD), (19, 0.0, Limit.TOO_COLD), (32, 0.5, Limit.HEAT)],
)
def test_cold_fish_eat_less_and_very_cold_fish_nothing(celsius: float, share: float, limit: Limit) -> None:
    """Common practice, no source: half below 24 °C, nothing below 20 °C."""
    usual = feeding.ration(LAB, 10, 3.0, 50, 26).grams
    answer = feeding.ration(LAB, 10, 3.0, 50, celsius)
    assert answer.grams == pytest.approx(share * usual)
    assert answer.limit is limit


def test_fish_that_get_nothing_get_no_feeds() -> None:
    assert feeding.ration(LAB, 10, 3.0, 50, 15).feeds == 0
    assert feeding.ration(LAB, 10, 3.0, 50, 15).pinches_per_feed == 0


def test_the_filter_caps_the_ration() -> None:
    capped = feeding.ration(LAB, 1000, 3.0, 50, 26, filter_g_per_day=1.0)
    assert feeding.ammonia_nitrogen_g(capped.grams, capped.protein) == pytest.approx(1.0)
    assert capped.limit is Limit.FILTER


def test_growing_fish_get_coarser_food_less_often() -> None:
    sizes = [feeding.particle_mm(mm) for mm in (10, 18, 30, 60, 90)]
    assert sizes == sorted(sizes)
    assert feeding.particle_mm(30) == (0.5, 1.0)  # common practice, no source
    feeds = [feeding.ration(LAB, 1, g, 40, 26).feeds for g in (0.1, 1, 5, 20)]
    assert feeds == sorted(feeds, reverse=True)


def test_media_and_feed_turn_into_each_other() -> None:
    assert feeding.feed_for_media(feeding.media_litres(150, 0.4), 0.4) == pytest.approx(150)


def test_plants_and_feed_turn_into_each_other() -> None:
    low, high = feeding.plants_m2(100, Crop.FRUITING)
    assert feeding.feed_for_plants(low, Crop.FRUITING)[1] == pytest.approx(100)
    assert feeding.feed_for_plants(high, Crop.FRUITING)[0] == pytest.approx(100)


def test_every_weight_has_its_band() -> None:
    for table in (feeding.MBUNA, feeding.TILAPIA):
        assert [band.below_g for band in table] == sorted(band.below_g for band in table)
        assert table[-1].below_g == math.inf
    assert feeding.bands(TILAPIA) is feeding.TILAPIA
