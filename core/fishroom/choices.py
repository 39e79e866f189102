"""What a keeper chose for a fishroom, and the organisers for a club: the names of the choices, what they mean, and what holds
where nothing sensible was chosen.

A choice stands in the journal as a name and a text. Here alone is settled how it is written there and made into a value again.
"""

from __future__ import annotations

from typing import Literal, cast

from core.events import PlaceName
from core.fishroom.state import Club, Fishroom

OF_FISHROOM = frozenset({"kit_unit", "hold_days", "confirm_by_hand", "buyer_limit", "fasting_days", "catch_days"})
"""Names of a keeper's choices."""
OF_CLUB = frozenset({"promise_level", "currency", "shelf_public", "answer_hours"})
"""Names of a club's choices."""
KitUnit = Literal["N", "NH3"]
"""How a test kit shows total ammonia: as nitrogen, or as ammonia."""
DEFAULT_LEVEL = 0.9
"""Promises are kept at least nine times in ten, unless the club chose otherwise."""
HOLD_DAYS = 3
"""So long a reservation holds its fish unconfirmed, unless the keeper chose otherwise."""
FASTING_DAYS = 1
"""Fish travel with empty guts: one day without food (common practice, no source: 24-48 h, fry 12-24 h)."""
AT_MOST_DAYS = 3
"""Fish wait in a holding tank no longer than this (common practice, no source)."""
ANSWER_HOURS = 48
"""Time to answer before the next is asked, unless the club chose otherwise."""
_YES = frozenset({"yes", "on", "true", "1", "public"})


def fishroom_value(name: str, value: str) -> str:
    """The value as the fishroom keeps it."""
    match name:
        case "kit_unit":
            return "NH3" if value.upper().replace(" ", "") in ("NH3", "ASNH3") else "N"
        case "confirm_by_hand":
            return "yes" if is_yes(value) else "no"
        case _:
            return "".join(letter for letter in value if letter.isdigit()) or "0"


def club_value(name: str, value: str) -> str | None:
    """The value as the club keeps it; a promise level as a probability from 0.5 to 0.99, None for any other."""
    if name != "promise_level":
        return value
    level = _share(value)
    return f"{level:g}" if level is not None and 0.5 <= level <= 0.99 else None


def kit_unit(room: Fishroom) -> KitUnit | None:
    """How the keeper's ammonia kit counts; None where nobody said."""
    said = room.settings.get("kit_unit")
    return cast(KitUnit, said) if said in ("N", "NH3") else None


def buyer_limit(room: Fishroom) -> int | None:
    """The most fish one buyer may have promised in this fishroom, where the keeper set a limit."""
    return _number(room, "buyer_limit", 0) or None


def confirms_by_hand(room: Fishroom) -> bool:
    """Whether the keeper confirms what others reserve; else it is confirmed at once."""
    return is_yes(room.settings.get("confirm_by_hand", ""))


def hold_days(room: Fishroom) -> int:
    """Days for which a reservation holds its fish without being confirmed."""
    return _number(room, "hold_days", HOLD_DAYS)


def waiting_days(room: Fishroom) -> tuple[int, int]:
    """The keeper's (most days in the holding tank, days of fasting before the journey)."""
    fasting = _number(room, "fasting_days", FASTING_DAYS)
    return max(_number(room, "catch_days", AT_MOST_DAYS), fasting), fasting


def holding_place(room: Fishroom) -> PlaceName | None:
    """The place where caught fish are to wait, where the keeper named one that stands here."""
    said = room.settings.get("holding_place")
    return said if said in room.places else None


def level_of(club: Club | None) -> float:
    """The club's promise level: between 0.5 and 0.999, written as a share or as a percentage."""
    level = _share(club.settings.get("promise_level", "")) if club else None
    return DEFAULT_LEVEL if level is None else min(0.999, max(0.5, level))


def _share(said: str) -> float | None:
    try:
        number = float(said.strip().rstrip("%"))
    except ValueError:
        return None
    return number / 100 if number > 1 else number


def answer_hours(club: Club) -> float:
    """The club's time to answer, in hours (at least one)."""
    try:
        return max(1.0, float(club.settings.get("answer_hours", ANSWER_HOURS)))
    except ValueError:
        return float(ANSWER_HOURS)


def shelf_is_public(club: Club) -> bool:
    """Whether strangers may see what the club has for sale."""
    return is_yes(club.settings.get("shelf_public", ""))


def currency(club: Club) -> str | None:
    """The club's currency, where it was chosen."""
    return club.settings.get("currency")


def is_yes(said: str) -> bool:
    """Whether a choice says yes."""
    return said.strip().lower() in _YES


def _number(room: Fishroom, name: str, otherwise: int) -> int:
    said = room.settings.get(name, "")
    return int(said) if said.isdecimal() and said.isascii() else otherwise
