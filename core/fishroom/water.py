"""What was measured, changed, fed, written and photographed."""

from __future__ import annotations

from core.events import Entry, Fed, Noted, Photographed, WaterChanged, WaterTested
from core.fishroom.books import check_place, current
from core.fishroom.state import Feeding, Fishroom, History, Note, WaterChange, WaterTest


def water_tested(room: Fishroom, event: WaterTested, entry: Entry) -> None:
    """Readings of a place's water; a box that hangs in a tank is tested with its tank."""
    check_place(room, event.place, entry)
    room.water_tests.setdefault(room.water_of(event.place), History()).append(
        WaterTest(
            entry.on,
            entry.at,
            event.ph,
            event.tan_mg_l,
            event.nitrite_mg_l,
            event.nitrate_mg_l,
            event.temp_c,
            event.kh_dkh,
            event.gh_dgh,
            event.kit_unit,
        )
    )


def water_changed(room: Fishroom, event: WaterChanged, entry: Entry) -> None:
    """Part of a place's water was replaced."""
    check_place(room, event.place, entry)
    changes = room.water_changes.setdefault(room.water_of(event.place), History())
    changes.append(WaterChange(entry.on, event.percent, event.litres))


def fed(room: Fishroom, event: Fed, entry: Entry) -> None:
    """A feeding."""
    batch = event.batch and current(room, event.batch)
    room.feedings.append(Feeding(entry.on, entry.at, event.place, batch, event.grams))


def noted(room: Fishroom, event: Noted, entry: Entry) -> None:
    """A note, kept under the name it was written about."""
    room.notes.append(Note(entry.on, event.text, None, event.fish, event.batch, event.place))


def photographed(room: Fishroom, event: Photographed, entry: Entry) -> None:
    """A picture, kept under the name it was taken of."""
    room.notes.append(Note(entry.on, event.text, event.photo, event.fish, event.batch, event.place))
