"""Which entries count, and in which order things happened.

An entry counts unless a `Voided` that counts names it; so voiding a void brings back what it took away. Entries are in order of

1. the day they happened;
2. within the day, the time of day. An entry told without one is taken to have happened no earlier than the latest time already
   told for that day: "counted B at 8:00" and then, without a time, "2 died in B" are in the order they were told;
3. the order of telling (`Entry.order`).

What is set up on one day may have been there before: where something is told of an earlier day about a fish, a bought batch, a
place or a strain that was entered later ("added 4 females" on Monday, "female 4 holding since Saturday"), the setting up
is taken to come before it, though its own day stays as told.

One thing is said expressly: a loss told for a day that already has a count comes before that day's first count of the batch
(`Died.after_count` False) or after its last (True).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, time
from itertools import groupby
from operator import attrgetter

from core.events import (
    BatchJoined,
    Counted,
    Died,
    Entry,
    Event,
    Joined,
    PlaceAdded,
    Released,
    Split,
    StrainAdded,
    Stripped,
    Voided,
)
from core.fishroom.state import Fishroom

Position = tuple[date, time, int]
"""Day, time of day (the filled-in one) and order of an entry."""


def live(entries: Iterable[Entry]) -> list[Entry]:
    """The entries that count, in the order given, without the voids themselves."""
    everything = list(entries)
    voided = _voided(everything)
    if not voided:
        return everything
    return [entry for entry in everything if entry.number not in voided and type(entry.event) is not Voided]


def _voided(entries: Sequence[Entry]) -> set[int]:
    """Numbers of the entries that are taken back. A void only reaches back, so the last one is sure to count."""
    voids = sorted(((e.number, e.event.target) for e in entries if isinstance(e.event, Voided)), reverse=True)
    voided: set[int] = set()
    for number, target in voids:
        if number not in voided and target < number:
            voided.add(target)
    return voided | {number for number, _ in voids}


def astray(entries: Iterable[Entry]) -> list[Entry]:
    """Voids that name no earlier entry."""
    everything = list(entries)
    voids = [entry for entry in everything if isinstance(entry.event, Voided)]
    if not voids:
        return []
    numbers = {entry.number for entry in everything}
    return [e for e in voids if isinstance(e.event, Voided) and not (e.event.target in numbers and e.event.target < e.number)]


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """The entries in the order in which things happened."""
    found = list(entries)
    earlier = _there_before(found)
    if earlier:
        ordered = sorted(found, key=lambda entry: (*earlier.get(entry.number, (entry.on, 1)), entry.order))
    else:
        ordered = sorted(found, key=attrgetter("on", "order"))
    special = {entry.on for entry in ordered if entry.at is not None or _says_where(entry)}
    if not special:
        return ordered
    days = groupby(ordered, key=lambda entry: earlier[entry.number][0] if entry.number in earlier else entry.on)
    return [entry for on, day in days for entry in (_within_day(list(day)) if on in special else day)]


_NAMING = (
    "fish",
    "female",
    "male",
    "sire",
    "dam",
    "subject",
    "batch",
    "place",
    "to",
    "from_place",
    "hangs_in",
    "strain",
    "from_batch",
    "into",
)
"""Fields in which an event names something that was set up."""


def _sets_up(event: Event) -> str | None:
    """The id of what the event sets up from outside; fry of a brood are not set up, they are born."""
    match event:
        case Joined(fish=fish):
            return fish
        case BatchJoined(batch=batch):
            return batch
        case PlaceAdded(place=place):
            return place
        case StrainAdded(strain=strain):
            return strain
    return None


def _born(event: Event) -> str | None:
    """The batch that the event makes of fish that were here."""
    match event:
        case Stripped(batch=batch) | Released(batch=batch):
            return batch
        case Split(new=new):
            return new
    return None


_BIRTHS = (Stripped, Released, Split)
_SETTING_UP = (Joined, BatchJoined, PlaceAdded, StrainAdded)
SETTING_UP = (*_SETTING_UP, *_BIRTHS)
"""What may change the place of others in the order, or have its own place changed by them."""


def _there_before(entries: Sequence[Entry]) -> dict[int, tuple[date, int]]:
    """By number, the settings-up that are taken to come earlier than told: the day, and 0 to stand first in it."""
    set_up: dict[str, Entry] = {}
    for entry in entries:
        name = _sets_up(entry.event) if isinstance(entry.event, _SETTING_UP) else None
        if name is not None and (name not in set_up or (entry.on, entry.order) < (set_up[name].on, set_up[name].order)):
            set_up[name] = entry
    for entry in entries if set_up else ():
        known = set_up.get(_born(entry.event) or "") if isinstance(entry.event, _BIRTHS) else None
        if known is not None and (entry.on, entry.order) < (known.on, known.order):
            del set_up[_born(entry.event) or ""]  # the letter is that of fish born here before
    if not set_up:
        return {}
    last = max(entry.on for entry in set_up.values())
    days = {name: entry.on for name, entry in set_up.items()}
    moved: dict[int, tuple[date, int]] = {}
    early = [entry for entry in entries if entry.on < last or isinstance(entry.event, _SETTING_UP)]
    for _ in range(3):
        before = dict(days)
        for entry in early:
            own = _sets_up(entry.event)
            on = days[own] if own is not None and set_up.get(own) is entry else entry.on
            if on < last:
                _move_ahead(entry.event, own, on, days)
        if days == before:
            break
    for name, entry in set_up.items():
        if days[name] < entry.on:
            moved[entry.number] = (days[name], 0)
    return moved


def _move_ahead(event: Event, own: str | None, on: date, days: dict[str, date]) -> None:
    """Whatever the event names was there by `on`."""
    for field in _NAMING:
        name = getattr(event, field, None)
        if name is not None and name != own and name in days and on < days[name]:
            days[name] = on


def position_after(previous: Position | None, entry: Entry) -> Position:
    """Where an entry stands that was told after `previous` was."""
    latest = previous[1] if previous is not None and previous[0] == entry.on else time.min
    return entry.on, (latest if entry.at is None else entry.at.replace(tzinfo=None)), entry.order


def comes_last(room: Fishroom, entry: Entry) -> bool:
    """Whether the entry can simply be added to the state, since nothing that was told happened later."""
    if isinstance(entry.event, Voided) or (isinstance(entry.event, Died) and entry.event.after_count is False):
        return False
    if _sets_up(entry.event) is not None and any(one.on < entry.on for one in room.problems):
        return False  # what did not fit then may fit once this is known to have been there
    if room.position is None or entry.on > room.position[0]:
        return True
    # told anew in an earlier place, a time of day may be that of others of the day, which are told without one
    return entry.order > room.position[2] and position_after(room.position, entry) > room.position


def _within_day(day: list[Entry]) -> list[Entry]:
    positions: list[tuple[time, int, Entry]] = []
    latest = time.min
    for entry in day:
        at = latest if entry.at is None else entry.at.replace(tzinfo=None)
        latest = max(latest, at)
        positions.append((at, entry.order, entry))
    ordered = [entry for _, _, entry in sorted(positions, key=lambda position: position[:2])]
    for entry in [entry for entry in ordered if _says_where(entry)]:
        _put_beside_count(ordered, entry)
    return ordered


def _says_where(entry: Entry) -> bool:
    return isinstance(entry.event, Died) and entry.event.after_count is not None


def _put_beside_count(day: list[Entry], loss: Entry) -> None:
    """Moves the loss before the day's first count of its batch, or after the last, where it is not there already."""
    died = loss.event
    assert isinstance(died, Died)  # noqa: S101 - only losses say where they belong
    counts = [i for i, e in enumerate(day) if isinstance(e.event, Counted) and died.batch in (None, e.event.batch)]
    here = day.index(loss)
    if counts and not died.after_count and here > counts[0]:
        day.insert(counts[0], day.pop(here))
    elif counts and died.after_count and here < counts[-1]:
        day.insert(counts[-1], day.pop(here))
