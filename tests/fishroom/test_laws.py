"""What holds of every journal, however muddled: taking back, late entries, and fish that neither vanish nor appear."""

import json
import random
from dataclasses import replace
from datetime import time

from hypothesis import given, settings
from hypothesis import strategies as st

from core.codec import decode_entry, encode_entry
from core.events import (
    BatchJoined,
    Died,
    Entry,
    Fed,
    Joined,
    PlaceAdded,
    Released,
    Split,
    StrainAdded,
    Stripped,
    Voided,
    WaterTested,
)
from core.fishroom.ordering import comes_last
from core.fishroom.replay import HANDLERS, apply, bring_up, replay, resumed
from core.fishroom.state import Fishroom
from tests.fishroom.streams import (
    ANYHOW,
    CROWDED,
    HAPPENINGS,
    IN_ORDER,
    SETUP,
    VOIDS,
    Told,
    day_by_day,
    journal,
    renumbered,
    told_anew,
    with_voids,
    without_numbers,
)

SETS_UP_OR_BORN = (BatchJoined, Joined, PlaceAdded, Released, Split, StrainAdded, Stripped)
MARIT = "fishroom:marit"
laws = settings(max_examples=30, deadline=None)


def taken_back(entries: list[Entry], target: int) -> list[Entry]:
    return [*entries, replace(entries[-1], number=len(entries) + 1, order=len(entries) + 1, event=Voided(target))]


def settled(room: Fishroom) -> Fishroom:
    room.number = 0
    return room


@laws
@given(ANYHOW, st.data())
def test_what_was_taken_back_counts_as_never_said(told: list[Told], data: st.DataObject) -> None:
    entries = journal(told)
    target = data.draw(st.sampled_from(entries)).number
    never_said = [entry for entry in entries if entry.number != target]
    assert settled(replay(MARIT, taken_back(entries, target))) == settled(replay(MARIT, never_said))


@laws
@given(ANYHOW, st.data())
def test_taking_back_the_taking_back_restores_what_was_said(told: list[Told], data: st.DataObject) -> None:
    entries = journal(told)
    target = data.draw(st.sampled_from(entries)).number
    restored = taken_back(taken_back(entries, target), len(entries) + 1)
    assert settled(replay(MARIT, restored)) == settled(replay(MARIT, entries))


@laws
@given(IN_ORDER, st.randoms(use_true_random=False))
def test_facts_of_different_days_may_be_told_in_any_order(told: list[Told], chance: random.Random) -> None:
    """Ids live in the events and the day decides, so only journal numbers and the row of promises tell the difference."""
    entries = day_by_day(told)
    shuffled = entries[len(SETUP) :]
    chance.shuffle(shuffled)
    retold = [renumbered(entry, number) for number, entry in enumerate([*entries[: len(SETUP)], *shuffled], start=1)]
    assert without_numbers(replay(MARIT, retold)) == without_numbers(replay(MARIT, entries))


@laws
@given(ANYHOW, VOIDS)
def test_the_state_kept_at_hand_is_the_replayed_state(told: list[Told], voids: list[tuple[int, int]]) -> None:
    entries = with_voids(journal(told), voids)
    at_hand = replay(MARIT, entries[: len(SETUP)])
    for number in range(len(SETUP), len(entries)):
        at_hand = bring_up(at_hand, entries[number : number + 1], lambda upto=number + 1: entries[:upto])
    assert at_hand == replay(MARIT, entries)


@settings(max_examples=100, deadline=None)
@given(CROWDED, VOIDS, st.data())
def test_what_is_replayed_from_an_earlier_state_on_is_what_a_replay_of_all_gives(
    told: list[Told], voids: list[tuple[int, int]], data: st.DataObject
) -> None:
    """From whatever state a replay may go on: where it does, it comes to the same. Messages are told late, taken back, told anew."""
    entries = told_anew(with_voids(journal(told), voids), data.draw(st.lists(st.integers(0, 40), max_size=2)))
    whole = replay(MARIT, entries)
    for upto in range(len(entries) + 1):
        state = resumed(replay(MARIT, entries[:upto]), entries[upto:])
        assert state is None or state == whole


def test_todays_slips_are_put_right_without_a_replay_of_all() -> None:
    """Taken back, told late within the last days, told anew: only those days are replayed."""
    breakfast, tests, dead = Fed("tub"), WaterTested("tank 1", ph=7.8), Died(batch="A", count=2)
    entries = journal([Told(breakfast, 1), Told(tests, 1, time(8)), Told(dead, 2), Told(breakfast, 3), Told(tests, 2, time(7))])
    entries = taken_back(entries, len(SETUP) + 3)
    anew = replace(renumbered(entries[-2], len(entries) + 1), event=Died(batch="A", count=1), order=entries[-3].order)
    entries.append(anew)
    state = resumed(replay(MARIT, entries[: len(SETUP) + 2]), entries[len(SETUP) + 2 :])
    assert state == replay(MARIT, entries)
    assert state is not None
    assert state.batches["A"].count == 19


@laws
@given(IN_ORDER)
def test_entries_in_order_are_added_without_a_replay(told: list[Told]) -> None:
    room = Fishroom("marit")
    entries = day_by_day([t for t in told if getattr(t.event, "after_count", None) is not False])
    for entry in entries:
        if comes_last(room, entry):
            apply(room, entry)
        else:  # only where earlier entries may be understood otherwise
            assert isinstance(entry.event, SETS_UP_OR_BORN)
            room = replay(MARIT, entries[: entry.number])
    assert room == replay(MARIT, entries)


@laws
@given(ANYHOW, VOIDS)
def test_a_journal_read_from_json_replays_to_the_same_state(told: list[Told], voids: list[tuple[int, int]]) -> None:
    entries = with_voids(journal(told), voids)
    read = [decode_entry(json.loads(json.dumps(encode_entry(entry)))) for entry in entries]
    assert replay(MARIT, read) == replay(MARIT, entries)


@settings(max_examples=60, deadline=None)
@given(ANYHOW, VOIDS)
def test_no_count_falls_below_zero_and_fish_are_conserved(told: list[Told], voids: list[tuple[int, int]]) -> None:
    room = replay(MARIT, with_voids(journal(told), voids))
    for batch in room.batches.values():
        assert all(group.count > 0 for group in batch.groups)
        assert batch.count == sum(change.count for change in batch.changes)
        assert 0 <= batch.held_back_count <= batch.count
        assert all(count > 0 for _, count in batch.held_back)
        assert sum(share for _, share in batch.parentage.pairs) == 1 or abs(sum(s for _, s in batch.parentage.pairs) - 1) < 1e-9
        if batch.merged_into is not None:
            assert batch.count == 0
            assert batch.merged_into in room.batches
        if batch.mixture:
            assert abs(sum(share for _, share in batch.mixture) - 1) < 1e-9
    everything = [change for batch in room.batches.values() for change in batch.changes]
    assert sum(c.count for c in everything if c.kind in ("split_off", "split_in", "merged_away", "merged_in")) == 0


@settings(max_examples=60, deadline=None)
@given(ANYHOW, VOIDS)
def test_what_is_in_the_state_hangs_together(told: list[Told], voids: list[tuple[int, int]]) -> None:
    room = replay(MARIT, with_voids(journal(told), voids))
    for female, brood in room.holding.items():
        assert room.broods[brood].female == female
        assert room.broods[brood].ended is None
        assert room.fish[female].alive_here
    for brood in room.broods.values():
        assert (brood.ended is None) == (brood.outcome is None)
    for deaths in room.unassigned:
        assert deaths.count > 0
        assert len(deaths.batches) > 1
        assert all(room.batches[batch].count > 0 for batch in deaths.batches)
    for reservation in room.reservations.values():
        assert 0 <= reservation.collected <= reservation.count
        assert (reservation.status in ("unconfirmed", "confirmed")) == (reservation.closed is None)
        batch = room.batches.get(reservation.batch)
        assert reservation.closed or batch is None or batch.merged_into is None
    for fish in room.fish.values():
        assert (fish.place is None) or fish.alive_here
        assert [stay.since for stay in fish.stays] == sorted({stay.since for stay in fish.stays})


@settings(max_examples=60, deadline=None)
@given(st.lists(HAPPENINGS, max_size=30))
def test_a_muddle_in_an_empty_fishroom_is_a_row_of_problems(happenings: list) -> None:
    entries = journal([Told(event, day) for day, event in enumerate(happenings)])[len(SETUP) :]
    room = replay(MARIT, entries)
    assert {problem.entry for problem in room.problems} <= {entry.number for entry in entries}


def test_every_kind_that_belongs_to_a_fishroom_has_its_handler() -> None:
    of_the_club = {"ClubSetting", "Wanted", "WishOffered", "WishAnswered", "Announced", "Voided"}
    from core.codec import KINDS

    assert {kind.__name__ for kind in KINDS.values()} - {kind.__name__ for kind in HANDLERS} == of_the_club
