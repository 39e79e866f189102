"""The distributions behind every forecast, against scipy.stats (which the bot itself does not load)."""

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from core.biology import chance
from core.biology.chance import Beta

counts = st.integers(0, 80)
shares = st.floats(0.02, 0.98)
halves = st.floats(0.3, 60.0)


@given(counts, shares)
@settings(max_examples=40, deadline=None)
def test_independent_fish_are_binomial(n: int, share: float) -> None:
    np.testing.assert_allclose(chance.binomial(n, share), scipy.stats.binom.pmf(np.arange(n + 1), n, share), atol=1e-12)


@given(counts, halves, halves)
@settings(max_examples=40, deadline=None)
def test_fish_that_share_an_unknown_chance_are_beta_binomial(n: int, yes: float, no: float) -> None:
    expected = scipy.stats.betabinom.pmf(np.arange(n + 1), n, yes, no)
    np.testing.assert_allclose(chance.beta_binomial(n, Beta(yes, no)), expected, atol=1e-10)


@given(counts, halves, halves)
@settings(max_examples=40, deadline=None)
def test_scenarios_are_the_beta_binomial_itself(n: int, yes: float, no: float) -> None:
    weights, shares = Beta(yes, no).scenarios(n // 2 + 1)
    mixed = chance.mixture(weights, chance.binomial(n, shares))
    np.testing.assert_allclose(mixed, scipy.stats.betabinom.pmf(np.arange(n + 1), n, yes, no), atol=1e-9)


def test_scenarios_are_the_gauss_jacobi_rule() -> None:
    weights, shares = Beta(7.5, 2.25).scenarios(12)
    nodes, expected = scipy.special.roots_jacobi(12, 2.25 - 1, 7.5 - 1)
    np.testing.assert_allclose(shares, (nodes + 1) / 2, atol=1e-12)
    np.testing.assert_allclose(weights, expected / expected.sum(), atol=1e-12)


def test_scenarios_of_a_flat_belief_have_textbook_nodes() -> None:
    """Gauss-Legendre with three nodes on 0-1: ½ ± √0.15 and ½, weights 5/18, 8/18, 5/18 (Abramowitz & Stegun 25.4.30)."""
    weights, shares = Beta(1, 1).scenarios(3)
    np.testing.assert_allclose(shares, [0.5 - 0.15**0.5, 0.5, 0.5 + 0.15**0.5], atol=1e-12)
    np.testing.assert_allclose(weights, [5 / 18, 8 / 18, 5 / 18], atol=1e-12)


@given(st.integers(0, 12), st.integers(1, 12), st.integers(0, 12))
@settings(max_examples=40, deadline=None)
def test_blind_deaths_among_several_batches_are_hypergeometric(marked: int, others: int, drawn: int) -> None:
    drawn = min(drawn, marked + others)
    expected = scipy.stats.hypergeom.pmf(np.arange(marked + 1), marked + others, marked, drawn)
    np.testing.assert_allclose(chance.hypergeometric(marked + others, marked, drawn), expected, atol=1e-12)


def test_a_count_that_can_be_promised_is_the_largest_that_holds() -> None:
    distribution = scipy.stats.binom.pmf(np.arange(11), 10, 0.8)
    promised = chance.count_at(distribution, 0.9)
    assert scipy.stats.binom.sf(promised - 1, 10, 0.8) >= 0.9 > scipy.stats.binom.sf(promised, 10, 0.8)


def test_nothing_can_be_promised_with_certainty_when_all_may_die() -> None:
    assert chance.count_at(np.array([0.3, 0.7]), 0.9) == 0


def test_a_belief_moves_by_what_was_seen() -> None:
    """Beta(5, 5) after 8 males and 2 females is Beta(13, 7), mean 13 / 20 (conjugate update, any textbook)."""
    assert Beta(5, 5).seen(8, 2) == Beta(13, 7)
    assert Beta(5, 5).seen(8, 2).mean == 0.65


def test_a_belief_is_never_surer_than_it_is_allowed_to_be() -> None:
    limited = Beta(900, 100).at_most_worth(50)
    assert limited.worth == pytest.approx(50)
    assert limited.mean == pytest.approx(0.9)


def test_quantiles_of_a_belief_are_those_of_scipy() -> None:
    assert Beta(4, 9).quantile(0.05) == pytest.approx(scipy.stats.beta.ppf(0.05, 4, 9))
