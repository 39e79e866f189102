"""What is said of a place's feed: its loop, its nursery, its stocking."""

from datetime import date

from bot.replies.food import loop_line, stocking_line
from bot.replies.words import Style
from core.biology.stocking import load
from core.planning.rations import LoopNeed, PlaceRation, loop_need

METRIC = Style(date(2026, 3, 2))
AMERICAN = Style(date(2026, 3, 2), dates="MDY", units="us")
BREEDERS_ON_45_G = PlaceRation("tub", (), 20, (45.0, 45.0), None)


def test_a_loop_is_told_what_a_days_feed_asks_of_its_plants() -> None:
    """FAO Fisheries Technical Paper 589, ch. 8: 40-50 g of 32 % feed a day and m² for leafy plants, 50-80 g for fruiting ones."""
    need = loop_need(BREEDERS_ON_45_G)
    assert [round(area, 3) for area in need.leafy_m2] == [0.9, 1.125]
    assert [round(area, 4) for area in need.fruiting_m2] == [0.5625, 0.9]


def test_the_loop_is_worded_in_the_members_units() -> None:
    need = LoopNeed((0.9, 1.125), (0.56, 0.9), 10.0)
    found = PlaceRation("tub", (), 20, (45.0, 45.0), None, loop=need)
    assert "0.9 to 1.12 m²" in loop_line(found, METRIC)[0]
    assert "10 L of filter gravel" in loop_line(found, METRIC)[0]
    assert "9.69 to 12.11 sq ft" in loop_line(found, AMERICAN)[0]


def test_a_water_without_plants_has_no_such_line() -> None:
    assert loop_line(BREEDERS_ON_45_G, METRIC) == []


def test_how_full_a_tub_is_stands_against_what_a_water_carries() -> None:
    """20 kg in 1,000 L is the recommended most (Somerville et al. 2014, FAO FTP 589, from memory)."""
    found = PlaceRation("tub", (), 0, (0.0, 0.0), load(20_000, 1_000))
    assert stocking_line(found, METRIC) == ["20 kg of fish per m³ of at most 20: full."]
    # 20 kg are 44.1 lb, a cubic metre 264.2 US gallons (NIST Handbook 44, appendix C, from memory): 16.7 lb in 100 gallons
    assert stocking_line(found, AMERICAN) == ["16.7 lb of fish per 100 gallons of at most 17: full."]
