"""How quantities are written for members of either system."""

from datetime import date, time

import pytest

from bot.pictures import measures
from core.units import DateOrder, Units


def test_lengths_are_read_in_centimetres_or_inches() -> None:
    # 2 in = 50.8 mm (inch = 25.4 mm exactly: NIST Handbook 44, appendix C)
    assert measures.length(50.8, "us") == "2 in"
    assert measures.length(50.8, "metric") == "5.1 cm"


def test_warmth_is_read_in_celsius_or_fahrenheit() -> None:
    # 25 °C = 77 °F (NIST SP 811, B.8: F = 9/5 C + 32); a difference of 5 °C is one of 9 °F
    assert measures.warmth(25, "us") == "77 °F"
    assert measures.warmth(25.5, "metric") == "25.5 °C"
    assert measures.warmth_step(5, "us") == "9 °F"


@pytest.mark.parametrize(
    ("litres", "units", "words"),
    [
        (1000, "metric", "1000 kg"),  # a litre of water weighs a kilogram (old definition of the litre, good to 0.4 %)
        (208.2, "us", "460 lb"),  # 55 US gallons at 8.34 lb a gallon (the figure of water works' handbooks) = 458.7 lb
        (18.93, "us", "42 lb"),  # 5 US gallons: 41.7 lb
    ],
)
def test_a_full_tub_says_what_it_weighs(litres: float, units: Units, words: str) -> None:
    assert measures.full_weight(litres, units) == words


def test_volumes_are_read_in_litres_or_us_gallons() -> None:
    # 55 US gallons = 208.2 L (US gallon = 3.785411784 L exactly: NIST Handbook 44, appendix C)
    assert measures.volume(208.198, "us") == "55 gal"
    assert measures.volume(208.198, "metric") == "208 L"
    assert measures.volume(1.5, "metric") == "1.5 L"


@pytest.mark.parametrize(
    ("order", "full", "short"),
    [("DMY", "4 Jul 2026", "4 Jul"), ("MDY", "Jul 4, 2026", "Jul 4")],
)
def test_days_are_written_in_the_clubs_order(order: DateOrder, full: str, short: str) -> None:
    assert measures.day(date(2026, 7, 4), order) == full
    assert measures.short_day(date(2026, 7, 4), order) == short


def test_a_day_can_carry_its_weekday() -> None:
    assert measures.long_day(date(2026, 7, 4), "DMY") == "Sat 4 Jul 2026"  # 4 July 2026 is a Saturday (any calendar)


@pytest.mark.parametrize(
    ("at", "words"), [(time(0, 5), "12:05 am"), (time(12, 0), "12:00 pm"), (time(16, 30), "4:30 pm"), (time(11, 59), "11:59 am")]
)
def test_times_of_day_in_the_us_have_twelve_hours(at: time, words: str) -> None:
    assert measures.clock(at, "us") == words
    assert measures.clock(time(16, 30), "metric") == "16:30"
