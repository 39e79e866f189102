"""Sex: crosses that are not half and half, and how many unsexed fish make a wanted group."""

import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology import sex_ratio
from core.biology.chance import Beta
from core.species import profile
from tests.biology.published import FORMULA, MEMORY, Published

BINOMIAL = "Binomial distribution"
SER = "Ser, Roberts & Kocher 2010 and the polygenic sex of M. mbenjii: W makes a female whatever the Y says"

TABLE = [
    Published("8 fish, 1 male 3 females", lambda: sex_ratio.probability_of_group(8, 1, 3, 0.5), 0.8516, 2e-4, BINOMIAL, MEMORY),
    Published("6 fish, 1 male 3 females", lambda: sex_ratio.probability_of_group(6, 1, 3, 0.5), 0.6406, 2e-4, BINOMIAL, MEMORY),
    Published("fish for a male at 95 %", lambda: sex_ratio.unsexed_needed(1, 0, 0.95, 0.5), 5, 0, BINOMIAL, MEMORY),
    Published(
        "males of ZZXY x ZWXX",
        lambda: sex_ratio.expected_male_share(("ZZ", "XY"), ("ZW", "XX")),
        0.25,
        1e-9,
        SER,
        FORMULA,
    ),
    Published(
        "males of ZZXY x ZZXX",
        lambda: sex_ratio.expected_male_share(("ZZ", "XY"), ("ZZ", "XX")),
        0.5,
        1e-9,
        SER,
        FORMULA,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_sex_agrees_with_what_is_published(published: Published) -> None:
    published.check()


@given(st.integers(0, 3), st.integers(0, 5), st.floats(2, 20), st.floats(2, 20), st.sampled_from([0.8, 0.9, 0.95]))
@settings(max_examples=30, deadline=None)
def test_the_fewest_fish_for_a_group_are_exact(males: int, females: int, yes: float, no: float, sure: float) -> None:
    """Against scipy's beta-binomial, at the answer and one fish below it."""
    answer = sex_ratio.unsexed_needed(males, females, sure, Beta(yes, no))

    def chance(fish: int) -> float:
        return float(sum(scipy.stats.betabinom.pmf(k, fish, yes, no) for k in range(males, fish - females + 1)))

    if answer is not None and answer < 400:
        assert chance(answer) >= sure - 1e-9
        assert answer <= max(1, males + females) or chance(answer - 1) < sure + 1e-9


def test_not_knowing_the_ratio_takes_more_fish_than_half_and_half() -> None:
    unsure = sex_ratio.unsexed_needed(1, 4, 0.95, sex_ratio.prior(profile("yellow lab")))
    even = sex_ratio.unsexed_needed(1, 4, 0.95, 0.5)
    assert unsure is not None
    assert even is not None
    assert unsure > even


def test_a_group_that_no_pairing_gives_is_not_promised() -> None:
    assert sex_ratio.unsexed_needed(1, 0, 0.99, Beta(0.05, 5)) is None


def test_sexed_young_move_the_pairing() -> None:
    assert sex_ratio.sexed(Beta(5, 5), 9, 1) == Beta(14, 6)


def test_the_males_among_a_dozen_come_as_a_range() -> None:
    low, high = sex_ratio.males_expected(12, Beta(50, 50))
    assert scipy.stats.betabinom.cdf(high, 12, 50, 50) - scipy.stats.betabinom.cdf(low - 1, 12, 50, 50) >= 0.9
    assert low < 6 < high
