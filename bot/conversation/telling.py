"""Whom a recorded entry concerns besides its writer, and what they are told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from bot.conversation.handing_over import contact, in_calendar
from bot.conversation.message import Attachment, Button, Reply
from bot.conversation.scene import Scene, style_of
from bot.conversation.sending import send
from bot.replies import naming, notices, recorded, watering
from bot.replies.words import Style
from core import events as e
from core.biology.water import Urgency
from core.club import Recorded
from core.events import Entry
from core.fishroom.state import Fishroom, Reservation
from core.planning.water_verdict import water_verdict

Rows = tuple[tuple[Button, ...], ...]


def tell_others(scene: Scene, done: Recorded) -> None:
    """Put a notice to everybody whom an entry concerns into the deliveries."""
    for entry in done.entries:
        kind, _, room_id = entry.stream.partition(":")
        if kind != "fishroom":
            continue
        room = scene.visit.room(room_id)
        handler = TELL.get(type(entry.event))
        if handler is not None and not told_with_the_yes(entry, room, done.entries):
            handler(scene, entry, room)


def told_with_the_yes(entry: Entry, room: Fishroom, entries: Iterable[Entry]) -> bool:
    """Whether the entry settles the day of a reservation that the same message confirms: that notice names the day already."""
    if not isinstance(entry.event, e.PickupSet | e.PickupAgreed):
        return False
    found = found_in(entry, room)
    confirmed = {one.event.reservation for one in entries if isinstance(one.event, e.Confirmed)}
    return found is not None and found.proposed is None and found.number in confirmed


def notice(scene: Scene, person: str, entry: Entry, text: str, rows: Rows = (), files: tuple[Attachment, ...] = ()) -> None:
    """A notice to one person, unless they wrote it themselves."""
    if person != scene.person.id:
        send(
            scene.visit,
            scene.club,
            person,
            f"notice:{entry.stream}:{entry.number}:{person}",
            "notice",
            Reply(text, rows, files),
            scene.now,
        )


def to_keepers(
    scene: Scene, entry: Entry, room: Fishroom, text: str, make: Callable[[str], Rows] | None = None, about: Reservation | None = None
) -> None:
    """The same notice to every keeper of the fishroom; about a reservation with whom to reach and the calendar entry."""
    for keeper in scene.visit.keepers(room.id):
        if keeper != scene.person.id:
            told, files = with_papers(scene, room, about, keeper, text, entry) if about else (text, ())
            notice(scene, keeper, entry, told, make(keeper) if make else (), files)


def to_buyer(scene: Scene, entry: Entry, room: Fishroom, found: Reservation, text: str, rows: Rows = ()) -> None:
    """A notice to the reservation's member, with whom to reach and the calendar entry."""
    if found.member != scene.person.id:
        told, files = with_papers(scene, room, found, found.member, text, entry)
        notice(scene, found.member, entry, told, rows, files)


DATED = (e.Reserved, e.Confirmed, e.PickupSet, e.PickupAgreed, e.Cancelled, e.Declined, e.NoShow)
"""After these the calendar entry of a pickup is new, or changed."""
SETTLED = (e.Reserved, e.Confirmed)
"""After these the two sides get to know how to reach each other."""


def with_papers(
    scene: Scene, room: Fishroom, found: Reservation, person: str, text: str, entry: Entry
) -> tuple[str, tuple[Attachment, ...]]:
    """The text with the other side's contact, and the calendar entry, where the event asks for them."""
    event = entry.event
    reach = contact(scene.visit, room, found, person) if isinstance(event, SETTLED) else ""
    dated = isinstance(event, DATED) and not (isinstance(event, e.PickupSet) and event.proposed_by) and found.status != "unconfirmed"
    files = (
        in_calendar(scene.visit, scene.club, room, found, person, scene.now, _style(scene, person)) if dated and found.pickup else ()
    )
    return "\n".join(part for part in (text, reach) if part), files


def act(scene: Scene, person: str, room: Fishroom, label: str, kind: str, **slots: Any) -> Button:
    """A button for another person that records one thing."""
    return scene.button(label, {"do": "record", "items": [{"kind": kind, "slots": slots}], "room": room.id}, person=person)


def found_in(entry: Entry, room: Fishroom) -> Reservation | None:
    """The reservation an entry is about, as it is now."""
    number = getattr(entry.event, "reservation", None)
    return room.reservations.get(number) if number is not None else None


def _style(scene: Scene, person: str) -> Style:
    return style_of(scene.visit, scene.club, scene.today, scene.visit.person(person))


def _reserved(scene: Scene, entry: Entry, room: Fishroom) -> None:
    found = found_in(entry, room)
    if found is None:
        return
    number = str(found.number)
    buyer = scene.members.get(found.member, "Somebody")

    def rows(keeper: str) -> Rows:
        if found.status != "unconfirmed":
            return ()
        return (
            (
                act(scene, keeper, room, "Confirm", "confirmed", reservation=number),
                act(scene, keeper, room, "Decline", "declined", reservation=number),
            ),
        )

    to_keepers(scene, entry, room, notices.reserved_for_keeper(found, room, buyer, scene.style), rows, found)
    to_buyer(
        scene, entry, room, found, notices.reserved_for_buyer(found, room, keeper_of(scene, room), _style(scene, found.member))
    )


def whose(scene: Scene, room: Fishroom, person: str) -> str:
    """The keeper's name for somebody who does not keep the fishroom; empty for whoever does, and for the club's own entries."""
    return "" if not room.id or scene.visit.is_keeper(person, room.id) else scene.visit.keeper_name(room.id)


def keeper_of(scene: Scene, room: Fishroom) -> str:
    """The keeper's name."""
    return scene.visit.keeper_name(room.id)


def _state(scene: Scene, entry: Entry, room: Fishroom) -> None:
    """Confirmed, declined, cancelled, no-show, changed: the other side hears of it."""
    found = found_in(entry, room)
    if found is None:
        return
    keeper = keeper_of(scene, room)
    to_buyer(scene, entry, room, found, notices.state_for_buyer(entry.event, found, room, keeper, _style(scene, found.member)))
    buyer = scene.members.get(found.member, "The buyer")
    to_keepers(scene, entry, room, notices.state_for_keeper(entry.event, found, room, buyer, scene.style), about=found)


def _pickup(scene: Scene, entry: Entry, room: Fishroom) -> None:
    found = found_in(entry, room)
    if found is None:
        return
    number = str(found.number)

    def rows(person: str) -> Rows:
        if found.proposed is None:
            return ()
        return (
            (
                act(scene, person, room, "That suits", "pickup_agreed", reservation=number),
                act(scene, person, room, "Not then", "pickup_refused", reservation=number),
            ),
        )

    who = scene.person.name
    buyer_rows = rows(found.member) if found.member != scene.person.id else ()
    to_buyer(scene, entry, room, found, notices.pickup(entry.event, found, room, who, _style(scene, found.member)), buyer_rows)
    of_buyer = found.proposed is not None and found.proposed[2] == found.member
    to_keepers(scene, entry, room, notices.pickup(entry.event, found, room, who, scene.style), rows if of_buyer else None, found)


def _left(scene: Scene, entry: Entry, room: Fishroom) -> None:
    event: Any = entry.event
    if event.member:
        called = _called_there(scene, event.to_room, f"{room.id}/{event.fish}") if event.to_room else None
        notice(scene, event.member, entry, notices.fish_came(event, room, keeper_of(scene, room), called))


def _called_there(scene: Scene, room_id: str, formerly: str) -> str | None:
    """The name that a fish has in the fishroom it came to."""
    there = scene.visit.room(room_id).fish.values()
    return next((naming.fish_name(fish) for fish in there if fish.formerly == formerly), None)


def _away(scene: Scene, entry: Entry, room: Fishroom) -> None:
    """The sitter hears of it at once; the daily list comes while it lasts."""
    event: Any = entry.event
    if event.sitter:
        notice(scene, event.sitter, entry, notices.asked_to_sit(event, keeper_of(scene, room), _style(scene, event.sitter)))


def _taken_back(scene: Scene, entry: Entry, room: Fishroom) -> None:
    """An absence, or what was decided about a reservation, is taken back (or put back): the sitter, the other side hear of it."""
    meant = scene.visit.meant(entry)
    again = scene.visit.tx.journal.is_live(meant)
    event = meant.event
    if isinstance(event, e.Away) and event.sitter:
        word = notices.asked_to_sit if again else notices.not_to_sit
        notice(scene, event.sitter, entry, word(event, keeper_of(scene, room), _style(scene, event.sitter)))
    elif type(event) in ABOUT_RESERVATIONS:
        found = found_in(meant, room)
        buyer = event.member if isinstance(event, e.Reserved) else found.member if found else None
        for person in [*([buyer] if buyer else []), *(one for one in scene.visit.keepers(room.id) if one != buyer)]:
            line = recorded.line(meant, recorded.Scene(room, _style(scene, person), scene.members, {}, whose=whose(scene, room, person)))
            notice(scene, person, entry, notices.turned(scene.person.name, line, found, again=again))


def tell_of_replaced(scene: Scene, replaced: Iterable[Entry], done: Recorded) -> None:
    """An edited message no longer says what somebody was told of a reservation: they hear of that too.

    Where the same is said again of it, or the reservation was cancelled by it, the new notice tells enough.
    """
    said = {_whose(entry) for entry in done.entries}
    cancelled = {_whose(entry)[1:3] for entry in done.entries if isinstance(entry.event, e.Cancelled)}
    for entry in replaced:
        if type(entry.event) not in ABOUT_RESERVATIONS or _whose(entry) in said or _whose(entry)[1:3] in cancelled:
            continue
        room = scene.visit.room(entry.stream.partition(":")[2])
        found = found_in(entry, room)
        buyer = entry.event.member if isinstance(entry.event, e.Reserved) else found.member if found else None
        stands = found if found is not None and found.member == buyer else None
        for person in dict.fromkeys([*([buyer] if buyer else []), *scene.visit.keepers(room.id)]):
            if person != scene.person.id:
                line = recorded.line(entry, recorded.Scene(room, _style(scene, person), scene.members, {}, whose=whose(scene, room, person)))
                text = notices.turned(scene.person.name, line, stands, again=False)
                key = f"replaced:{entry.stream}:{entry.number}:{person}"
                send(scene.visit, scene.club, person, key, "notice", Reply(text), scene.now)


def _whose(entry: Entry) -> tuple[object, ...]:
    """What kind of thing is said of which reservation, and for whom."""
    event = entry.event
    return type(event), entry.stream, getattr(event, "reservation", None), getattr(event, "member", None)


ABOUT_RESERVATIONS = frozenset({
    e.Reserved, e.Confirmed, e.Declined, e.Cancelled, e.NoShow, e.ReservationChanged, e.PickupSet, e.PickupAgreed, e.PickupRefused,
})  # fmt: skip
"""What one side decided and the other was told of."""


def _died(scene: Scene, entry: Entry, room: Fishroom) -> None:
    """Deaths that a sitter finds are told to the keepers."""
    if not scene.visit.is_keeper(scene.person.id, room.id):
        for keeper in scene.visit.keepers(room.id):
            line = recorded.line(entry, recorded.Scene(room, _style(scene, keeper), scene.members, {}))
            notice(scene, keeper, entry, notices.found_by(scene.person.name, line))


def _tested(scene: Scene, entry: Entry, room: Fishroom) -> None:
    """Dangerous water is told at once to every keeper who did not test it, at any hour."""
    event: Any = entry.event
    found = water_verdict(room, event.place, scene.today)
    if found is None or found.assessment.urgency is not Urgency.NOW:
        return
    for keeper in scene.visit.keepers(room.id):
        if keeper != scene.person.id:
            text = notices.found_by(scene.person.name, "\n".join(watering.verdict(found, _style(scene, keeper))))
            key = f"water:{entry.stream}:{entry.number}:{keeper}"
            send(scene.visit, scene.club, keeper, key, "alert", Reply(text), scene.now, urgent=True)


TELL: Mapping[type[e.Event], Callable[[Scene, Entry, Fishroom], None]] = {
    e.Reserved: _reserved,
    e.Confirmed: _state,
    e.Declined: _state,
    e.Cancelled: _state,
    e.NoShow: _state,
    e.ReservationChanged: _state,
    e.PickupSet: _pickup,
    e.PickupAgreed: _pickup,
    e.PickupRefused: _pickup,
    e.Left: _left,
    e.Away: _away,
    e.Voided: _taken_back,
    e.Died: _died,
    e.WaterTested: _tested,
}
