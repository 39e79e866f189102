"""What every event is, and the names of what events speak of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

StreamId = str
"""`fishroom:ID` or `club:ID`."""
PersonId = str
FishId = str
BatchId = str
BroodId = str
PlaceName = str
StrainKey = str
Sex = Literal["male", "female", "unsexed"]
PlaceType = Literal["tank", "box", "tub", "pond"]
SEXES: tuple[Sex, ...] = ("male", "female", "unsexed")


@dataclass(frozen=True, slots=True)
class Event:
    """What every event is: a fact of the water, or a decision of somebody."""
