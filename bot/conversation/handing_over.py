"""The papers of a pickup: a packing list and bag labels for the keeper, a calendar entry for each side, and whom to reach how.

A contact is shown to the other side of a confirmed reservation only.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import partial
from typing import Any

from bot.conversation.message import Attachment, Drawing, Reply
from bot.conversation.scene import Scene
from bot.pictures import calendar, packing, parcels
from bot.replies import food as food_words
from bot.replies import naming
from bot.replies import papers as words
from bot.replies.words import Style
from core.biology.transport import Bags
from core.club import Visit
from core.club.contacts import other_side
from core.fishroom.state import Fishroom, Reservation
from core.planning import kin
from core.planning.pickup_tasks import packing as packed
from core.planning.rations import batch_ration
from core.store.clubs import Club

PDF, CALENDAR = "application/pdf", "text/calendar"


def meeting(visit: Visit, club: Club, room: Fishroom, one: Reservation, today: date, style: Style) -> parcels.Pickup:
    """What is handed over at a pickup, with everything that its papers say."""
    batch = room.batches[one.batch]
    day = one.pickup or today
    bags = packed(room, one, day).bags
    parcel = parcels.parcel_of(
        room,
        one,
        today,
        kinship=kin.of_batch(kin.kinship_of(visit.rooms_of_club(club.id)), room, batch),
        packed=bags if isinstance(bags, Bags) else None,
        food=food_words.usual_food(batch_ration(room, batch, today), style),
    )
    buyer = visit.names(club.id).get(one.member, "")
    return parcels.Pickup(club.name, visit.keeper_name(room.id), buyer, day, one.at, (parcel,))


def keepers_papers(visit: Visit, club: Club, room: Fishroom, one: Reservation, today: date, style: Style) -> tuple[Drawing, ...]:
    """The packing list and a label for each bag, still to be drawn."""
    found = meeting(visit, club, room, one, today, style)
    return (
        Drawing(f"packing-list-{one.number}.pdf", PDF, partial(packing.draw_packing_list, found, style.units, style.dates)),
        Drawing(f"bag-labels-{one.number}.pdf", PDF, partial(packing.draw_bag_labels, found, style.units, style.dates)),
    )


def in_calendar(
    visit: Visit, club: Club, room: Fishroom, one: Reservation, person: str, now: datetime, style: Style
) -> tuple[Attachment, ...]:
    """The pickup for the person's own calendar, as it stands now; nothing where no day was agreed."""
    day = pickup_day(visit, club, room, one, person, now, style)
    if day is None:
        return ()
    return (Attachment(f"pickup-{one.number}.ics", CALENDAR, calendar.pickup_calendar([day], club.name)),)


def pickup_day(
    visit: Visit, club: Club, room: Fishroom, one: Reservation, person: str, now: datetime, style: Style
) -> calendar.PickupDay | None:
    """The pickup as it stands in the person's calendar; None where no day was agreed."""
    buyer, keeper = visit.names(club.id).get(one.member, ""), visit.keeper_name(room.id)
    mine = person == one.member
    return calendar.pickup_day_of(
        one,
        club=club.id,
        title=words.pickup_title(one, naming.label(one.batch), keeper if mine else buyer, mine=mine),
        zone=visit.person(person).zone or club.zone,
        changed=now,
        where=keeper,
        notes=words.what_to_bring(style) if mine else "",
    )


def calendar_of_all(scene: Scene, found: object) -> list[Reply]:
    """ "calendar": every pickup that is agreed, the reader's own and those in the fishrooms they keep, in one file."""
    visit, club, me = scene.visit, scene.club, scene.person.id
    days = [
        day
        for room in visit.rooms_of_club(club.id)
        for one in room.reservations.values()
        if one.open_at(scene.now)
        and one.left
        and one.pickup is not None
        and one.pickup >= scene.today
        and (one.member == me or visit.is_keeper(me, room.id))
        if (day := pickup_day(visit, club, room, one, me, scene.now, scene.style)) is not None
    ]
    ready = [day for room in visit.rooms_of_club(club.id) if visit.is_keeper(me, room.id) for day in _ready_days(scene, room)]
    if not days and not ready:
        return [Reply(words.NO_PICKUPS)]
    files = [Attachment("pickups.ics", CALENDAR, calendar.pickup_calendar(days, club.name))] if days else []
    files += [Attachment("ready-days.ics", CALENDAR, calendar.ready_calendar(ready, club.name))] if ready else []
    return [Reply(words.calendar(len(days), len(ready)), attachments=tuple(files))]


def _ready_days(scene: Scene, room: Fishroom) -> list[calendar.ReadyDay]:
    """The days on which the room's batches are likely to be ready, of those that still swim there."""
    swimming = [batch for batch in room.batches.values() if batch.count]
    titles = {batch.id: words.ready_title(naming.label(batch.id), naming.strain(room, batch.strain)) for batch in swimming}
    found = (calendar.ready_day_of(room, batch, scene.today, titles[batch.id], scene.now) for batch in swimming)
    return [day for day in found if day is not None]


def papers(scene: Scene, found: Any) -> list[Reply]:
    """ "papers for #12": the packing list, bag labels and the calendar entry; a buyer gets the calendar entry."""
    number = int(found["number"])
    room_id = scene.visit.room_of_reservation(scene.club.id, number)
    room = scene.visit.room(room_id) if room_id else None
    one = room.reservations[number] if room else None
    keeps = room_id is not None and scene.visit.is_keeper(scene.person.id, room_id)
    if room is None or one is None or not (keeps or one.member == scene.person.id):
        return [Reply(words.no_reservation(number))]
    if not one.open_at(scene.now) or one.batch not in room.batches:
        return [Reply(words.over(number))]
    dates = in_calendar(scene.visit, scene.club, room, one, scene.person.id, scene.now, scene.style)
    sheets = keepers_papers(scene.visit, scene.club, room, one, scene.today, scene.style) if keeps else ()
    text = words.for_keeper(number, dated=bool(dates)) if keeps else words.for_buyer(number, dated=bool(dates))
    reach = contact(scene.visit, room, one, scene.person.id)
    return [Reply("\n".join(part for part in (text, reach) if part), attachments=dates, drawings=sheets)]


def contact(visit: Visit, room: Fishroom, one: Reservation, person: str) -> str:
    """How the reader reaches the other side of a confirmed reservation; empty where nothing is known, or it is not confirmed."""
    known = other_side(visit, room, one, person)
    return words.reach(known.name, known.contact) if known and known.contact else ""
