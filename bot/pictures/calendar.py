"""Days for the member's own calendar: pickups with their changes and cancellations, and the days on which batches come ready."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from bot.pictures.zones import vtimezone
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.outlook import ready_days, size_for
from core.species import profile

if TYPE_CHECKING:
    from icalendar import Alarm, Calendar, Event

MAKER = "-//Frywire//Frywire//EN"
OURS = UUID("8c6f2b0e-5d0b-4a53-9d43-0f4f6a7c21ae")
"""Namespace of our event ids (RFC 9562, version 5): the same pickup has the same id wherever and whenever it is written."""
EVENING = time(18)
LONG_PAST = timedelta(days=30)
"""A batch that was ready longer ago is no news for a calendar."""


@dataclass(frozen=True, slots=True)
class PickupDay:
    """A pickup as it stands now. `changed` is the moment (UTC) of its last change, `sequence` how often it was changed before.

    `zone` is the IANA zone in which `at` is meant; without `at` it takes the whole day.
    """

    club: str
    reservation: int
    title: str
    day: date
    zone: str
    changed: datetime
    at: time | None = None
    minutes: int = 30
    where: str = ""
    notes: str = ""
    sequence: int = 0
    cancelled: bool = False


def pickup_day_of(
    reservation: Reservation, *, club: str, title: str, zone: str, changed: datetime, where: str = "", notes: str = ""
) -> PickupDay | None:
    """The agreed pickup of a reservation; a cancelled one where the reservation is over; None where no day was ever agreed."""
    if reservation.pickup is None:
        return None
    return PickupDay(
        club,
        reservation.number,
        title,
        reservation.pickup,
        zone,
        changed,
        reservation.at,
        where=where,
        notes=notes,
        sequence=reservation.sequence,
        cancelled=reservation.status in {"cancelled", "declined", "no_show"},
    )


@dataclass(frozen=True, slots=True)
class ReadyDay:
    """The day on which a batch is expected to be ready; `changed` is the moment (UTC) of this forecast."""

    room: str
    batch: str
    title: str
    day: date
    changed: datetime
    notes: str = ""


def ready_day_of(room: Fishroom, batch: Batch, today: date, title: str, changed: datetime, notes: str = "") -> ReadyDay | None:
    """The day from which half of the batch is likely large enough to be sold; None where that is out of sight or long past."""
    outlook = ready_days(room, batch, today, size_for(profile(room.species_of(batch.strain)), "saleable"))
    if outlook.half.likely is None or outlook.half.likely < today - LONG_PAST:
        return None
    return ReadyDay(f"fishroom:{room.id}", batch.id, title, outlook.half.likely, changed, notes)


def pickup_calendar(pickups: Sequence[PickupDay], club_name: str) -> bytes:
    """An .ics of pickups. A calendar that has them already takes the newer state over (same UID, higher SEQUENCE).

    METHOD is CANCEL where all of them are cancelled, else PUBLISH (RFC 5546); that standard wants an ORGANIZER too: the club,
    with an address that is no address, since members' addresses are nobody's business.
    """
    calendar = _calendar(club_name)
    calendar.add("method", "CANCEL" if pickups and all(pickup.cancelled for pickup in pickups) else "PUBLISH")
    _add_zones(calendar, pickups)
    for pickup in pickups:
        calendar.add_component(_pickup(pickup, club_name))
    return bytes(calendar.to_ical())


def ready_calendar(ready: Iterable[ReadyDay], name: str) -> bytes:
    """A feed of whole days that block nobody's time, to be fetched again twice a day."""
    from icalendar import Event

    calendar = _calendar(name)
    calendar.add("refresh-interval", timedelta(hours=12), parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "PT12H")
    for batch in ready:
        event = Event()
        event.add("uid", event_id("ready", batch.room, batch.batch))
        _say(event, batch.title, batch.notes)
        event.add("dtstart", batch.day)
        event.add("dtend", batch.day + timedelta(days=1))
        event.add("dtstamp", batch.changed.astimezone(UTC))
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def event_id(kind: str, *of: str) -> str:
    """The stable UID of an event: says nothing about the club, the member or the fish."""
    return f"{uuid5(OURS, chr(31).join((kind, *of)))}@frywire"


def _calendar(name: str) -> Calendar:
    from icalendar import Calendar, vText

    calendar = Calendar()
    calendar.add("prodid", MAKER)
    calendar.add("version", "2.0")
    for key in ("name", "x-wr-calname"):  # said to be text: the library leaves kinds that it does not know unescaped
        calendar.add(key, vText(" ".join(_clean(name).split())))
    return calendar


def _add_zones(calendar: Calendar, pickups: Sequence[PickupDay]) -> None:
    days: dict[str, list[date]] = {}
    for pickup in pickups:
        if pickup.at is not None:
            days.setdefault(pickup.zone, []).append(pickup.day)
    for zone, on in days.items():
        calendar.add_component(vtimezone(ZoneInfo(zone), min(on), max(on)))


def _pickup(pickup: PickupDay, club_name: str) -> Event:
    from icalendar import Event, vCalAddress

    event = Event()
    event.add("uid", event_id("pickup", pickup.club, str(pickup.reservation)))
    event.add("sequence", pickup.sequence)
    event.add("dtstamp", pickup.changed.astimezone(UTC))
    event.add("last-modified", pickup.changed.astimezone(UTC))
    event.add("status", "CANCELLED" if pickup.cancelled else "CONFIRMED")
    organizer = vCalAddress("invalid:nomail")
    organizer.params["CN"] = " ".join(_clean(club_name).split()).replace('"', "'")
    event.add("organizer", organizer)
    _say(event, pickup.title, pickup.notes)
    if pickup.where:
        event.add("location", _clean(pickup.where))
    begin, end = span(pickup)
    event.add("dtstart", begin)
    event.add("dtend", end)
    if not pickup.cancelled:
        event.add_component(_reminder(pickup))
    return event


def span(pickup: PickupDay) -> tuple[date, date]:
    """Beginning and end: two moments in the pickup's zone, or two days."""
    if pickup.at is None:
        return pickup.day, pickup.day + timedelta(days=1)
    zone = ZoneInfo(pickup.zone)
    begin = datetime.combine(pickup.day, pickup.at, zone)
    return begin, (begin.astimezone(UTC) + timedelta(minutes=pickup.minutes)).astimezone(zone)


def _reminder(pickup: PickupDay) -> Alarm:
    """The evening before, as the time that really passes until then (one hour more or less where the clocks change at night)."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _clean(pickup.title))
    alarm.add("trigger", -_until(pickup))
    return alarm


def _until(pickup: PickupDay) -> timedelta:
    begin, _ = span(pickup)
    if not isinstance(begin, datetime):
        return timedelta(hours=24 - EVENING.hour)
    evening = datetime.combine(pickup.day - timedelta(days=1), EVENING, begin.tzinfo)
    return begin.astimezone(UTC) - evening.astimezone(UTC)


def _say(event: Event, title: str, notes: str) -> None:
    event.add("summary", _clean(title))
    if notes:
        event.add("description", _clean(notes))


def _clean(text: str) -> str:
    """The text without control characters, which no calendar text may hold; line ends stay."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(letter for letter in lines if letter == "\n" or (letter >= " " and letter != "\x7f"))
