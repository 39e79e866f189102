"""The demonstration: a visitor sits down as one member of an invented club or another, and lets the next morning come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock, WallClock
from bot.page import words
from bot.page.seats import Seat
from core.events import PersonId
from core.store import Store

MORNING = time(9, 0)
"""After everybody's digest."""


@dataclass(frozen=True, slots=True)
class DemoSeat:
    """A seat in the bar: whose it is, and whether the visitor sits there."""

    key: PersonId
    name: str
    role: str
    mine: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """The bar above every page of the demonstration."""

    moment: str
    seats: tuple[DemoSeat, ...]


@dataclass(frozen=True, slots=True)
class Demo:
    """Who can be played, where the club lives, and the token of the link that opens it."""

    seats: tuple[DemoSeat, ...]
    zone: ZoneInfo
    token: str

    def bar(self, seat: Seat, clock: Clock) -> Bar:
        """The bar as this visitor sees it."""
        local = clock.now().astimezone(self.zone)
        style = replace(seat.style(clock), today=local.date())
        found = tuple(DemoSeat(each.key, each.name, each.role, each.key == seat.person) for each in self.seats)
        return Bar(f"{style.day(local.date())}, {style.clock(local.time())}", found)

    def plays(self, person: PersonId) -> bool:
        """Whether a visitor may sit there."""
        return any(each.key == person for each in self.seats)

    def next_morning(self, clock: WallClock) -> None:
        """Move the clock on to the next morning of the club."""
        now = clock.now()
        local = now.astimezone(self.zone)
        morning = datetime.combine(local.date() + timedelta(days=1), MORNING, self.zone)
        clock.ahead += morning - now


def demo_of(store: Store, token: str) -> Demo:
    """Everybody of the first club, keepers first; a LookupError where there is none."""
    with store.read() as tx:
        clubs = tx.clubs.all()
        if not clubs:
            raise LookupError("there is no club to show")
        members = tx.clubs.members(clubs[0].id)
    found = (
        DemoSeat(each.person.id, each.person.name, words.first_role(each.roles)) for each in members if each.roles != {"guest"}
    )
    seats = tuple(sorted(found, key=lambda seat: "keeper" not in seat.role))
    return Demo(seats, ZoneInfo(clubs[0].zone), token)
