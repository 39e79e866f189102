"""What the club's own stream adds up to: its settings and its wanted list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from core.events import Announced, ClubSetting, Entry, Event, Voided, Wanted, WishAnswered, WishOffered
from core.fishroom.ordering import in_order, live
from core.fishroom.state import Club, Passed, Problem, Wish

Handler = Callable[[Club, Any, Entry], None]


def replay_club(club_id: str, entries: Iterable[Entry]) -> Club:
    """The club after all these entries (of its stream, in any order)."""
    everything = list(entries)
    club = Club(club_id.removeprefix("club:"))
    for entry in in_order(live(everything)):
        HANDLERS.get(type(entry.event), _unknown)(club, entry.event, entry)
    club.number = max((entry.number for entry in everything), default=0)
    return club


def bring_up_club(club: Club, new: Sequence[Entry], everything: Callable[[], Iterable[Entry]]) -> Club:
    """The club's state with new entries taken in. Its stream is short: it is simply replayed."""
    return replay_club(club.id, everything()) if new else club


def _setting(club: Club, event: ClubSetting, entry: Entry) -> None:
    club.settings[event.name] = event.value


def _wanted(club: Club, event: Wanted, entry: Entry) -> None:
    if event.wish in club.wishes:
        _problem(club, entry, "number_taken", event.wish)
        return
    club.wishes[event.wish] = Wish(
        event.wish,
        event.member,
        event.strain,
        event.count,
        entry.told,
        event.sex,
        event.by_day,
        event.min_mm,
    )


def _offered(club: Club, event: WishOffered, entry: Entry) -> None:
    wish = _open(club, event.wish, entry)
    if wish is not None:
        offer = (event.room, event.batch, event.count, event.until)
        club.wishes[wish.number] = replace(wish, status="offered", offer=offer, passed=_with_silence(wish))


def _with_silence(wish: Wish) -> tuple[Passed, ...]:
    """What was passed before, and the proposal that got no answer in its time, if the last one got none."""
    return wish.passed if wish.offer is None else (*wish.passed, Passed(*wish.offer, said=False))


def _answered(club: Club, event: WishAnswered, entry: Entry) -> None:
    """Met in part, the wish goes on for the rest; passed on, it keeps its place, and remembers what it was asked about."""
    wish = _open(club, event.wish, entry)
    if wish is None:
        return
    match event.answer:
        case "met" if event.count is not None and event.count < wish.count:
            answered = replace(wish, status="waiting", offer=None, count=wish.count - event.count)
        case "met" | "dropped":
            answered = replace(wish, status=event.answer, offer=None)
        case "passed":
            passed = (*wish.passed, Passed(*wish.offer[:3], entry.told, said=True)) if wish.offer else wish.passed
            answered = replace(wish, status="waiting", offer=None, passed=passed)
    club.wishes[wish.number] = answered


def _open(club: Club, number: int, entry: Entry) -> Wish | None:
    wish = club.wishes.get(number)
    if wish is None or wish.status not in ("waiting", "offered"):
        _problem(club, entry, "no_such_wish" if wish is None else "closed", number)
        return None
    return wish


def _nothing(club: Club, event: Event, entry: Entry) -> None:
    """Leaves no trace in the state."""


def _unknown(club: Club, event: Event, entry: Entry) -> None:
    _problem(club, entry, "unknown_kind", type(event).__name__)


def _problem(club: Club, entry: Entry, why: str, about: object) -> None:
    club.problems.append(Problem(entry.number, why, str(about), entry.on))


HANDLERS: dict[type[Event], Handler] = {
    ClubSetting: _setting,
    Wanted: _wanted,
    WishOffered: _offered,
    WishAnswered: _answered,
    Announced: _nothing,
    Voided: _nothing,
}
"""What each kind of event does to the club."""
