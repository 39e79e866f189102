"""What is set up becomes events: places, strains, fish and young fish that come in, names and parents."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, cast

from bot.conversation.here import Here, NotClearError, Unclear, day_of
from core import events as e
from core.fishroom import names as naming
from core.species import names as species_names
from core.species import profile

Slots = Mapping[str, Any]


def place_added(here: Here, slots: Slots) -> None:
    """A place; a box that hangs in a tank needs that tank."""
    hangs_in = slots.get("hangs_in")
    if hangs_in and hangs_in not in here.room.places:
        raise NotClearError(Unclear("hangs_in", "unknown", str(hangs_in)))
    known = here.room.places.get(slots["place"])
    here.propose(
        e.PlaceAdded(
            slots["place"],
            slots.get("type") or (known.type if known else "tank"),
            slots.get("litres"),
            slots.get("temp_c"),
            hangs_in,
            slots.get("hard_to_catch"),
            slots.get("loop"),
        ),
        slots,
    )


def place_retired(here: Here, slots: Slots) -> None:
    """A place goes out of use; not while fish are in it."""
    place = slots["place"]
    if here.room.fish_in(place) or here.room.batches_in(place):
        raise NotClearError(Unclear("place", "not_empty", str(place)))
    here.propose(e.PlaceRetired(place), slots)


def strain_added(here: Here, slots: Slots) -> None:
    """A strain, under the profile of its species where there is one."""
    name = str(slots["strain"])
    said = str(slots.get("species") or name)
    key = species_names().get(said.lower()) or species_names().get(name.lower()) or "general"
    here.propose(e.StrainAdded(strain_key(name), name, key), slots)


def strain_key(name: str) -> str:
    """The key of a strain: its name in lower case with hyphens."""
    return "-".join(name.lower().split())


def with_strain(here: Here, key: object) -> str:
    """The strain of that key, added to the fishroom where it is not there yet (known from the club, or from the species)."""
    strain = str(key)
    if strain not in here.room.strains:
        known = here.visit.strain_of_club(here.club_id, strain)
        if known is not None:
            here.propose(e.StrainAdded(strain, known.name, known.species, known.names))
        else:
            found = profile(strain)
            here.propose(e.StrainAdded(strain, found.names[0] if found.names else strain, found.key))
    return strain


def only_strain(here: Here, slots: Slots, place: object = None) -> str:
    """The strain said, else the only one that could be meant: of the place's fish, or of the fishroom."""
    if slots.get("strain"):
        return with_strain(here, slots["strain"])
    there = {fish.strain for fish in here.room.fish_in(str(place))} if place else set()
    strains = there if len(there) == 1 else set(here.room.strains)
    if len(strains) == 1:
        return next(iter(strains))
    raise NotClearError(Unclear("strain", "missing", options=tuple(sorted(strains))))


def joined(here: Here, slots: Slots) -> None:
    """Known fish come in, or grow up out of a batch; several get labels in order."""
    from_batch = here.batch(slots["from_batch"]) if slots.get("from_batch") else None
    strain = from_batch.strain if from_batch else only_strain(here, slots, slots.get("to"))
    sex = cast(naming.Gender, slots["sex"])
    to = slots.get("to") or (from_batch.places[0] if from_batch and from_batch.places else None)
    for _ in range(int(slots.get("count") or 1)):
        label = str(slots.get("label") or naming.next_label(here.room, sex))
        if naming.find_fish(here.room, sex, label):
            raise NotClearError(Unclear("label", "taken", label))
        here.propose(
            e.Joined(
                naming.fish_id(here.room, sex, label),
                sex,
                label,
                strain,
                to,
                slots.get("origin"),
                from_batch.id if from_batch else None,
                slots.get("nickname"),
                born=day_of(slots.get("born")) or (from_batch.spawned if from_batch else None),
            ),
            slots,
        )


def batch_joined(here: Here, slots: Slots) -> None:
    """Young fish come in from outside."""
    here.propose(
        e.BatchJoined(
            here.new_batch(slots.get("batch")),
            only_strain(here, slots),
            slots["count"],
            bool(slots.get("approx")),
            slots.get("to"),
            slots.get("origin"),
            slots.get("mean_mm"),
            day_of(slots.get("born")),
        ),
        slots,
    )


def named(here: Here, slots: Slots) -> None:
    """A breeder gets a nickname."""
    here.propose(e.Named(cast(str, here.fish_of(slots)), slots["nickname"]), slots)


def parents(here: Here, slots: Slots) -> None:
    """Who the parents are. `sire` and `dam` are labels of males and females here."""
    subject = here.fish_of(slots) or here.batch_of(slots)
    sire = here.fish("male", slots["sire"]).id if slots.get("sire") else None
    dam = here.fish("female", slots["dam"]).id if slots.get("dam") else None
    here.propose(e.Parents(cast(str, subject), sire, dam), slots)


SETTING_UP: Mapping[str, Callable[[Here, Slots], None]] = {
    function.__name__: function
    for function in (
        place_added,
        place_retired,
        strain_added,
        joined,
        batch_joined,
        named,
        parents,
    )
}
