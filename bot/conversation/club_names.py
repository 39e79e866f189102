"""The names that a message is read against: the writer's fishroom as it stands, or for a buyer what the club has for sale."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from bot.reading import Names
from bot.replies.words import Style
from core.club import Visit
from core.fishroom.names import find_batch
from core.fishroom.state import Batch, Fishroom, Reservation, Strain
from core.species import names as species_names
from core.store.roster import Roster

STATUS = {"confirmed": "confirmed", "unconfirmed": "held"}


def names_for(
    visit: Visit, person: str, club_id: str, room_id: str | None, style: Style, tasks: Iterable[int], began: date | None, now: datetime
) -> Names:
    """What is known to whoever writes: in `room_id` everything, elsewhere only what is for sale and their own reservations."""
    overview = visit.overview(club_id)
    room = visit.room(room_id) if room_id else None
    shared = _of_club(visit.roster(club_id), overview.strains)
    return Names(
        date_order=style.dates,
        units=style.units,
        members=shared.members,
        guests=shared.guests,
        strains={**shared.strains, **_strains(room.strains)} if room else shared.strains,
        places=tuple(place.name for place in room.places.values() if not place.retired) if room else (),
        place_names=_place_names(room) if room else {},
        females=_fish(room, "female") if room else {},
        males=_fish(room, "male") if room else {},
        batches=_batches(room) if room else _for_sale(overview.offering()),
        reservations=_reservations(room, overview.reservations_of(person), visit.names(club_id), now),
        tasks=tuple(tasks),
        club_began=began,
        profiles=shared.profiles,
        beneath=shared,
    )


@lru_cache(maxsize=32)
def _of_club(roster: Roster, strains: Mapping[str, Strain]) -> Names:
    """What all the club's messages are read against. Rosters and an overview's strains are told apart by what they are, not hold."""
    return Names(
        members=tuple(name for person, name in roster.names.items() if person not in roster.guests),
        guests=tuple(name for person, name in roster.names.items() if person in roster.guests),
        strains=_strains(strains),
        profiles=species_names(),
    )


NO_NAMES = frozenset(
    [
        "african",
        "albino",
        "big",
        "black",
        "blue",
        "bright",
        "cichlid",
        "cichlids",
        "coral",
        "dwarf",
        "electric",
        "fish",
        "fry",
        "giant",
        "golden",
        "gold",
        "green",
        "hap",
        "little",
        "mbuna",
        "midnight",
        "new",
        "old",
        "orange",
        "peacock",
        "pink",
        "purple",
        "red",
        "ruby",
        "small",
        "sunshine",
        "violet",
        "white",
        "yellow",
        "young",
    ]
)
"""Words of a strain's name that do not stand for it alone."""


def _strains(strains: Mapping[str, Strain]) -> dict[str, dict[str, Any]]:
    """The strains with the names they go by; a single word of a name too ("labs", "rusties"), where it is no other strain's."""
    words: dict[str, set[str]] = {}
    for key, strain in strains.items():
        for word in single_words(strain):
            words.setdefault(word, set()).add(key)
    return {
        key: {
            "names": (*strain_names(strain), *(word for word in single_words(strain) if words[word] == {key})),
            "species": strain.species,
        }
        for key, strain in strains.items()
    }


def single_words(strain: Strain) -> tuple[str, ...]:
    """The words of its name that can stand for the strain, in singular and plural."""
    own = [word for word in strain.name.lower().split() if len(word) > 2 and word not in NO_NAMES]
    if len(own) != 1 or " " not in strain.name:
        return ()
    word = own[0]
    return (word, f"{word[:-1]}ies" if word.endswith("y") else word if word.endswith("s") else f"{word}s")


def strain_names(strain: Strain) -> tuple[str, ...]:
    """By what words a strain goes: its own name, those given, and its species' common names where it bears one of them."""
    own = [strain.name.lower(), *(name.lower() for name in strain.names)]
    common = [name for name, key in species_names().items() if key == strain.species and strain.species != "general"]
    return tuple(dict.fromkeys([*own, *(common if strain.name.lower() in common or strain.key == strain.species else [])]))


def _place_names(room: Fishroom) -> dict[str, tuple[str, ...]]:
    """Short names of places: "the tub" where there is one tub, and the last word of a name of two words."""
    found: dict[str, tuple[str, ...]] = {}
    kinds = [place.type for place in room.places.values() if not place.retired]
    for place in room.places.values():
        others = [f"the {place.type}"] if kinds.count(place.type) == 1 and place.type in ("tub", "pond") else []
        if place.type == "tub" and kinds.count("tub") == 1:
            others += ["tub", "grow-out", "growout", "grow-out tub", "growout tub"]
        if place.name.startswith("quarantine"):
            others += ["qt", "quarantine", "quarantine tank"]
        found[place.name] = tuple(dict.fromkeys(name for name in others if name not in room.places))
    return found


def _fish(room: Fishroom, sex: str) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for fish in room.fish.values():
        if fish.sex != sex or not fish.alive_here:
            continue
        row: dict[str, Any] = {"strain": fish.strain, "place": fish.place}
        if fish.nickname:
            row["nickname"] = fish.nickname
        if fish.born:
            row["born"] = fish.born.isoformat()
        brood = room.brood_of(fish.id)
        if brood is not None and brood.since is not None:
            row["holding_since"] = brood.since.isoformat()
        found[fish.label] = row
    return found


def _batches(room: Fishroom) -> dict[str, dict[str, Any]]:
    rows = [(batch, ROWS.of(batch)) for batch in room.batches.values()]
    found = {batch.label: row for batch, row in rows if batch.merged_into is None and not row["count"]}
    for batch, _ in rows:
        stock = find_batch(room, batch.label) if batch.merged_into else None
        if stock is not None:
            found[batch.label] = {**ROWS.of(stock), **ELSEWHERE}
    found.update({batch.label: row for batch, row in rows if batch.merged_into is None and row["count"] > 0})
    return found


ELSEWHERE: dict[str, Any] = {"place": None, "groups": [], "strain": ""}
"""Letters that became part of a stock stand for it when they are named; its place and strain stand for the stock's own letters."""


def _for_sale(rooms: Iterable[Fishroom]) -> dict[str, dict[str, Any]]:
    return {batch.label: ROWS.of(batch) for room in rooms for batch in room.live_batches() if batch.offer and not batch.hybrid}


def _batch(batch: Batch) -> dict[str, Any]:
    places = batch.places
    row: dict[str, Any] = {
        "strain": batch.strain,
        "place": places[0] if places else None,
        "count": batch.count,
        "males": batch.count_of("male"),
        "females": batch.count_of("female"),
        "born": (batch.spawned or batch.began).isoformat(),
    }
    if len(places) > 1:
        row["groups"] = [{"place": group.place, "sex": group.sex, "count": group.count} for group in batch.groups]
    return row


class Rows:
    """Rows of batches. A batch never changes, so the same one has the same row: of ten years of broods, a message changes one."""

    AT_HAND = 10_000

    def __init__(self) -> None:
        self._known: dict[int, tuple[Batch, dict[str, Any]]] = {}

    def of(self, batch: Batch) -> dict[str, Any]:
        """The batch's row, which is not to be changed."""
        known = self._known.get(id(batch))
        if known is None or known[0] is not batch:
            if len(self._known) >= self.AT_HAND:
                self._known.clear()
            known = self._known[id(batch)] = (batch, _batch(batch))
        return known[1]


ROWS = Rows()


def _reservations(
    room: Fishroom | None, mine: Iterable[Reservation], members: Mapping[str, str], now: datetime
) -> dict[str, dict[str, Any]]:
    here = list(room.reservations.values()) if room else []
    return {str(one.number): _reservation(one, room, members, now) for one in sorted([*mine, *here], key=lambda one: one.number)}


def _reservation(one: Reservation, room: Fishroom | None, members: Mapping[str, str], now: datetime) -> dict[str, Any]:
    """What a reservation is called by. A hold that has lapsed is nobody's only open one, though its number still says it."""
    batch = room.batches.get(one.batch) if room else None
    return {
        "member": members.get(one.member, ""),
        "batch": batch.label if batch else one.batch,
        "count": one.left,
        "sex": one.sex,
        "pickup": one.pickup.isoformat() if one.pickup else None,
        "status": STATUS.get(one.status, "closed") if one.open_at(now) else "closed",
    }
