"""What can be said to the bot, in sentences with the fishroom's own names that it really reads."""

from __future__ import annotations

from collections.abc import Iterable

from bot.replies.cautions import GENERAL
from bot.replies.words import Style, example_tank
from core.fishroom.state import Fishroom

ANYWAY = (
    "Just tell me what happened, in your own short words. I say back what I recorded, and you can take it back: with the button, "
    'with "undo", or by editing your message.'
)
YOURS = (
    'Always: "settings", "my contact is 555 0100" (for the other side of an order), "page" (a link that opens the page as you), '
    '"give me my data", "forget me".'
)


def text(room: Fishroom | None, offered: str, strain: str, style: Style, *, organiser: bool) -> str:
    """Help for what this member may do. `room` is the keeper's own; a batch that is `offered` and a `strain` are the club's."""
    own = next((found.name for found in room.strains.values()), strain) if room else strain
    parts = [ANYWAY]
    if room is not None:
        parts += _keeper(room, own, style)
    parts += _section("To get fish" if room is None else "Orders", _orders(room, offered, strain))
    if organiser:
        parts += _section("For the organiser", ("invite Sam as buyer", "promise level 90%", "make the shelf public", "people"))
    return "\n".join([*parts, "", YOURS, GENERAL])


def _keeper(room: Fishroom, strain: str, style: Style) -> list[str]:
    """A fishroom that is still empty is set up first."""
    set_up = _section("To set up", _set_up(room, strain, style))
    told = [
        *_section("From the fishroom", _happened(room, style)),
        *_section("To plan", _plans(room)),
    ]
    return [*set_up, *told] if not room.fish and not room.batches else [*told, *set_up]


def beginning(room: Fishroom, style: Style) -> str:
    """How to begin a fishroom that has no fish yet: with a tank, then with the fish; empty for one that has some."""
    if room.fish or room.batches:
        return ""
    here = next((place.name for place in room.places.values() if not place.retired), None)
    fish = f'"added 4 female yellow labs and a male to {here or "tank 1"}"'
    if here is None:
        return f'The book is still empty: begin with "new tank 1, {example_tank(style.units == "us")}", then {fish}.'
    return f"No fish are in the book yet: bring them in with {fish}."


def none_yet(noun: str, room: Fishroom, style: Style) -> str:
    """How the first female, male, batch or place comes into the book; empty where there is one, or fish at least."""
    places = any(not place.retired for place in room.places.values())
    begin = "" if noun == "place" and places else beginning(room, style)
    if begin and noun in ("female", "male", "batch", "place"):
        return begin
    if noun == "batch" and not room.batches:
        return f'No batch is in the book yet: "stripped {_female(room)}, 24 fry" begins one.'
    return ""


def _section(title: str, sentences: Iterable[str]) -> list[str]:
    return ["", f"{title}:", *(f"• {sentence}" for sentence in sentences)]


def _set_up(room: Fishroom, strain: str, style: Style) -> tuple[str, ...]:
    number = 1 + sum(place.type == "tank" for place in room.places.values())
    return (
        f"new tank {number}, {example_tank(style.units == 'us')}",
        f"added 4 female {strain if strain.endswith(('i', 's')) else f'{strain}s'} and a male to tank {number}",
        f"test {_water(room)} every 7 days",
        f"away {'April 3 to 10' if style.dates == 'MDY' else '3 to 10 April'}, Sam looks after them",
    )


def _happened(room: Fishroom, style: Style) -> tuple[str, ...]:
    female, batch, water = _female(room), _batch(room), _water(room)
    lengths, warmth = ("1.5 1.6 1.4 in", "79f") if style.units == "us" else ("38 41 40 mm", "26c")
    return (
        f"female {female} holding since saturday",
        f"stripped {female}, 24 fry",
        f"counted {batch}, 22",
        f"{batch}: {lengths}",
        f"2 dead in {water}",
        f"{water} ph 8 ammonia 0 nitrite 0 {warmth}",
        f"30% water change {water}",
        "a photo, with whom it shows as its caption",
    )


def _plans(room: Fishroom) -> tuple[str, ...]:
    female, batch, water = _female(room), _batch(room), _water(room)
    return (
        "what's due this week",
        f"when can I strip {female}",
        f"how big is {batch}",
        f"what should {batch} eat",
        f"is the water in {water} safe",
        f"pairings for female {female}",
        f"chart {batch}, season, family of female {female}, labels, books",
    )


def _orders(room: Fishroom | None, offered: str, strain: str) -> tuple[str, ...]:
    sells = () if room is None else (f"offering 10 of {_batch(room)} at 5 each",)
    lists = "my reservations, calendar" if room is None else "my reservations, upcoming pickups, wanted list, calendar"
    return (*sells, "what's available", f"reserve 3 of {offered}", f"wanted 4 female {strain}", "pickup for #12 saturday 10:30", lists)


def _female(room: Fishroom) -> str:
    """A female that lives here, one that holds before others."""
    here = [fish for fish in room.fish.values() if fish.sex == "female" and fish.gone is None]
    return next((fish.label for fish in sorted(here, key=lambda fish: fish.id not in room.holding)), "1")


def _batch(room: Fishroom) -> str:
    """The largest batch."""
    found = max(room.live_batches(), key=lambda batch: batch.count, default=None)
    return found.label if found else "A"


def _water(room: Fishroom) -> str:
    """A place where fish live."""
    places = [place.name for place in room.places.values() if not place.retired]
    return next((name for name in places if room.batches_in(name) or room.fish_in(name)), "tank 1")
