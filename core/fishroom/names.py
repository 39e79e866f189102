"""What the next fish, batch or brood is called, and who goes by a name now.

Letters and labels are given in order. One that was ever used here is not given again by itself; a keeper may ask for one
again once its first bearer is gone, and then the id (not the label) tells the two apart: "F4", "F4.2".
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import count, product
from string import ascii_uppercase
from typing import Literal

from core.events import BatchId, BroodId, FishId
from core.fishroom.state import Batch, Fish, Fishroom

Gender = Literal["male", "female"]
_INITIAL: dict[Gender, str] = {"male": "M", "female": "F"}


def pedigree_id(room: Fishroom, fish: Fish) -> str:
    """The fish's id throughout the club and through every change of hands: that of the fishroom it first was known in."""
    return fish.formerly or f"{room.id}/{fish.id}"


def batch_pedigree_id(room: Fishroom, batch: Batch) -> str:
    """The batch's id throughout the club, as `pedigree_id`."""
    return batch.formerly or f"{room.id}/{batch.id}"


def next_batch(room: Fishroom, taken: Collection[BatchId] = ()) -> BatchId:
    """The first of A … Z, AA, AB … that no batch of this fishroom ever had (nor is in `taken`)."""
    used = {batch.label for batch in room.batches.values()} | set(taken)
    return next(letters for letters in _letters() if letters not in used)


def _letters() -> Iterator[str]:
    for length in count(1):
        yield from ("".join(letters) for letters in product(ascii_uppercase, repeat=length))


def batch_id(room: Fishroom, label: str) -> BatchId | None:
    """The id for a batch whose label was asked for; None while fish that go by it live."""
    label = label.upper()
    if find_batch(room, label) is not None:
        return None
    return _numbered(label, room.batches)


def find_batch(room: Fishroom, label: str) -> Batch | None:
    """The batch with living fish that goes by this letter now: itself or the stock that it is part of."""
    label = label.upper()
    for batch in reversed(room.batches.values()):
        if batch.label != label:
            continue
        while batch.merged_into is not None and batch.merged_into in room.batches:
            batch = room.batches[batch.merged_into]
        if batch.count > 0:
            return batch
    return None


def next_label(room: Fishroom, sex: Gender, taken: Collection[str] = ()) -> str:
    """The first of 1, 2, 3 … that no fish of that sex ever had here (nor is in `taken`)."""
    used = {fish.label for fish in room.fish.values() if fish.sex == sex} | set(taken)
    return next(label for label in map(str, count(1)) if label not in used)


def fish_id(room: Fishroom, sex: Gender, label: str) -> FishId:
    """The id for a new fish with this label."""
    return _numbered(f"{_INITIAL[sex]}{label}", room.fish)


def find_fish(room: Fishroom, sex: Gender, label: str) -> Fish | None:
    """The living fish of that sex with that label."""
    wanted = label.casefold()
    return next((f for f in room.fish.values() if f.sex == sex and f.label.casefold() == wanted and f.alive_here), None)


def next_brood(room: Fishroom, taken: Collection[BroodId] = ()) -> BroodId:
    """ "brood 1", "brood 2" …, the first after all that were ever numbered here."""
    numbers = [int(tail) for name in (*room.broods, *taken) if (tail := name.removeprefix("brood ")).isdecimal()]
    return f"brood {max(numbers, default=0) + 1}"


def _numbered(name: str, used: Collection[str]) -> str:
    if name not in used:
        return name
    return next(numbered for n in count(2) if (numbered := f"{name}.{n}") not in used)
