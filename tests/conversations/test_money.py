"""Prices are said in the club's own money, in its weekly post too."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import available_timezones

import pytest

from bot.clock import SetClock
from bot.conversation import Conversation
from bot.conversation.arriving import Beginner, start_club
from bot.conversation.currencies import BY_ZONE, usual_currency
from bot.conversation.message import Origin, Text
from bot.conversation.ordering import shelf_post
from core.club import Visit
from core.store import Store
from core.units import Units

NOW = datetime(2026, 3, 1, 16, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    found = Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}")
    yield found
    found.close()


def post(store: Store, units: str, chosen: str | None = None) -> str:
    """The weekly post of a club that has a batch at five each."""
    conversation = Conversation(store, SetClock(NOW))
    people = [Beginner("Jutta", ("keeper", "organiser"))]
    club, known = conversation.do(lambda visit: start_club(visit, NOW, "Low Weir Breeders", units=units, people=people))
    said = ["new tub, 400 litres", "bought batch of 30 yellow labs, 5 cm, born 1 sep 2025, into tub", "offer A at 5 each"]
    for number, text in enumerate([*said, *([f"currency {chosen}"] if chosen else [])]):
        conversation.hear(Text(Origin(known["Jutta"].id, "play", "Jutta", f"m{number}"), text))

    def posted(visit: Visit) -> str:
        return shelf_post(visit, club, NOW, NOW.date())

    return str(conversation.do(posted))


@pytest.mark.parametrize(("units", "chosen", "price"), [("us", None, "$5"), ("metric", None, "€5"), ("metric", "GBP", "£5")])
def test_the_weekly_post_is_in_the_clubs_money(store: Store, units: str, chosen: str | None, price: str) -> None:
    assert price in post(store, units, chosen)


@pytest.mark.parametrize(
    ("zone", "units", "currency"),
    [("Europe/London", "metric", "GBP"), ("America/Chicago", "us", "USD"), ("Australia/Perth", "metric", "AUD"), ("Europe/Vienna", "metric", "EUR")],
)
def test_a_new_club_reckons_in_the_money_of_its_country(zone: str, units: Units, currency: str) -> None:
    """Codes of ISO 4217, list one."""
    assert usual_currency(zone, units) == currency


def test_every_zone_that_tells_the_money_is_one() -> None:
    """Against the tz database: a zone, or what its zones begin with."""
    assert all(name in available_timezones() or any(zone.startswith(f"{name}/") for zone in available_timezones()) for name in BY_ZONE)
