"""What a fishroom's journal adds up to: a pure fold over the entries that count, in the order in which things happened.

Nothing here raises over what somebody wrote: an entry that does not fit, or no longer fits after another was taken back,
becomes a `Problem`, and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from core import events as e
from core.events import Entry, Event, Voided
from core.fishroom import batches, broods, counting, fish, promises, setup, stocks, water
from core.fishroom.books import problem
from core.fishroom.ordering import SETTING_UP, astray, comes_last, in_order, live, position_after
from core.fishroom.state import Fishroom

Handler = Callable[[Fishroom, Any, Entry], None]
ASTRAY = "no_such_entry"
"""Why a void that names no earlier entry does not fit."""

HANDLERS: dict[type[Event], Handler] = {
    e.PlaceAdded: setup.place_added,
    e.PlaceRetired: setup.place_retired,
    e.StrainAdded: setup.strain_added,
    e.Joined: fish.joined,
    e.BatchJoined: batches.batch_joined,
    e.Named: fish.named,
    e.Parents: fish.parents,
    e.Spawned: broods.spawned,
    e.Holding: broods.holding,
    e.StillHolding: broods.still_holding,
    e.BroodLost: broods.brood_lost,
    e.Released: broods.released,
    e.Stripped: broods.stripped,
    e.Moved: batches.moved,
    e.Counted: counting.counted,
    e.Died: counting.died,
    e.Measured: batches.measured,
    e.Sexed: counting.sexed,
    e.Split: stocks.split,
    e.Merged: stocks.merged,
    e.Mixed: stocks.mixed,
    e.ToldApart: stocks.told_apart,
    e.HeldBack: batches.held_back,
    e.Culled: batches.culled,
    e.Left: fish.left,
    e.WaterTested: water.water_tested,
    e.WaterChanged: water.water_changed,
    e.Fed: water.fed,
    e.Noted: water.noted,
    e.Photographed: water.photographed,
    e.Offered: batches.offered,
    e.Withdrawn: batches.withdrawn,
    e.Priced: batches.priced,
    e.Reserved: promises.reserved,
    e.Confirmed: promises.confirmed,
    e.Declined: promises.declined,
    e.ReservationChanged: promises.changed,
    e.PickupSet: promises.pickup_set,
    e.PickupAgreed: promises.pickup_agreed,
    e.PickupRefused: promises.pickup_refused,
    e.Collected: promises.collected,
    e.NoShow: promises.no_show,
    e.Cancelled: promises.cancelled,
    e.Deposit: promises.deposit,
    e.Sold: batches.sold,
    e.Habit: setup.habit,
    e.Away: setup.away,
    e.TaskDone: setup.task_done,
    e.TaskLater: setup.task_later,
    e.TaskDropped: setup.task_dropped,
    e.FreeDays: setup.free_days,
    e.FishroomSetting: setup.setting,
}
"""What each kind of event does to a fishroom."""


def replay(room_id: str, entries: Iterable[Entry]) -> Fishroom:
    """The fishroom after all these entries (of its stream, in any order)."""
    everything = list(entries)
    room = Fishroom(room_id.removeprefix("fishroom:"))
    ordered = in_order(live(everything))
    for entry in ordered:
        _take(room, entry)
    for entry in astray(everything):
        problem(room, entry, ASTRAY, entry.number)
    _stand(room, ordered)
    room.number = max((entry.number for entry in everything), default=0)
    return room


def apply(room: Fishroom, entry: Entry) -> None:
    """Adds one entry that comes after all others (see `comes_last`) to the state, in place."""
    _take(room, entry)
    room.position = position_after(room.position, entry)
    room.latest = entry.on
    room.number = max(room.number, entry.number)


def bring_up(room: Fishroom, new: Sequence[Entry], everything: Callable[[], Iterable[Entry]]) -> Fishroom:
    """The state with new entries taken in; `room` is left as it was.

    A void or a late entry has the whole journal replayed, which `everything` then loads (with the new entries in it).
    """
    return added(room, new) or replay(room.id, everything())


def added(room: Fishroom, new: Iterable[Entry]) -> Fishroom | None:
    """The state with entries added that come after all others; None where one does not. `room` is left as it was."""
    state = room.fork()
    for entry in new:
        if not comes_last(state, entry):
            return None
        apply(state, entry)
    return state


def reaches_behind(room: Fishroom, new: Iterable[Entry]) -> bool:
    """Whether one of the entries is about a day that is over by the state, or takes back what it has in it."""
    return any(
        entry.event.target <= room.number if isinstance(entry.event, Voided) else room.latest is not None and entry.on < room.latest
        for entry in new
    )


def resumed(room: Fishroom, since: Sequence[Entry]) -> Fishroom | None:
    """The state after all entries, replayed from an earlier state on: `since` are those told after it, in any order.

    None where that state is not what a replay of everything would come through: where something was told late about its days or
    takes back what is in it, or where what was set up since may shed another light on what was told before.
    """
    told = live(since)
    voids = [entry for entry in since if isinstance(entry.event, Voided)]
    if reaches_behind(room, [*told, *voids]) or astray(since) or any(one.why == ASTRAY for one in room.problems):
        return None
    ordered = in_order(told)
    if any(isinstance(entry.event, SETTING_UP) for entry in told) and ordered != told:
        return None
    state = added(room, ordered)
    if state is not None:
        state.number = max((room.number, *(entry.number for entry in since)))
    return state


def _take(room: Fishroom, entry: Entry) -> None:
    handler = HANDLERS.get(type(entry.event))
    if handler is None:
        if not isinstance(entry.event, Voided):
            problem(room, entry, "unknown_kind", type(entry.event).__name__)
        return
    handler(room, entry.event, entry)
    if room.unassigned:
        counting.settle_unassigned(room, entry)


def _stand(room: Fishroom, ordered: Sequence[Entry]) -> None:
    """Notes where the last entry stands."""
    if not ordered:
        return
    room.latest = max(entry.on for entry in ordered)
    day = [entry for entry in ordered if entry.on == room.latest]
    for entry in sorted(day, key=lambda entry: entry.order):
        position = position_after(room.position, entry)
        room.position = position if room.position is None or room.position[0] != entry.on else max(room.position, position)
