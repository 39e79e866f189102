"""An invented fishroom after a year: broods through all stages, tests, losses, sales, breeders grown from its own."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from core import events as e
from core.events import Entry, Event
from core.fishroom.replay import replay
from core.fishroom.state import Fishroom

TODAY = date(2026, 5, 6)
NOW = datetime(2026, 5, 6, 8, tzinfo=UTC)


def days(count: int) -> date:
    """So many days from today."""
    return TODAY + timedelta(days=count)


STORY: tuple[tuple[int, Event], ...] = (
    (-400, e.StrainAdded("lab", "Yellow lab", "yellow-lab")),
    (-400, e.PlaceAdded("Tank 1", "tank", 240, 26)),
    (-400, e.PlaceAdded("Box 1", "box", 4, hangs_in="Tank 1")),
    (-400, e.PlaceAdded("Tub", "tub", 500, 26)),
    (-400, e.Joined("M1", "male", "1", "lab", "Tank 1", origin="club", nickname="Sol")),
    (-400, e.Joined("F1", "female", "1", "lab", "Tank 1", origin="club")),
    (-400, e.Joined("F2", "female", "2", "lab", "Tank 1")),
    (-360, e.Spawned("F1", "M1", "brood 1")),
    (-338, e.Stripped("F1", "A", 20, to="Box 1")),
    (-290, e.Moved("Tub", batch="A")),
    (-100, e.Joined("F3", "female", "3", "lab", "Tank 1", from_batch="A")),
    (-98, e.Sold("A", 19)),
    (-90, e.Spawned("F2", "M1", "brood 2")),
    (-68, e.Stripped("F2", "B", 34, to="Box 1")),
    (-60, e.Died(batch="B", count=3)),
    (-30, e.Moved("Tub", batch="B")),
    (-30, e.Counted("B", 29)),
    (-20, e.Measured("B", lengths=(24, 26, 27, 29, 31))),
    (-2, e.Measured("B", mean_mm=33, n=6)),
    (-10, e.Offered("B", price=Decimal("4.50"))),
    (-25, e.Holding("F1", "brood 3")),
    (-19, e.BroodLost("F1")),
    (-95, e.Spawned("F3", "M1", "brood 5")),
    (-74, e.Stripped("F3", "C", 12, to="Box 1")),
    (-12, e.Spawned("F2", "M1", "brood 4")),
    *(
        (day, e.WaterTested("Tank 1", 8.0, 1.0 if day == -7 else 0.25, 0.05, 20, 24 if day == -7 else 26))
        for day in range(-63, 1, 7)
    ),
    (-8, e.WaterChanged("Tank 1", 30)),
    (-5, e.Reserved(14, "per", "B", 5, males=1, females=4, pickup=days(40), at=time(16, 30), min_mm=50)),
)


def fishroom() -> Fishroom:
    """The state after all of it."""
    told = (datetime.combine(days(day), time(9), UTC) for day, _ in STORY)
    entries = [
        Entry("fishroom:marit", number, event, days(day), moment, "marit", order=number)
        for number, ((day, event), moment) in enumerate(zip(STORY, told, strict=True), start=1)
    ]
    room = replay("marit", entries)
    assert not room.problems
    return room
