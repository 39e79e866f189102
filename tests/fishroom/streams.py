"""Made-up seasons of a fishroom for the laws: what keepers write, sensible or not, told early, late, twice and taken back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import strategies as st

from core import events as e
from core.events import Entry, Event
from core.fishroom.state import Fishroom

FIRST = date(2026, 3, 1)
PLACES = ("tank 1", "tank 2", "box 1", "tub", "nowhere")
FEMALES, MALES, LETTERS = ("F1", "F2", "F3", "F9"), ("M1", "M2", "M9"), ("A", "B", "C", "D", "Z")
SETUP: tuple[Event, ...] = (
    e.StrainAdded("lab", "Yellow lab", "yellow-lab"),
    e.StrainAdded("demasoni", "Demasoni"),
    e.PlaceAdded("tank 1", "tank", 240.0, 26.0),
    e.PlaceAdded("tank 2", "tank", 160.0),
    e.PlaceAdded("box 1", "box", 4.0, hangs_in="tank 1"),
    e.PlaceAdded("tub", "tub", 500.0),
    e.Joined("F1", "female", "1", "lab", "tank 1"),
    e.Joined("F2", "female", "2", "lab", "tank 1"),
    e.Joined("F3", "female", "3", "demasoni", "tank 2"),
    e.Joined("M1", "male", "1", "lab", "tank 1"),
    e.BatchJoined("A", "lab", 20, to="tub"),
    e.BatchJoined("B", "lab", 14, to="tub"),
)

places, females, males, letters = (st.sampled_from(names) for names in (PLACES, FEMALES, MALES, LETTERS))
fish = st.one_of(females, males)
sexes = st.sampled_from(("male", "female", "unsexed"))
maybe = st.none
some = st.integers(1, 12)
any_number = st.one_of(some, some, some, st.integers(-3, 60))
numbers = st.integers(1, 4)


def _or_none(strategy: st.SearchStrategy) -> st.SearchStrategy:
    return st.one_of(maybe(), strategy)


HAPPENINGS: st.SearchStrategy[Event] = st.one_of(
    st.builds(e.Spawned, _or_none(females), _or_none(males), _or_none(st.sampled_from(("brood 1", "brood 2")))),
    st.builds(e.Holding, fish, st.sampled_from(("brood 1", "brood 2", "brood 3")), _or_none(males)),
    st.builds(e.StillHolding, females),
    st.builds(e.BroodLost, females),
    st.builds(e.Released, females, _or_none(letters), _or_none(any_number)),
    st.builds(e.Stripped, females, letters, any_number, to=_or_none(places), eggs=_or_none(some)),
    st.builds(e.Moved, places, batch=letters, count=_or_none(any_number), sex=_or_none(sexes), from_place=_or_none(places)),
    st.builds(e.Moved, places, fish=fish),
    st.builds(e.Counted, letters, st.integers(-2, 40), st.booleans()),
    st.builds(e.Counted, letters, st.integers(5, 20)),
    st.builds(e.Died, fish=fish),
    st.builds(e.Died, batch=letters, count=any_number, place=_or_none(places), after_count=_or_none(st.booleans())),
    st.builds(e.Died, place=places, count=any_number),
    st.builds(e.Measured, letters, mean_mm=_or_none(st.floats(8, 60))),
    st.builds(e.Sexed, letters, _or_none(any_number), _or_none(any_number), _or_none(any_number)),
    st.builds(e.Split, letters, letters, _or_none(any_number), _or_none(sexes), _or_none(places)),
    st.builds(e.Merged, st.lists(letters, min_size=1, max_size=3).map(tuple), letters),
    st.builds(e.Mixed, st.lists(letters, min_size=1, max_size=3).map(tuple), letters, places),
    st.builds(e.HeldBack, letters, any_number, _or_none(sexes)),
    st.builds(e.Culled, letters, any_number),
    st.builds(e.Sold, letters, any_number, _or_none(sexes)),
    st.builds(e.Left, fish),
    st.builds(
        e.Joined, st.sampled_from(("F7", "M7")), st.just("female"), st.just("7"), st.just("lab"), from_batch=_or_none(letters)
    ),
    st.builds(e.BatchJoined, letters, st.sampled_from(("lab", "demasoni")), any_number, to=_or_none(places)),
    st.builds(e.Parents, st.one_of(fish, letters), _or_none(males), _or_none(females)),
    st.builds(e.Offered, letters, _or_none(some), price=_or_none(st.just(Decimal("5.00")))),
    st.builds(e.Reserved, numbers, st.just("oleg"), letters, any_number, sex=_or_none(sexes), males=_or_none(some)),
    st.builds(e.Confirmed, numbers),
    st.builds(e.ReservationChanged, numbers, _or_none(any_number), batch=_or_none(letters)),
    st.builds(e.PickupSet, numbers, st.just(FIRST + timedelta(30)), proposed_by=_or_none(st.just("marit"))),
    st.builds(e.PickupAgreed, numbers),
    st.builds(e.Collected, numbers, _or_none(any_number), _or_none(some), _or_none(some)),
    st.builds(e.Cancelled, numbers),
    st.builds(e.NoShow, numbers),
    st.builds(e.WaterTested, places, ph=st.just(7.8)),
    st.builds(e.Fed, place=places),
    st.builds(e.Wanted, st.just(1), st.just("oleg"), st.just("lab"), some),
)


@dataclass(frozen=True)
class Told:
    """One thing told: what, of which day and time."""

    event: Event
    day: int
    at: time | None = None


TIMES = _or_none(st.sampled_from((time(8), time(12), time(18, 30))))
TOLD = st.builds(Told, HAPPENINGS, st.integers(0, 20), TIMES)
IN_ORDER = st.lists(st.builds(Told, HAPPENINGS, st.just(0)), max_size=25)
"""A day each, in the order they are told."""
ANYHOW = st.lists(TOLD, max_size=25)
"""Told in any order, several of a day."""
CROWDED = st.lists(st.builds(Told, HAPPENINGS, st.integers(0, 3), TIMES), max_size=18)
"""Told in any order, many of a day."""
VOIDS = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=6)
"""Positions at which something is taken back, and what."""


def journal(told: Sequence[Told]) -> list[Entry]:
    """The setting up and then what was told, as a fishroom's journal."""
    entries = [_entry(number, event, FIRST) for number, event in enumerate(SETUP, start=1)]
    for t in told:
        entries.append(_entry(len(entries) + 1, t.event, FIRST + timedelta(days=1 + t.day), t.at))
    return entries


def day_by_day(told: Sequence[Told]) -> list[Entry]:
    """As `journal`, each thing on a day of its own."""
    return journal([replace(t, day=day, at=None) for day, t in enumerate(told)])


def with_voids(entries: Sequence[Entry], voids: Sequence[tuple[int, int]]) -> list[Entry]:
    """The journal with entries taken back here and there after the setting up (voids among them)."""
    out = list(entries[: len(SETUP)])
    for position, entry in enumerate(entries[len(SETUP) :]):
        out.append(renumbered(entry, len(out) + 1))
        for when, what in voids:
            if when == position and len(out) > len(SETUP):
                target = len(SETUP) + 1 + what % (len(out) - len(SETUP))
                out.append(_entry(len(out) + 1, e.Voided(target), entry.on))
    return out


def told_anew(entries: Sequence[Entry], which: Sequence[int]) -> list[Entry]:
    """The journal with messages edited: the old entry is taken back, and the new one keeps its place in the order of telling."""
    out = list(entries)
    for n in which:
        old = out[n % len(out)]
        if not isinstance(old.event, e.Voided):
            out.append(_entry(len(out) + 1, e.Voided(old.number), old.on))
            out.append(replace(old, number=len(out) + 1, on=old.on + timedelta(days=n % 2)))
    return out


def renumbered(entry: Entry, number: int) -> Entry:
    return replace(entry, number=number, order=number)


def _entry(number: int, event: Event, on: date, at: time | None = None) -> Entry:
    told = datetime(2026, 4, 1, tzinfo=UTC) + timedelta(minutes=number)
    return Entry("fishroom:marit", number, event, on, told, "marit", at, order=number)


def without_numbers(room: Fishroom) -> object:
    """All of the state but what depends on when things were told: journal numbers and the order of promises."""
    room = room.fork()
    room.number, room.position = 0, None
    room.problems = sorted((replace(p, entry=0) for p in room.problems), key=str)
    room.unassigned = [replace(u, entry=0) for u in room.unassigned]
    room.batches = {k: replace(b, changes=tuple(replace(c, entry=0) for c in b.changes)) for k, b in room.batches.items()}
    room.reservations = {k: replace(r, made=datetime(2026, 4, 1, tzinfo=UTC)) for k, r in room.reservations.items()}
    return room
