"""Which letters, labels and numbers come next, and whom a label means now.

A label is never given again while its bearer lives; when it is, its id gets a full stop and a number ("B.2"), so that what the
journal says of the first bearer stays true. A batch whose fish are all gone, or that was merged away, frees its letters.
"""

from __future__ import annotations

from collections.abc import Container
from itertools import count

from core.events import BatchId, BroodId, FishId, Sex
from core.fishroom.state import Batch, Fish, Fishroom

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def letters(place: int) -> str:
    """A, B … Z, AA, AB …: the letters at a place counted from 0."""
    text = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        text = LETTERS[rest] + text
    return text


def _fresh(label: str, taken: Container[str]) -> str:
    """The label as an id, with a number behind it if an earlier bearer has that id."""
    if label not in taken:
        return label
    return next(f"{label}.{n}" for n in count(2) if f"{label}.{n}" not in taken)


def batch_id(room: Fishroom, label: str) -> BatchId:
    """The id of a new batch that shall go by this label (upper case)."""
    return _fresh(label.upper(), room.batches)


def next_batch(room: Fishroom) -> BatchId:
    """The id of the next batch: the letters after the last that were given, starting again at A once Z has been given and A is free.

    Going on rather than filling gaps keeps yesterday's B from being taken for today's.
    """
    living = {batch.label for batch in room.live_batches()}
    given = [batch.label for batch in room.batches.values() if batch.label.isalpha()]
    start = 0
    if given:
        last = given[-1]
        start = next(n for n in count() if letters(n) == last) + 1 if len(last) <= 2 else 0
    if start >= 26 and len(living) < 26:
        start = 0
    label = next(letters(n) for n in count(start) if letters(n) not in living)
    return batch_id(room, label)


def find_batch(room: Fishroom, label: str) -> Batch | None:
    """The batch that goes by the label now: a live one, one that the label's bearer was merged into, else the last that had it."""
    wanted = label.upper()
    bearers = [batch for batch in room.batches.values() if batch.label == wanted]
    for batch in reversed(bearers):
        if batch.merged_into is None and batch.count > 0:
            return batch
    if not bearers:
        return None
    found = bearers[-1]
    while found.merged_into is not None and found.merged_into in room.batches:
        found = room.batches[found.merged_into]
    return found


def _initial(sex: Sex) -> str:
    return "F" if sex == "female" else "M"


def fish_id(room: Fishroom, sex: Sex, label: str) -> FishId:
    """The id of a new fish that shall go by this label."""
    return _fresh(f"{_initial(sex)}{label}", room.fish)


def next_label(room: Fishroom, sex: Sex) -> str:
    """The lowest number above every number ever given to a fish of this sex."""
    numbers = [int(fish.label) for fish in room.fish.values() if fish.sex == sex and fish.label.isdigit()]
    return str(max(numbers, default=0) + 1)


def find_fish(room: Fishroom, sex: Sex, label: str) -> Fish | None:
    """The living fish of that sex with the label."""
    wanted = label.lower()
    for fish in room.fish.values():
        if fish.alive_here and fish.sex == sex and fish.label.lower() == wanted:
            return fish
    return None


def next_brood(room: Fishroom) -> BroodId:
    """The id of the next brood."""
    return f"brood {len(room.broods) + 1}"
