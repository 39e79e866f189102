"""What a keeper reads about bags beside the tank: how many, and how many fish in each."""

from __future__ import annotations

import pytest

from bot.replies import fetching
from bot.replies.words import Style
from core.biology.transport import Bags
from core.planning.pickup_tasks import Packing
from tests.planning.garden import TODAY, reservation


@pytest.mark.parametrize(
    ("bags", "fish", "said"),
    [(1, 4, "1 bag of up to 4 fish, "), (2, 3, "2 bags, up to 3 fish each, "), (6, 1, "6 bags, one fish each, "), (1, 1, "1 bag of one fish, ")],
)
def test_how_many_bags_and_how_many_fish_in_each(bags: int, fish: int, said: str) -> None:
    packed = Bags(bags, fish, 1.0, 3.0, 5.0, 48.0, 0.5, (24.0, 48.0), ())
    assert fetching.bags(Packing(reservation(1, 6), 40.0, packed), Style(TODAY)).startswith(said)
