"""Un-ionised ammonia: printed tables where they are right, the equation where they are wrong."""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.biology import ammonia
from core.biology.ammonia import Kit
from tests.biology.published import FORMULA, MEMORY, VERIFIED, Published

EMERSON = "Emerson et al. 1975 as reprinted by UF/IFAS and in a veterinary textbook (tables seen)"
EPA1999 = "EPA-822-R-99-014, equation in a state rule (text seen)"
EPA2013 = "EPA 822-R-13-001; values quoted second-hand (text seen), equation from memory"


def percents_at(temperature_c: float) -> list[float]:
    return [100 * ammonia.unionised_share(ph, temperature_c) for ph in (7.0, 8.0)]


def printed_2013() -> list[float]:
    acute, chronic = ammonia.wild_waters_acute_2013(7, 20), ammonia.wild_waters_chronic_2013(7, 20)
    printed = ammonia.two_figures(chronic)
    return [ammonia.two_figures(acute), printed, ammonia.two_figures(2.5 * printed)]


TABLE = [
    *(
        Published(
            f"NH3 share at pH {ph}, {celsius} °C",
            partial(ammonia.unionised_share, ph, celsius),
            share,
            0.00015,
            EMERSON,
            VERIFIED,
        )
        for ph, celsius, share in (
            (8.0, 24, 0.0502),
            (7.6, 26, 0.0236),
            (8.4, 28, 0.1495),
            (7.0, 20, 0.0039),
            (8.2, 22, 0.0676),
            (7.8, 28, 0.0423),
        )
    ),
    *(
        Published(
            f"printed per cent at pH 7 and 8, {celsius} °C",
            partial(percents_at, celsius),
            percents,
            0.006,
            EMERSON,
            VERIFIED,
        )
        for celsius, percents in (
            (20, [0.39, 3.81]),
            (24, [0.53, 5.02]),
            (26, [0.60, 5.74]),
            (28, [0.69, 6.54]),
            (30, [0.80, 7.43]),
        )
    ),
    Published(
        "1 mg/L at pH 8.0 and 24 °C",
        lambda: ammonia.unionised_as_nitrogen(1.0, 8.0, 24),
        0.0502,
        0.0002,
        "UF/IFAS FA16 as copied (the copy misprints one factor as 0.502)",
        VERIFIED,
    ),
    Published(
        "pH 8.0, 32 °C: a printed table says 0.0877, the equation does not",
        lambda: ammonia.unionised_share(8.0, 32),
        0.0842,
        0.0003,
        "Emerson et al. 1975, equation",
        FORMULA,
    ),
    Published("a milligram of N as NH3", lambda: ammonia.NH3_PER_N, 1.2159, 0.0005, "Standard atomic weights", MEMORY),
    Published("a milligram of N as NH4", lambda: ammonia.NH4_PER_N, 1.2879, 0.0005, "Standard atomic weights", MEMORY),
    Published(
        "largest total for 0.025 mg/L NH3 at 26 °C, pH 7.5, 8.0, 8.5",
        lambda: [ammonia.largest_total(ph, 26) for ph in (7.5, 8.0, 8.5)],
        [1.09, 0.3585, 0.13],
        0.006,
        "EIFAC Technical Paper 11, 1970 (limit from memory) with Emerson's equation",
        MEMORY,
    ),
    Published(
        "a quarter on the kit at pH 8.5, 28 °C is no trifle",
        lambda: ammonia.unionised_as_nitrogen(0.25, 8.5, 28),
        0.045,
        0.001,
        "Emerson et al. 1975, equation",
        FORMULA,
    ),
    Published(
        "sea water of 34 ppt at pH 8.0, 25 °C, %",
        lambda: 100 * ammonia.unionised_share(8.0, 25, 34),
        4.28,
        0.02,
        "Bower & Bidwell 1978 as printed in a meter manual (text seen)",
        VERIFIED,
    ),
    Published("chronic 1999, pH 8, 25 °C", lambda: ammonia.wild_waters_chronic_1999(8.0, 25), 1.238, 0.01, EPA1999, FORMULA),
    Published(
        "acute, chronic and four days 2013 at pH 7, 20 °C",
        printed_2013,
        [17, 1.9, 4.8],
        0.1,
        EPA2013,
        VERIFIED,
    ),
    Published(
        "acute and chronic 2013 at pH 8, 26 °C",
        lambda: [ammonia.wild_waters_acute_2013(8, 26), ammonia.wild_waters_chronic_2013(8, 26)],
        [2.37, 0.53],
        0.01,
        EPA2013,
        MEMORY,
    ),
]


@pytest.mark.parametrize("published", TABLE, ids=str)
def test_ammonia_agrees_with_what_is_published(published: Published) -> None:
    published.check()


@given(st.floats(6, 9.5), st.floats(0, 50))
def test_warmer_and_more_alkaline_water_is_more_poisonous(ph: float, celsius: float) -> None:
    here = ammonia.unionised_share(ph, celsius)
    assert 0 < here < ammonia.unionised_share(ph + 0.1, celsius) < 1
    assert here < ammonia.unionised_share(ph, celsius + 1)


@given(st.floats(6.5, 9), st.floats(10, 35), st.floats(0.001, 1))
def test_the_largest_total_is_right_at_the_limit(ph: float, celsius: float, limit: float) -> None:
    total = ammonia.largest_total(ph, celsius, limit)
    assert ammonia.unionised_as_ammonia(total, ph, celsius) == pytest.approx(limit)


def test_a_kit_that_reads_ammonia_reads_a_fifth_more_than_one_that_reads_nitrogen() -> None:
    assert ammonia.as_nitrogen(1.0, Kit.AMMONIA) == pytest.approx(14.007 / 17.031)
    assert ammonia.as_nitrogen(1.0, Kit.NITROGEN) == 1.0
