"""What falls due by itself: kinds that do not wait for one another."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.conversation import falling_due
from core.club import Visit
from tests.conversations.begun import stage_after

MORNING = datetime(2026, 5, 4, 7, tzinfo=UTC)
HELD = """
club: Osier Pond Cichlid Club; zone UTC; units metric; dates DMY
people: Wouter keeper; Ruth buyer

-- Mon 4 May 2026 07:00
Wouter: new pond, 2000 litres, 24 C
Wouter: bought 20 young yellow labs, 50 mm, into pond
Wouter: counted A, 20
Wouter: confirm by hand
Wouter: hold days 2
Wouter: offering A at 3
Ruth: reserve 9 of A
"""


def broken(_visit: Visit, _now: datetime) -> None:
    raise ValueError("a kind that fails")


@pytest.mark.parametrize("place", [0, len(falling_due._BY_ITSELF)])
def test_where_one_kind_fails_the_others_still_come(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, place: int) -> None:
    stage = stage_after(HELD, tmp_path, MORNING)
    stage.unasked()
    monkeypatch.setattr(
        falling_due, "_BY_ITSELF", (*falling_due._BY_ITSELF[:place], broken, *falling_due._BY_ITSELF[place:])
    )
    stage.clock.moment = MORNING + timedelta(days=3)
    for _ in range(2):
        with pytest.raises(ValueError, match="a kind that fails"):
            stage.conversation.due()
    told = [one.text for one in stage.unasked()["Ruth"]]
    assert sum("Wouter did not confirm #1" in text for text in told) == 1
