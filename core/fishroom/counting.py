"""Deaths, counts and sexings: what the water says about the book.

**A count is an assertion.** Where it finds fewer fish than the book, the difference is first explained by deaths that were
told for a place where the batch lives and that nobody could assign; what remains becomes a dated "unexplained". Where it
finds more, the surplus becomes a dated "found".

**Spread.** A count covers the whole batch, in all its places and of both sexes. Missing fish are taken from those whose sex
nobody recorded, in proportion to their numbers in each place, then from the sexed ones in the same way. Fish found are
unsexed and are taken to be where most of the batch is.

**Unassigned deaths.** "2 dead in the tub" of several batches lowers the joint number of those batches only. Of the batches it may
concern, one that is counted is settled: it takes as many of the deaths as it lacks fish, and is no longer in question; when a
single batch is left in question, the deaths were its.
"""

from __future__ import annotations

from dataclasses import replace

from core.events import BatchId, Counted, Died, Entry, PlaceName, Sexed
from core.fishroom.batches import in_place
from core.fishroom.books import batch_meant, check_place, current, problem, remove, revised, sound_number
from core.fishroom.fish import gone
from core.fishroom.numbers import put, resexed, take, total
from core.fishroom.state import Batch, Change, ChangeKind, CountSaid, Fishroom, Group, SexingSaid, UnassignedDeaths

# --- deaths ----------------------------------------------------------------------------------------------------------


def died(room: Fishroom, event: Died, entry: Entry) -> None:
    """Deaths: of a known fish, of a batch, or found in a place."""
    if not sound_number(room, entry, event.count, event.fish or event.batch or event.place):
        return
    check_place(room, event.place, entry)
    if event.fish is not None:
        gone(room, event.fish, "died", entry)
    elif event.batch is not None:
        batch = batch_meant(room, event.batch, entry)
        if batch is not None:
            remove(room, batch, event.count, "died", entry, which=in_place(event.place), approx=event.approx)
    elif event.place is not None:
        _found_dead(room, event, event.place, entry)
    else:
        problem(room, entry, "nothing_said", "died")


def _found_dead(room: Fishroom, event: Died, place: PlaceName, entry: Entry) -> None:
    match room.batches_in(place), room.fish_in(place):
        case [batch], _:
            remove(room, batch, event.count, "died", entry, which=in_place(place), approx=event.approx)
        case [], [fish] if event.count == 1:
            gone(room, fish.id, "died", entry)
        case [], _:
            problem(room, entry, "who_died", place)
        case batches, _:
            _leave_unassigned(room, event, place, [batch.id for batch in batches], entry)


def _leave_unassigned(room: Fishroom, event: Died, place: PlaceName, batches: list[BatchId], entry: Entry) -> None:
    joint = sum(room.batches[batch].count for batch in batches)
    joint -= sum(u.count for u in room.unassigned if set(u.batches) & set(batches))
    if joint < event.count:
        problem(room, entry, "not_enough", place)
    if joint > 0:
        room.unassigned.append(UnassignedDeaths(entry.on, place, min(event.count, joint), tuple(batches), entry.number))


def settle_unassigned(room: Fishroom, entry: Entry) -> None:
    """Looks again at the deaths nobody could assign, after anything that changed a batch: who is still in question?

    Deaths that only one batch can have had are that batch's; deaths that no living batch can have had are a problem.
    """
    for deaths in list(room.unassigned):
        room.unassigned.remove(deaths)
        in_question = dict.fromkeys(current(room, batch) for batch in deaths.batches)
        living = [batch for batch in in_question if batch in room.batches and room.batches[batch].count > 0]
        match living:
            case []:
                problem(room, entry, "not_enough", deaths.place)
            case [batch]:
                remove(room, room.batches[batch], deaths.count, "assigned_death", entry)
            case _:
                room.unassigned.append(replace(deaths, batches=tuple(living)))


def _assign(room: Fishroom, batch: BatchId, missing: int) -> int:
    """How many of the missing fish are explained by unassigned deaths, oldest first; those deaths are then assigned."""
    assigned = 0
    for i, deaths in enumerate(room.unassigned):
        if batch in deaths.batches:
            here = min(missing - assigned, deaths.count)
            room.unassigned[i] = replace(deaths, count=deaths.count - here)
            assigned += here
    room.unassigned[:] = [deaths for deaths in room.unassigned if deaths.count > 0]
    return assigned


def _no_longer_in_question(room: Fishroom, batch: BatchId) -> None:
    room.unassigned[:] = [replace(u, batches=tuple(b for b in u.batches if b != batch)) for u in room.unassigned]


# --- counts ----------------------------------------------------------------------------------------------------------


def counted(room: Fishroom, event: Counted, entry: Entry) -> None:
    """The batch was counted: the book follows, and says how far it was off."""
    batch = batch_meant(room, event.batch, entry)
    if batch is None or not sound_number(room, entry, event.count, batch.id, least=0):
        return
    said = CountSaid(entry.on, event.count, batch.count, event.approx)
    room.batches[batch.id] = replace(batch, counts=(*batch.counts, said), approx=event.approx)
    agree(room, batch.id, event.count, entry, approx=event.approx)


def agree(room: Fishroom, batch_id: BatchId, number: int, entry: Entry, *, approx: bool = False) -> None:
    """Brings the batch's book to a number that was found."""
    batch = room.batches[batch_id]
    missing = batch.count - number
    assigned = _assign(room, batch_id, missing) if missing > 0 and room.unassigned else 0
    _write_off(room, batch_id, assigned, "assigned_death", entry, approx)
    _write_off(room, batch_id, missing - assigned, "unexplained", entry, approx)
    if missing < 0:
        _write_up(room, batch, -missing, entry, approx)
    if room.unassigned and not approx:
        _no_longer_in_question(room, batch_id)


def _write_off(room: Fishroom, batch_id: BatchId, count: int, kind: ChangeKind, entry: Entry, approx: bool) -> None:
    if count > 0:
        batch = room.batches[batch_id]
        groups, taken = take(batch.groups, count)
        room.batches[batch_id] = revised(
            batch, groups, entry.on, Change(entry.on, kind, -total(taken), entry.number, approx=approx)
        )


def _write_up(room: Fishroom, batch: Batch, count: int, entry: Entry, approx: bool) -> None:
    """A brood that was released uncounted enters the book by its first count."""
    kind: ChangeKind = "found" if batch.changes else "released"
    place = batch.places[0] if batch.places else (batch.stays[-1].place if batch.stays else None)
    groups = put(batch.groups, (Group(place, "unsexed", count),))
    room.batches[batch.id] = revised(batch, groups, entry.on, Change(entry.on, kind, count, entry.number, approx=approx))


# --- sexings ---------------------------------------------------------------------------------------------------------


def sexed(room: Fishroom, event: Sexed, entry: Entry) -> None:
    """What the batch now holds by sex. A sex that is not named keeps its number as far as there is room; the rest is unsexed.

    Where the unsexed are named too, or more are named than the book has, the numbers are also a count.
    """
    batch = batch_meant(room, event.batch, entry)
    named = [number for number in (event.males, event.females, event.unsexed) if number is not None]
    if batch is None or not named:
        return
    if not sound_number(room, entry, min(named), batch.id, least=0):
        return
    males, females, whole = _asserted(batch, event)
    if whole != batch.count:
        agree(room, batch.id, whole, entry)
        batch = room.batches[batch.id]
    said = SexingSaid(entry.on, males, females, whole - males - females)
    batch = replace(batch, sexings=(*batch.sexings, said))
    room.batches[batch.id] = revised(batch, resexed(batch.groups, males, females), entry.on)


def _asserted(batch: Batch, event: Sexed) -> tuple[int, int, int]:
    """Males, females and all fish that the sexing asserts."""
    named = (event.males or 0) + (event.females or 0)
    room_left = max(0, batch.count - named - (event.unsexed or 0))
    males = min(batch.count_of("male"), room_left) if event.males is None else event.males
    females = min(batch.count_of("female"), room_left) if event.females is None else event.females
    if event.unsexed is not None:
        return males, females, males + females + event.unsexed
    return males, females, max(batch.count, males + females)
