"""Figures are written as a keeper reads them beside the tank."""

from __future__ import annotations

from datetime import date

from bot.replies.words import Style


def test_a_span_of_warmth_in_fahrenheit_is_whole_degrees_inside_it() -> None:
    """22 °C is 71.6 °F and 26 °C is 78.8 °F (F = C × 9/5 + 32): a thermometer that shows whole degrees stays inside at 72 and 78."""
    assert Style(date(2026, 3, 2), units="us").temperatures(22, 26) == "72 °F to 78 °F"


def test_a_span_of_warmth_in_celsius_is_said_as_it_is() -> None:
    """Half a degree stays."""
    assert Style(date(2026, 3, 2)).temperatures(22.5, 26) == "22.5 °C to 26 °C"


def test_a_day_of_this_year_needs_no_year_however_far() -> None:
    """28 December is a Monday in 2026 (calendar); seen from March it is 301 days off, and no other 28 December is meant."""
    assert Style(date(2026, 3, 2)).day(date(2026, 12, 28)) == "Mon 28 Dec"
    assert Style(date(2026, 3, 2)).day(date(2027, 3, 1)) == "Mon 1 Mar 2027"
