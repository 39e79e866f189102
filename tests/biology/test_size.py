"""Length, weight and the trade's growth formulas, against published worked examples."""

from math import log

import numpy as np
import pytest
import scipy

from core.biology import size
from core.species import profile
from tests.biology.published import FORMULA, PRACTICE, VERIFIED, Published

MBUNA = profile("general").length_weight
IWAMA = "Iwama & Tautz 1981 in the form of Jobling 2003"
KENYI = "Karadal et al. 2017, Aquaculture International 25:121-134 (abstract seen)"
DIPLOTAXODON = "Kanyerere, Weyl & Booth 2005 on Diplotaxodon limnothrissa: 211.21 mm, 0.24 a year, -1.36 years"

TABLE = [
    Published(
        "TGC of a published example, scale 100",
        lambda: size.thermal_growth_coefficient(10, 350, 11, 200) / 10,
        0.222,
        0.001,
        "A feed company's calculator page (text seen)",
        VERIFIED,
    ),
    Published("2 g, TGC 0.5, 27 °C, 30 days", lambda: size.weight_after(2, 0.5, 27, 30), 4.6151, 0.002, IWAMA, FORMULA),
    Published("1 g, TGC 1.0, 28 °C, 30 days", lambda: size.weight_after(1, 1.0, 28, 30), 6.2295, 0.002, IWAMA, FORMULA),
    Published("condition of a kenyi", lambda: size.condition(2.0, 45.1), 2.18, 0.01, KENYI, FORMULA),
    Published(
        "the same from its length-weight relation",
        lambda: size.condition_of(45.1, profile("kenyi").length_weight),
        2.18,
        0.01,
        KENYI,
        FORMULA,
    ),
    Published(
        "weight of a 4.51 cm kenyi", lambda: size.weight_g(45.1, profile("kenyi").length_weight), 2.0, 0.05, KENYI, VERIFIED
    ),
    Published(
        "weights at 2.5, 4.5 and 6 cm",
        lambda: [size.weight_g(mm, MBUNA) for mm in (25, 45, 60)],
        [0.33, 1.91, 4.54],
        0.006,
        "W = 0.021 L^3, the working default for mbuna",
        PRACTICE,
    ),
    Published(
        "length at maturity, 3.18 years",
        lambda: size.von_bertalanffy(3.18, 211.21, 0.24, -1.36),
        139,
        2,
        DIPLOTAXODON,
        FORMULA,
    ),
    Published(
        "half as much again every three days, % a day",
        lambda: size.specific_growth_rate(1.0, 1.5, 3),
        13.516,
        0.01,
        "Extension text on tilapia in tanks (text seen)",
        FORMULA,
    ),
    Published(
        "the kenyi's TGC from 0.02 g on day 21 to 2 g at three months, 27 °C",
        lambda: size.thermal_growth_coefficient(0.02, 2.0, 27, 70),
        0.52,
        0.01,
        KENYI,
        FORMULA,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_sizes_agree_with_what_is_published(published: Published) -> None:
    published.check()


def test_von_bertalanffy_is_the_solution_of_his_equation() -> None:
    """dL/dt = K (Linf - L), integrated by scipy."""
    solved = scipy.integrate.solve_ivp(lambda _, length: 0.9 * (130 - length), (0, 3), [11.0], rtol=1e-10, atol=1e-10).y[0, -1]
    born = size.von_bertalanffy_age(11.0, 130, 0.9)
    assert size.von_bertalanffy(born + 3, 130, 0.9) == pytest.approx(solved, rel=1e-6)


def test_weight_and_length_turn_into_each_other() -> None:
    assert size.length_mm(size.weight_g(47.0, MBUNA), MBUNA) == pytest.approx(47.0)


def test_days_to_a_weight_bring_that_weight() -> None:
    assert size.weight_after(1.0, 0.4, 26, size.days_to_weight(1.0, 5.0, 0.4, 26)) == pytest.approx(5.0)


def test_siblings_weigh_more_than_their_mean_length_says() -> None:
    """Mean of 0.021 L³ over normally spread lengths, by simulation."""
    lengths = np.random.default_rng(1).normal(5.0, 0.125 * 5.0, 400_000)
    assert size.mean_weight_g(50.0, 0.125, MBUNA) == pytest.approx(np.mean(0.021 * lengths**3), rel=2e-3)


def test_weights_spread_three_times_as_far_as_lengths() -> None:
    """Common practice, no source: the coefficient of variation of weight is about three times that of length."""
    lengths = np.random.default_rng(2).lognormal(log(5), 0.1, 200_000)
    weights = 0.021 * lengths**3
    assert size.weight_spread(0.1, MBUNA) == pytest.approx(weights.std() / weights.mean(), rel=0.08)
