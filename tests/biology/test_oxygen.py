"""Oxygen: the standard's table, and what fish take."""

from functools import partial

import pytest

from core.biology import oxygen
from tests.biology.published import FORMULA, MEMORY, VERIFIED, Published

EN = "EN 25814 table in an instrument manual (text seen)"
FRANKLIN = "Franklin et al. 1995 on the Lake Magadi tilapia (abstract seen)"

TABLE = [
    *(
        Published(f"saturation at {c} °C", partial(oxygen.saturation, c), mg, tolerance, EN, VERIFIED)
        for c, mg, tolerance in (
            (10, 11.3, 0.064),
            (15, 10.1, 0.06),
            (20, 9.09, 0.01),
            (23, 8.58, 0.01),
            (25, 8.26, 0.01),
            (28, 7.83, 0.01),
            (30, 7.56, 0.01),
        )
    ),
    Published("25 °C, salinity 5", lambda: oxygen.saturation(25, 5), 8.26 - 5 * 0.0421, 0.05, EN, FORMULA),
    Published(
        "sea level and 1,000 m at 26 °C",
        lambda: [oxygen.saturation(26), oxygen.saturation(26, 0, oxygen.pressure_at(1000))],
        [8.11, 7.17],
        0.01,
        "APHA Standard Methods, pressure formula",
        MEMORY,
    ),
    Published("pressure at 1,000 m, kPa", lambda: oxygen.pressure_at(1000), 89.87, 0.02, "ISO 2533 standard atmosphere", MEMORY),
    Published("10 g at 37 °C, mL/g/h", lambda: oxygen.magadi_tilapia_ml_per_hour(10) / 10, 0.415, 0.001, FRANKLIN, VERIFIED),
    Published(
        "1, 5 and 100 g at 27 °C, mg/kg/h",
        lambda: [oxygen.use_mg_per_hour(g, 27) / g * 1000 for g in (1, 5, 100)],
        [467, 312, 148],
        1,
        f"{FRANKLIN}; halved for 10 °C less (extension sheet seen)",
        FORMULA,
    ),
    Published("oxygen in 2 L at 25 °C, mg", lambda: oxygen.gas_mg(2, 25), 2616, 5, "Ideal gas law", MEMORY),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_oxygen_agrees_with_what_is_published(published: Published) -> None:
    published.check()


def test_water_that_holds_half_of_what_it_could_is_half_saturated() -> None:
    assert oxygen.saturated_share(oxygen.saturation(26) / 2, 26) == pytest.approx(0.5)
