"""The measured tilapia series, and the fits the development model leans on."""

import pytest

from core.biology import oxygen, tilapia
from core.biology.development import duration
from core.species import profile
from tests.biology.published import FORMULA, VERIFIED, Published

RANA = "Rana 1990, Aquaculture 87:183-195 (abstract seen; bibliographic details from memory)"


def fit() -> dict[str, float]:
    thermal = tilapia.thermal_time(((24, 8), (28, 5), (30, 4)))
    return {"base": thermal.base_c, "sum": thermal.degree_days}


def nile_first_feeding(temperature_c: float) -> float:
    development = profile("Oreochromis niloticus").development
    q10 = development.q10.likely
    return duration(temperature_c, development.yolk_days.likely - development.hatch_days.likely, q10)


TABLE = [
    Published(f"first feeding at {celsius} °C, {name}", computed, days, 0.5, RANA, VERIFIED)
    for celsius, days in ((24.0, 8.0), (30.0, 4.0))
    for name, computed in (
        ("thermal time", lambda c=celsius: tilapia.thermal_time(tilapia.FIRST_FEEDING).days(c)),
        ("exponential", lambda c=celsius: tilapia.exponential(tilapia.FIRST_FEEDING).days(c)),
        ("profile of the Nile tilapia", lambda c=celsius: nile_first_feeding(c)),
    )
] + [
    Published("thermal time of first feeding", fit, {"base": 18.0, "sum": 48.7}, 0.1, RANA, FORMULA),
    Published("its Q10", lambda: tilapia.exponential(tilapia.FIRST_FEEDING).q10, 3.2, 0.05, RANA, FORMULA),
    Published(
        "thermal time to the largest body on yolk",
        lambda: (lambda fitted: [fitted.base_c, fitted.degree_days])(tilapia.thermal_time(tilapia.LARGEST_ON_YOLK)),
        [21.1, 56.0],
        0.1,
        RANA,
        FORMULA,
    ),
    Published(
        "hatch in the mother's mouth at 28 °C, days",
        lambda: duration(28, profile("nile tilapia").development.hatch_days.likely, 3.2),
        [4.0, 5.0],
        0.0,
        "Evaluation of two containers for incubating Oreochromis eggs: 96-120 h (Rana 1986, authorship from memory)",
        VERIFIED,
        within=True,
    ),
    Published(
        "embryonic period of O. mossambicus, days",
        lambda: profile("Oreochromis mossambicus").development.yolk_days.likely,
        15,
        1.5,
        "Early ontogeny of the Mozambique tilapia, African Zoology 27(4)",
        VERIFIED,
    ),
    Published(
        "eggs of a 10 cm Tilapia leucosticta",
        lambda: tilapia.eggs_of_leucosticta(10),
        100,
        5,
        "Welcomme 1967, Journal of Zoology: eggs about the square of the length in cm",
        FORMULA,
    ),
    Published(
        "Q10 of 0.739 at 37 °C and 0.970 at 42 °C",
        lambda: oxygen.q10(0.739, 0.970, 37, 42),
        1.72,
        0.01,
        "Franklin et al. 1995 on the Lake Magadi tilapia",
        VERIFIED,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_the_tilapia_series_is_met(published: Published) -> None:
    published.check()
