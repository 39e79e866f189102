"""A keeper's board: places as they stand in the room, who is holding and on which day, batches with their growth, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import quote

from bot.replies import naming
from bot.replies.words import Style, by_sex, capital, counted, days_long
from core.fishroom.state import Batch, Fish, Fishroom, Place

Facts = tuple[tuple[str, str], ...]
_ORDER = {"tank": 0, "tub": 1, "pond": 2, "box": 3}


@dataclass(frozen=True, slots=True)
class DueRow:
    """A care task: when, where, and what in the member's words; `urgent`: it must be now."""

    when: str
    place: str
    what: str
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class HoldingRow:
    """A female that carries: the day she is on, and when she may be stripped."""

    female: str
    day: str
    place: str
    strip: str


@dataclass(frozen=True, slots=True)
class BatchRow:
    """A batch with (term, words): its number, place, age, size, when it is saleable, and what of it is promised."""

    batch: str
    strain: str
    facts: Facts


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A place with a line for everything in it, and the boxes that hang in it."""

    name: str
    type: str
    about: str
    address: str
    lines: tuple[str, ...]
    boxes: tuple[PlaceRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Board:
    """Everything on the board of one fishroom, worded."""

    room: str
    lead: str
    due: tuple[DueRow, ...]
    holding: tuple[HoldingRow, ...]
    batches: tuple[BatchRow, ...]
    places: tuple[PlaceRow, ...]
    nothing_due: str = "Nothing is due this week."
    nobody_holds: str = "Nobody is holding."
    no_batches: str = "No young fish are in the book."
    no_places: str = "No place is in the book yet. Write “new tank 1” with its size and warmth in the log."


@dataclass(frozen=True, slots=True)
class Told:
    """What is reckoned elsewhere and shown here: per female the strip day, per batch what is expected of it, and the tasks."""

    due: Sequence[DueRow] = ()
    strips: Mapping[str, str] | None = None
    ahead: Mapping[str, Facts] | None = None


def board_of(room: Fishroom, name: str, style: Style, moment: datetime, told: Told) -> Board:
    """The board of a fishroom as it stands on the reader's day."""
    holding = tuple(_holding(room, female, style, told.strips or {}) for female in room.holding)
    batches = tuple(
        _batch(room, batch, style, moment, told.ahead or {})
        for batch in sorted(room.live_batches(), key=lambda batch: (len(batch.label), batch.label))
    )
    fish = sum(batch.count for batch in room.live_batches())
    breeders = sum(found.alive_here for found in room.fish.values())
    lead = f"{capital(style.day(style.today))}: {counted(breeders, 'breeder')}, {counted(fish, 'young fish', 'young fish')}."
    return Board(name, lead, tuple(told.due), holding, batches, _places(room, style))


def _holding(room: Fishroom, female: str, style: Style, strips: Mapping[str, str]) -> HoldingRow:
    brood = room.brood_of(female)
    since = brood.since if brood else None
    day = f"day {(style.today - since).days}, since {style.day(since)}" if since else "not known since when"
    return HoldingRow(naming.fish(room, female), day, _placed(room.fish[female].place), strips.get(female, ""))


def _batch(room: Fishroom, batch: Batch, style: Style, moment: datetime, ahead: Mapping[str, Facts]) -> BatchRow:
    promised = sum(one.left for one in room.reservations.values() if one.batch == batch.id and one.open_at(moment))
    sexed = batch.count_of("male") or batch.count_of("female")
    split = f" ({by_sex(batch.count_of('male'), batch.count_of('female'), batch.count_of('unsexed'))})" if sexed else ""
    facts = (
        ("Number", f"{'about ' if batch.approx else ''}{batch.count}{split}"),
        ("Where", ", ".join(batch.places) or "no place told"),
        ("Age" if batch.spawned else "Here for", _age(batch, style.today)),
        *ahead.get(batch.id, ()),
        ("Measured", _measured(batch, style)),
        ("Promised", str(promised) if promised else "none"),
    )
    return BatchRow(batch.label, naming.kind_of_batch(room, batch), facts)


def _age(batch: Batch, today: date) -> str:
    since = batch.spawned or batch.began
    days = (today - since).days
    return days_long(days) if days < 70 else f"{days // 7} weeks"


def _measured(batch: Batch, style: Style) -> str:
    if not batch.measurements:
        return "never"
    last = batch.measurements[-1]
    mean = last.mean_mm if last.mean_mm is not None else sum(last.lengths) / len(last.lengths) if last.lengths else None
    return f"{style.length(mean)} on {style.day(last.on)}" if mean is not None else "never"


def _places(room: Fishroom, style: Style) -> tuple[PlaceRow, ...]:
    live = [place for place in room.places.values() if not place.retired]
    known = {place.name for place in live}
    standing = [place for place in live if place.hangs_in is None or place.hangs_in not in known]
    boxes = {place.name: [box for box in live if box.hangs_in == place.name] for place in standing}
    ordered = sorted(standing, key=lambda place: (_ORDER[place.type], _natural(place.name)))
    return tuple(_place(room, place, style, boxes[place.name]) for place in ordered)


def _place(room: Fishroom, place: Place, style: Style, boxes: Sequence[Place] = ()) -> PlaceRow:
    lines = [naming.fish_name(found) + _carrying(room, found.id, style) for found in _in_order(room.fish_in(place.name))]
    for batch in room.batches_in(place.name):
        here = sum(group.count for group in batch.groups if group.place == place.name)
        lines.append(f"{naming.batch(room, batch.id)}: {here} {naming.kind_of_batch(room, batch)}")
    about = [
        style.volume(place.litres) if place.litres else "",
        style.temperature(place.temp_c) if place.temp_c is not None else "",
    ]
    address = f"/at/{quote(room.id, safe='')}/{quote(place.name, safe='')}"
    inside = tuple(_place(room, box, style) for box in sorted(boxes, key=lambda box: _natural(box.name)))
    return PlaceRow(capital(place.name), place.type, ", ".join(each for each in about if each), address, tuple(lines), inside)


def _in_order(fish: Iterable[Fish]) -> list[Fish]:
    return sorted(fish, key=lambda one: (one.sex, _natural(one.label)))


def _carrying(room: Fishroom, female: str, style: Style) -> str:
    brood = room.brood_of(female)
    if brood is None:
        return ""
    return f", holding, day {(style.today - brood.since).days}" if brood.since else ", holding"


def _placed(place: str | None) -> str:
    return place or "no place told"


def _natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """ "tank 2" before "tank 10"."""
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in name.lower().split())
