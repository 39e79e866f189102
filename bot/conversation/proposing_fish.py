"""What broods and batches do becomes events: spawned, stripped, moved, counted, died, sexed, split, merged, given."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, cast

from bot.conversation.here import Here, NotClearError, Unclear, day_of
from bot.replies import follow
from core import events as e

Slots = Mapping[str, Any]
MANY_MORE = 2
"""A count of so many times the book's number is booked, and doubted aloud: a slip of the finger looks like that (60 for 20)."""


def spawned(here: Here, slots: Slots) -> None:
    """A pair seen spawning."""
    female = here.fish("female", slots["female"]).id if "female" in slots else None
    male = here.fish("male", slots["male"]).id if "male" in slots else None
    here.propose(e.Spawned(female, male, here.new_brood() if female else None), slots)




def holding(here: Here, slots: Slots) -> None:
    """She carries; a spawning seen shortly before is the same brood's."""
    female = here.fish("female", slots["female"])
    male = here.fish("male", slots["male"]).id if "male" in slots else None
    open_brood = here.room.brood_of(female.id)
    on = day_of(slots.get("on")) or here.today
    same = open_brood and (open_brood.first_seen is None or open_brood.first_seen == on or male or (open_brood.since or on) > on)
    brood = open_brood.id if open_brood and same else here.new_brood()
    if open_brood and not same:
        raise NotClearError(Unclear("on", "already_holding", f"{(open_brood.first_seen or on).isoformat()} {female.label}"))
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
    """An assertion about a batch's number; of one that the book has empty too, for a count can have been wrong."""
    batch = here.own_batch(str(slots["batch"])) or here.emptied_batch(str(slots["batch"])) or here.batch(slots["batch"])
    if 0 < batch.count * MANY_MORE <= slots["count"]:
        here.remarks.append(follow.many_more(batch.label))
    here.propose(e.Counted(batch.id, slots["count"], bool(slots.get("approx"))), slots)


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
        elif known:
            options = (*(f"batch {found.label}" for found in batches), *(f"{found.sex} {found.label}" for found in known))
            raise NotClearError(Unclear("female", "who_died", str(place), options))
        elif not batches:
            raise NotClearError(Unclear("place", "nothing_there", str(place)))
    on = day_of(slots.get("on"))
    late = on is not None and on < here.today
    same_day_count = late and batch and any(count.on == on for count in here.room.batches[batch].counts)
    after = slots.get("after_count")
    if same_day_count and after is None:
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
        names = ",".join(here.room.strains[key].name if key in here.room.strains else key for key in strains)
        raise NotClearError(Unclear("hybrid", "different_strains", names, ("yes", "no")))
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


FISH: Mapping[str, Callable[[Here, Slots], None]] = {
    function.__name__: function
    for function in (
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
    )
}
