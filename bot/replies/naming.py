"""How fish, batches, strains and places are called in a sentence."""

from __future__ import annotations

from core.events import BatchId, FishId, StrainKey
from core.fishroom.state import Batch, Fish, Fishroom


def label(batch_id: BatchId) -> str:
    """The letters a batch goes by, whatever its id: "B" for "B.2"."""
    return batch_id.partition(".")[0]


def strain(room: Fishroom, key: StrainKey) -> str:
    """The strain's name, with a small letter where it is a common name: "yellow lab"."""
    found = room.strains.get(key)
    return found.name if found else key.replace("-", " ")


def fish(room: Fishroom, fish_id: FishId, *, with_strain: bool = False) -> str:
    """ "Female 4", "Male 1 (Rook)"; where wanted with the strain."""
    found = room.fish.get(fish_id)
    if found is None:
        return fish_id
    return fish_name(found) + (f", {strain(room, found.strain)}" if with_strain else "")


def fish_name(found: Fish) -> str:
    """ "Female 4", "Male 1 (Rook)"."""
    nickname = f" ({found.nickname})" if found.nickname else ""
    return f"{found.sex.capitalize()} {found.label}{nickname}"


def inside(name: str) -> str:
    """A name inside a sentence: its first letter small, a nickname as it is ("male 1 (Rook)")."""
    return name[:1].lower() + name[1:]


def batch(room: Fishroom, batch_id: BatchId, *, with_strain: bool = False) -> str:
    """ "Batch B"; where wanted with the strain, and with "hybrids" where strains were crossed."""
    found = room.batches.get(batch_id)
    if found is None:
        return f"Batch {batch_id}"
    return f"Batch {found.label}" + (f" ({kind_of_batch(room, found)})" if with_strain else "")


def kind_of_batch(room: Fishroom, found: Batch) -> str:
    """The batch's strain, or "hybrids of …"."""
    if found.hybrid:
        return f"hybrids of {' and '.join(strain(room, key) for key in found.hybrid)}"
    return strain(room, found.strain)


def subject(room: Fishroom, fish_id: FishId | None, batch_id: BatchId | None, place: str | None) -> str:
    """Whichever of the three is meant."""
    if fish_id:
        return fish(room, fish_id)
    if batch_id:
        return batch(room, batch_id)
    return (place or "here")[:1].upper() + (place or "here")[1:]
