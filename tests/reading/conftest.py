"""The club that the reading tests read against: an invented one, metric, day before month."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from bot.reading import Names, as_json, read

HERE = Path(__file__).parent


@pytest.fixture(scope="session")
def club() -> Names:
    return Names.from_json(json.loads((HERE / "club.json").read_text("utf-8")))


@pytest.fixture(scope="session")
def inland() -> Names:
    """Another club, of the United States: inches, month before day."""
    return Names.from_json(json.loads((HERE / "inland.json").read_text("utf-8")))


@pytest.fixture(scope="session")
def harbour() -> Names:
    """A third, metric, whose places are vats, racks and nets, and one of whose members is called as a month is."""
    return Names.from_json(json.loads((HERE / "harbour.json").read_text("utf-8")))


@pytest.fixture(scope="session")
def weir() -> Names:
    """A fourth, of the United States, for the many messages of several hands."""
    return Names.from_json(json.loads((HERE / "weir.json").read_text("utf-8")))


@pytest.fixture
def wednesday() -> datetime:
    return datetime.fromisoformat("2026-09-02T08:15")


@pytest.fixture
def reading_of(club: Names, wednesday: datetime) -> Callable[..., Any]:
    """What a message of that Wednesday is read as, in plain values; `by` Hanna unless said."""
    return lambda text, by="Hanna": as_json(read(text, now=wednesday, by=by, names=club))
