"""What was read becomes events of the fishroom or the club: one small function per kind, in the table `PROPOSE`.

Each function takes the scene and the slots of one item; it proposes events on the scene, or raises `NotClearError` where the
fishroom as it stands leaves something open that the reader could not see.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import time, timedelta
from decimal import Decimal
from typing import Any, cast

from bot.conversation.here import Here, NotClearError, Unclear, day_of
from bot.conversation.proposing_orders import ORDERS
from bot.reading import Item
from core import events as e
from core.fishroom import names as naming
from core.species import names as species_names
from core.species import profile

Slots = Mapping[str, Any]


def propose(here: Here, items: Iterable[Item]) -> Unclear | None:
    """Propose the events of the items, in order. All or nothing: an `Unclear` means that nothing may be recorded."""
    try:
        for item in items:
            PROPOSE[item.kind](here, item.slots)
    except NotClearError as problem:
        return problem.unclear
    return None


# --- setting up ------------------------------------------------------------------------------------------------------


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


# --- broods ----------------------------------------------------------------------------------------------------------


def spawned(here: Here, slots: Slots) -> None:
    """A pair seen spawning."""
    female = here.fish("female", slots["female"]).id if "female" in slots else None
    male = here.fish("male", slots["male"]).id if "male" in slots else None
    here.propose(e.Spawned(female, male, here.new_brood() if female else None), slots)


SAME_BROOD_DAYS = 5
"""A female first seen holding so soon after she was seen spawning carries that brood. Common practice, no source."""


def holding(here: Here, slots: Slots) -> None:
    """She carries; a spawning seen shortly before is the same brood's."""
    female = here.fish("female", slots["female"])
    male = here.fish("male", slots["male"]).id if "male" in slots else None
    open_brood = here.room.brood_of(female.id)
    on = day_of(slots.get("on")) or here.today
    same = open_brood and (open_brood.first_seen is None or open_brood.first_seen == on or male or (open_brood.since or on) > on)
    brood = open_brood.id if open_brood and same else here.new_brood()
    if open_brood and not same:
        raise NotClearError(Unclear("on", "already_holding", f"{(open_brood.first_seen or on).isoformat()}"))
    here.propose(e.Holding(female.id, brood, male), slots)


def still_holding(here: Here, slots: Slots) -> None:
    """She was checked and still carries."""
    here.propose(e.StillHolding(here.fish("female", slots["female"]).id), slots)


def brood_lost(here: Here, slots: Slots) -> None:
    """She no longer carries."""
    here.propose(e.BroodLost(here.fish("female", slots["female"]).id), slots)


def released(here: Here, slots: Slots) -> None:
    """She let them go; counted fry become a batch."""
    female = here.fish("female", slots["female"])
    count = slots.get("count")
    batch = here.new_batch(slots.get("batch")) if count else None
    here.propose(e.Released(female.id, batch, count, bool(slots.get("approx"))), slots)


def stripped(here: Here, slots: Slots) -> None:
    """Her fry become a batch; where they went is asked where no box is free to guess from: they stay without a place."""
    female = here.fish("female", slots["female"])
    here.propose(
        e.Stripped(
            female.id,
            here.new_batch(slots.get("batch")),
            slots["count"],
            bool(slots.get("approx")),
            slots.get("eggs"),
            slots.get("dead"),
            slots.get("to"),
        ),
        slots,
    )


# --- batches and places ----------------------------------------------------------------------------------------------


def moved(here: Here, slots: Slots) -> None:
    """A fish, a batch or a part of it goes to another place."""
    here.propose(
        e.Moved(
            slots["to"],
            here.fish_of(slots),
            here.batch_of(slots),
            slots.get("count"),
            slots.get("sex") if "batch" in slots else None,
            slots.get("from"),
        ),
        slots,
    )


def counted(here: Here, slots: Slots) -> None:
    """An assertion about a batch's number."""
    here.propose(e.Counted(here.batch(slots["batch"]).id, slots["count"], bool(slots.get("approx"))), slots)


def died(here: Here, slots: Slots) -> None:
    """Deaths. A place with one batch stands for it; one with known breeders and no batch asks who."""
    place = slots.get("place")
    fish, batch = here.fish_of(slots), here.batch_of(slots)
    if place and not fish and not batch:
        batches, known = here.room.batches_in(str(place)), here.room.fish_in(str(place))
        if len(batches) == 1 and not known:
            batch = batches[0].id
        elif not batches and len(known) == 1 and slots.get("count", 1) == 1:
            fish = known[0].id
        elif not batches and known:
            options = tuple(f"{found.sex} {found.label}" for found in known)
            raise NotClearError(Unclear("female", "who_died", str(place), options))
        elif not batches:
            raise NotClearError(Unclear("place", "nothing_there", str(place)))
    same_day_count = batch and any(count.on == day_of(slots.get("on")) for count in here.room.batches[batch].counts)
    late = (day_of(slots.get("on")) or here.today) < here.today
    after = slots.get("after_count")
    if same_day_count and late and after is None:
        raise NotClearError(Unclear("after_count", "before_or_after", options=("before", "after")))
    count = int(slots.get("count") or 1)
    here.propose(e.Died(fish, batch, None if fish or batch else place, count, bool(slots.get("approx")), after), slots)


def measured(here: Here, slots: Slots) -> None:
    """Lengths in mm."""
    lengths = tuple(float(length) for length in slots.get("lengths") or ())
    here.propose(e.Measured(here.batch(slots["batch"]).id, lengths, slots.get("mean_mm"), slots.get("n")), slots)


def sexed(here: Here, slots: Slots) -> None:
    """What the batch holds by sex."""
    here.propose(e.Sexed(here.batch(slots["batch"]).id, slots.get("males"), slots.get("females"), slots.get("unsexed")), slots)


def split(here: Here, slots: Slots) -> None:
    """Part of a batch becomes its own."""
    old = here.batch(slots["batch"])
    here.propose(e.Split(old.id, here.new_batch(slots.get("new")), slots.get("count"), slots.get("sex"), slots.get("to")), slots)


def merged(here: Here, slots: Slots) -> None:
    """Batches under one name. Different strains need a yes, and are hybrids stock from then on."""
    batches = [here.batch(label) for label in slots["batches"]]
    into = here.batch(slots["into"])
    strains = sorted({batch.strain for batch in batches})
    if len(strains) > 1 and not slots.get("hybrid"):
        raise NotClearError(Unclear("hybrid", "different_strains", ",".join(strains), ("yes", "no")))
    here.propose(e.Merged(tuple(batch.id for batch in batches), into.id, len(strains) > 1), slots)


def mixed(here: Here, slots: Slots) -> None:
    """They share water and cannot be told apart; the largest gives the name."""
    batches = [here.batch(label) for label in slots["batches"]]
    if len({batch.strain for batch in batches}) > 1:
        merged(here, {**slots, "into": max(batches, key=lambda batch: batch.count).label})
        return
    into = max(batches, key=lambda batch: batch.count)
    place = slots.get("place") or into.places[0]
    here.propose(e.Mixed(tuple(batch.id for batch in batches), into.id, place), slots)


def told_apart(here: Here, slots: Slots) -> None:
    """They can be told apart: not asked again."""
    batches = [here.batch(label) for label in slots["batches"]]
    here.propose(e.ToldApart(tuple(batch.id for batch in batches), slots["place"]), slots)


def held_back(here: Here, slots: Slots) -> None:
    """Kept as breeders."""
    here.propose(e.HeldBack(here.batch(slots["batch"]).id, slots["count"], slots.get("sex")), slots)


def culled(here: Here, slots: Slots) -> None:
    """Taken out for faults."""
    here.propose(e.Culled(here.batch(slots["batch"]).id, slots["count"]), slots)


def left(here: Here, slots: Slots) -> None:
    """A known fish leaves; a member who keeps a fishroom receives it there."""
    fish_id = cast(str, here.fish_of(slots))
    fish = here.room.fish[fish_id]
    member = here.visit.member_named(here.club_id, slots["member"]) if slots.get("member") else None
    to_room = here.visit.room_of(member, here.club_id) if member else None
    if to_room == here.room.id:
        to_room = None
    here.propose(e.Left(fish_id, member, to_room), slots)
    if to_room:
        here.hand_over(fish, to_room, slots)


# --- water, feeding, notes -------------------------------------------------------------------------------------------


def water_tested(here: Here, slots: Slots) -> None:
    """Readings of a place, with the unit of the ammonia kit."""
    unit = here.room.settings.get("kit_unit")
    readings = {
        name: slots.get(name) for name in ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")
    }
    here.propose(
        e.WaterTested(slots["place"], **readings, kit_unit=cast(Any, unit) if readings["tan_mg_l"] is not None else None), slots
    )


def water_changed(here: Here, slots: Slots) -> None:
    """Part of the water replaced."""
    here.propose(e.WaterChanged(slots["place"], slots.get("percent"), slots.get("litres")), slots)


def fed(here: Here, slots: Slots) -> None:
    """A feeding."""
    here.propose(e.Fed(slots.get("place"), here.batch_of(slots), slots.get("grams")), slots)


def noted(here: Here, slots: Slots) -> None:
    """A note; its words stand aside."""
    here.propose(e.Noted(here.keep_text(slots["text"]), here.fish_of(slots), here.batch_of(slots), slots.get("place")), slots)


# --- running the fishroom --------------------------------------------------------------------------------------------


def habit(here: Here, slots: Slots) -> None:
    """Every so many days."""
    here.propose(e.Habit(slots["task"], slots["every_days"], slots.get("place")), slots)


def away(here: Here, slots: Slots) -> None:
    """Away from a day to a day, with a sitter or without."""
    sitter = here.visit.member_named(here.club_id, slots["sitter"]) if slots.get("sitter") else None
    first, last = day_of(slots["from"]), day_of(slots["to"])
    if first is None or last is None or last < first:
        raise NotClearError(Unclear("to", "backwards"))
    here.propose(e.Away(first, last, sitter), slots)


def task_key(here: Here, slots: Slots) -> str:
    """The key of the task with that number in the last digest shown."""
    number = int(slots["number"])
    if not 1 <= number <= len(here.tasks):
        raise NotClearError(Unclear("number", "unknown", str(number)))
    return here.tasks[number - 1]


def task_done(here: Here, slots: Slots) -> None:
    """A numbered task of the digest was done."""
    here.propose(e.TaskDone(task_key(here, slots)), slots)


def task_later(here: Here, slots: Slots) -> None:
    """Put off, until the day said, else until tomorrow."""
    until = day_of(slots.get("until")) or here.today + timedelta(days=1)
    here.propose(e.TaskLater(task_key(here, slots), until), slots)


def task_dropped(here: Here, slots: Slots) -> None:
    """Never for this one."""
    here.propose(e.TaskDropped(task_key(here, slots)), slots)


WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def free_days(here: Here, slots: Slots) -> None:
    """The weekdays (and hours) when the keeper can catch and hand over."""
    days = tuple(sorted({_weekday(day) for day in slots["weekdays"]}))
    hours = [time.fromisoformat(part) for part in str(slots["hours"]).split("-")] if slots.get("hours") else [None, None]
    here.propose(e.FreeDays(days, hours[0], hours[-1]), slots)


def _weekday(day: object) -> int:
    return day if isinstance(day, int) else WEEKDAYS.index(str(day)[:3].lower())


def price(here: Here, slots: Slots) -> None:
    """A price each."""
    here.propose(e.Priced(Decimal(slots["price"]), here.batch_of(slots), slots.get("strain"), slots.get("sex")), slots)


PROPOSE: Mapping[str, Callable[[Here, Slots], None]] = {
    **{
        function.__name__: function
        for function in (
            place_added,
            place_retired,
            strain_added,
            joined,
            batch_joined,
            named,
            parents,
            spawned,
            holding,
            still_holding,
            brood_lost,
            released,
            stripped,
            moved,
            counted,
            died,
            measured,
            sexed,
            split,
            merged,
            mixed,
            told_apart,
            held_back,
            culled,
            left,
            water_tested,
            water_changed,
            fed,
            noted,
            habit,
            away,
            task_done,
            task_later,
            task_dropped,
            free_days,
            price,
        )
    },
    **ORDERS,
}
