"""Recording: may this person do it, does it fit, then append; and taking back, which is recording too.

Facts are never refused: what happened in the water is recorded even where it breaks a promise. Decisions are checked against the
state with them added, and refused with the reason.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from core.club.decisions import (
    ABOUT_PROMISES,
    CHECKS,
    Objection,
    objection,
    objection_to_replacing,
    objection_to_undoing,
    with_asked,
)
from core.club.permissions import Area, area_of, may
from core.club.visit import MovedOnError, Visit
from core.events import (
    Cancelled,
    Entry,
    Event,
    Fed,
    Noted,
    PersonId,
    Photographed,
    Reserved,
    Source,
    StreamId,
    TaskDone,
    TaskDropped,
    TaskLater,
    Voided,
    Wanted,
    WaterChanged,
    WaterTested,
    WishAnswered,
)
from core.fishroom.choices import level_of
from core.fishroom.club import bring_up_club
from core.fishroom.replay import apply
from core.fishroom.state import Fishroom
from core.planning.promises import Now
from core.store.journal import NewEntry

A_SLIP = timedelta(hours=12)
"""So long after a decision it can be taken back as a slip, if nothing was told since that promises or fish depend on."""
BESIDE = (Fed, WaterTested, WaterChanged, Noted, Photographed, TaskDone, TaskLater, TaskDropped)
"""What is told of a fishroom without a word on how many fish there are, or for whom."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """An event that somebody wants recorded in a stream, on a day (and at a time) of theirs."""

    stream: StreamId
    event: Event
    on: date
    at: time | None = None
    received: bool = False
    """Part of a giving by somebody who may give: a fish that changes hands is one append to two streams."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded, and the fishrooms concerned as they were before."""

    entries: tuple[Entry, ...]
    before: Mapping[str, Fishroom] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Refused:
    """Not recorded: "not_allowed" with the area, or what a decision's check objected."""

    why: str
    area: Area | None = None
    objection: Objection | None = None


def record(
    visit: Visit,
    person: PersonId,
    club_id: str,
    proposals: Sequence[Proposal],
    *,
    source: Source | None,
    told: datetime,
    today: date,
    texts: Mapping[str, str] | None = None,
    replaces: Iterable[Entry] = (),
) -> Recorded | Refused:
    """Record the proposals, all or none, in place of the entries they replace (which keep their place in the order of telling)."""
    replaced = sorted(replaces, key=lambda entry: (entry.stream, entry.number))
    streams = sorted({proposal.stream for proposal in proposals} | {entry.stream for entry in replaced})
    if (refused := _not_allowed(visit, person, club_id, proposals, today)) is not None:
        return refused
    _lock(visit, streams)
    before = {stream: visit.room(name) for stream in streams if (name := _room_id(stream))}
    if (refused := _objected(visit, person, club_id, proposals, replaced, told, today)) is not None:
        return refused
    entries: list[Entry] = []
    kept = {proposal.event.reservation for proposal in proposals if isinstance(proposal.event, Reserved)}
    for stream in streams:
        old = [entry for entry in replaced if entry.stream == stream]
        drafts = [NewEntry(_replacing(visit, entry, person, kept), today, told, person, source=source) for entry in old]
        order = old[0].order if old else None
        drafts += [
            NewEntry(proposal.event, proposal.on, told, person, proposal.at, source, order)
            for proposal in proposals
            if proposal.stream == stream
        ]
        entries += _append(visit, stream, drafts, texts if not entries else None)
    return Recorded(tuple(entry for entry in entries if not isinstance(entry.event, Voided)), _by_room(before))


def _not_allowed(visit: Visit, person: PersonId, club_id: str, proposals: Iterable[Proposal], today: date) -> Refused | None:
    for proposal in proposals:
        area = area_of(proposal.event, own=_own(visit, person, proposal))
        standings = visit.standings(person, club_id, _room_id(proposal.stream), today)
        if not proposal.received and not may(standings, area):
            return Refused("not_allowed", area=area)
    return None


def _objected(
    visit: Visit,
    person: PersonId,
    club_id: str,
    proposals: Sequence[Proposal],
    replaced: Sequence[Entry],
    told: datetime,
    today: date,
) -> Refused | None:
    """The first objection, each proposal checked against the state with those before it in it (and what it replaces out of it)."""
    undone = {entry.stream for entry in replaced if isinstance(entry.event, ABOUT_PROMISES)}
    if not undone and not any(type(proposal.event) in CHECKS for proposal in proposals):
        return None  # facts alone: nothing to copy a fishroom for
    scratch: dict[StreamId, Fishroom] = {}
    club = visit.club(club_id)
    now = Now(today, told, level_of(club))
    for proposal in proposals:
        name = _room_id(proposal.stream)
        if name is None:
            continue
        if proposal.stream not in scratch:
            scratch[proposal.stream] = _without(visit, name, replaced).fork()
        room = scratch[proposal.stream]
        found = objection(room, club, proposal.event, now, person, by_keeper=visit.is_keeper(person, room.id))
        if found is not None:
            return Refused("does_not_fit", objection=found)
        _live(room, proposal, told, person)
    for stream in sorted(undone):
        room = _without(visit, stream.partition(":")[2], replaced)
        said = {getattr(proposal.event, "reservation", 0) for proposal in proposals if proposal.stream == stream}
        found = objection_to_replacing(
            visit.room(room.id), room, scratch.get(stream, room), said, now, by_keeper=visit.is_keeper(person, room.id)
        )
        if found is not None:
            return Refused("does_not_fit", objection=found)
    return None


def _without(visit: Visit, room_id: str, replaced: Iterable[Entry]) -> Fishroom:
    """The fishroom as if what is replaced in it had not been said."""
    gone = {entry.number for entry in replaced if entry.stream == f"fishroom:{room_id}"}
    return visit.room_without(room_id, gone) if gone else visit.room(room_id)


def take_back(
    visit: Visit, person: PersonId, club_id: str, entries: Sequence[Entry], *, source: Source | None, told: datetime, today: date
) -> Recorded | Refused:
    """Take back a message of the person, whole: its entries count as never said. A reservation that binds is cancelled instead.

    Applied to the entries of a taking back it restores what they took back. Only the writer, or a keeper of the fishroom, may.
    """
    for entry in entries:
        room_id = _room_id(entry.stream)
        keeper = room_id is not None and visit.is_keeper(person, room_id)
        if entry.by != person and not keeper:
            return Refused("not_yours")
    streams = sorted({entry.stream for entry in entries})
    _lock(visit, streams)
    before = {stream: visit.room(room) for stream in streams if (room := _room_id(stream))}
    undoing: dict[StreamId, list[NewEntry]] = {}
    for stream in streams:
        mine = sorted((entry for entry in entries if entry.stream == stream), key=lambda entry: -entry.number)
        undoing[stream] = [NewEntry(_undoing(visit, entry, person), today, told, person, source=source) for entry in mine]
    now = Now(today, told, level_of(visit.club(club_id)))
    for stream, seen in before.items():
        if not any(isinstance(entry.event, (*ABOUT_PROMISES, Voided)) for entry in entries if entry.stream == stream):
            continue
        held = with_asked(seen, visit.club(club_id), person, now)
        found = _not_to_be_undone(visit, seen, held, undoing[stream], now, by_keeper=visit.is_keeper(person, seen.id))
        if found is not None:
            return Refused("does_not_fit", objection=found)
    written: list[Entry] = []
    for stream in streams:
        written += _append(visit, stream, undoing[stream], None)
    return Recorded(tuple(written), _by_room(before))


def _not_to_be_undone(
    visit: Visit, room: Fishroom, held: Fishroom, undoing: Iterable[NewEntry], now: Now, *, by_keeper: bool
) -> Objection | None:
    """What speaks against taking these back. Facts can always be taken back; a decision that would promise fish again must fit.

    `held` is the fishroom with the fish that somebody on the wanted list is just being asked about held for them.
    """
    stream = f"fishroom:{room.id}"
    voids = [one.event.target for one in undoing if isinstance(one.event, Voided)]
    if not any(isinstance(visit.meant(visit.tx.journal.entry(stream, target)).event, ABOUT_PROMISES) for target in voids):
        return None
    told = visit.tx.journal.entry(stream, max(voids)).told
    since = visit.tx.journal.entries(stream, after=max(voids))
    if held is room and now.moment - told <= A_SLIP and all(isinstance(visit.meant(entry).event, BESIDE) for entry in since):
        return None  # a slip put right before anything else came of it brings back what was, no more
    return objection_to_undoing(held, visit.room_without(room.id, voids), now, by_keeper=by_keeper)


def append_by_house(visit: Visit, person: PersonId, proposals: Sequence[Proposal], told: datetime) -> list[Entry]:
    """Record what the house itself does on a person's behalf (asking the next on the waiting list); no decision of theirs."""
    streams = sorted({proposal.stream for proposal in proposals})
    _lock(visit, streams)
    entries: list[Entry] = []
    for stream in streams:
        drafts = [NewEntry(one.event, one.on, told, person, one.at) for one in proposals if one.stream == stream]
        entries += _append(visit, stream, drafts, None)
    return entries


def _undoing(visit: Visit, entry: Entry, person: PersonId) -> Event:
    room_id = _room_id(entry.stream)
    if isinstance(entry.event, Reserved) and room_id is not None:
        found = visit.room(room_id).reservations.get(entry.event.reservation)
        if found is not None and found.status == "confirmed":
            return Cancelled(found.number, "buyer" if found.member == person else "keeper")
    return Voided(entry.number)


def _replacing(visit: Visit, entry: Entry, person: PersonId, kept: Container[int]) -> Event:
    """What undoes an entry of a message that was edited; a reservation that is `kept` under its number goes on as it was told now."""
    again = isinstance(entry.event, Reserved) and entry.event.reservation in kept
    return Voided(entry.number) if again else _undoing(visit, entry, person)


def _lock(visit: Visit, streams: Sequence[StreamId]) -> None:
    """Lock the heads, and make sure that what was looked at is still so."""
    for stream, head in visit.tx.journal.lock(streams).items():
        if visit.head(stream) != head:
            raise MovedOnError(stream)


def _append(visit: Visit, stream: StreamId, drafts: Sequence[NewEntry], texts: Mapping[str, str] | None) -> list[Entry]:
    entries: list[Entry] = visit.tx.journal.append(stream, drafts, texts)
    visit.numbered |= {number for draft in drafts if (number := _number_of(draft.event))}
    kind, _, name = stream.partition(":")
    if kind == "fishroom":
        visit.written.add(name)
        visit.rooms[name] = visit.taking_in(visit.room(name), entries)
    else:
        visit.clubs[name] = bring_up_club(visit.club(name), entries, lambda: visit.tx.journal.entries(stream))
    return entries


def _number_of(event: Event) -> tuple[str, int] | None:
    """The number of the club that an event gives away, with its counter."""
    match event:
        case Reserved(reservation=number):
            return "reservation", number
        case Wanted(wish=number):
            return "wish", number
    return None


def _live(room: Fishroom, proposal: Proposal, told: datetime, person: PersonId) -> None:
    number = room.number + 1
    apply(room, Entry(proposal.stream, number, proposal.event, proposal.on, told, person, proposal.at, None, number))
    room.number = number


def _own(visit: Visit, person: PersonId, proposal: Proposal) -> bool:
    """Whether the reservation or wish that the event is about is the person's own; what is about neither counts as own."""
    kind, _, name = proposal.stream.partition(":")
    match proposal.event:
        case Reserved(member=member) | Wanted(member=member):
            return member == person
        case WishAnswered(wish=answered):
            wish = visit.club(name).wishes.get(answered)
            return wish is not None and wish.member == person
    number = getattr(proposal.event, "reservation", None)
    if number is None or kind != "fishroom":
        return True
    found = visit.room(name).reservations.get(number)
    return found is not None and found.member == person


def _room_id(stream: StreamId) -> str | None:
    kind, _, name = stream.partition(":")
    return name if kind == "fishroom" else None


def _by_room(before: Mapping[StreamId, Fishroom]) -> dict[str, Fishroom]:
    return {room.id: room for room in before.values()}
