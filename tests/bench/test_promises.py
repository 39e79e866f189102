"""The study of promising rules runs, and its oracle and rules are what they are said to be."""

from dataclasses import replace

import numpy as np

from tests.bench.promises import Frywire, PromiseShare, oracle, play, study
from tests.bench.season import Buyer, draw


def test_an_oracle_hands_over_what_lives_and_no_more() -> None:
    """By hand: of thirty fish that all live, two buyers of five and one of forty (who is not half served) get ten."""
    season = draw(np.random.default_rng(1))
    buyers = (Buyer(0, 10, 0, 0, 5, 0.0), Buyer(1, 20, 0, 0, 5, 0.0), Buyer(2, 30, 0, 0, 400, 0.0))
    assert oracle(replace(season, dies_on=np.full(len(season.dies_on), 10_000), buyers=buyers)) == 10


def test_nobody_hands_over_a_fish_twice() -> None:
    season = draw(np.random.default_rng(2))
    for rule in (Frywire(0.9), PromiseShare(1.0), PromiseShare(0.5)):
        promised = play(season, rule)
        assert sum(one.handed_over or 0 for one in promised) <= len(season.dies_on)
        assert all(one.handed_over is not None and one.handed_over <= one.count for one in promised)


def test_frywire_keeps_more_promises_than_promising_all_that_is_counted() -> None:
    found = study({"frywire": Frywire(0.9), "all": PromiseShare(1.0)}, seasons=6)
    assert found["frywire"]["kept"] > found["all"]["kept"]
