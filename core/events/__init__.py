"""Everything that can happen in a club, one frozen value per kind.

An event says what happened and to what; its `Entry` in the journal says when it happened, when it was told, by whom and in which
message. Ids of fish, broods, batches and reservations live in the events, so that they survive undoing, editing and replaying.

Ids are plain texts: a fish is its sex's letter and its label ("F4", "M1"), a batch its letters ("B"); where a label is given again
after the first bearer is gone, a full stop and a number follow ("F4.2", "B.2"). A brood is numbered within its fishroom
("brood 3"). A reservation or a wish has a number that counts through the whole club.
"""

from core.events.base import SEXES, BatchId, BroodId, Event, FishId, PersonId, PlaceName, PlaceType, Sex, StrainKey, StreamId
from core.events.batches import Counted, Culled, Died, HeldBack, Left, Measured, Merged, Mixed, Moved, Sexed, Split, ToldApart
from core.events.broods import BroodLost, Holding, Released, Spawned, StillHolding, Stripped
from core.events.clubs import Announced, ClubSetting, Wanted, WishAnswered, WishOffered
from core.events.journal import Entry, Source, Voided
from core.events.orders import (
    Cancelled,
    Collected,
    Confirmed,
    Declined,
    Deposit,
    NoShow,
    Offered,
    PickupAgreed,
    PickupRefused,
    PickupSet,
    Priced,
    ReservationChanged,
    Reserved,
    Sold,
    Withdrawn,
)
from core.events.running import Away, FishroomSetting, FreeDays, Habit, TaskDone, TaskDropped, TaskLater
from core.events.setting_up import BatchJoined, Joined, Named, Parents, PlaceAdded, PlaceRetired, StrainAdded
from core.events.water import Fed, Noted, Photographed, WaterChanged, WaterTested

__all__ = [
    "SEXES",
    "Announced",
    "Away",
    "BatchId",
    "BatchJoined",
    "BroodId",
    "BroodLost",
    "Cancelled",
    "ClubSetting",
    "Collected",
    "Confirmed",
    "Counted",
    "Culled",
    "Declined",
    "Deposit",
    "Died",
    "Entry",
    "Event",
    "Fed",
    "FishId",
    "FishroomSetting",
    "FreeDays",
    "Habit",
    "HeldBack",
    "Holding",
    "Joined",
    "Left",
    "Measured",
    "Merged",
    "Mixed",
    "Moved",
    "Named",
    "NoShow",
    "Noted",
    "Offered",
    "Parents",
    "PersonId",
    "Photographed",
    "PickupAgreed",
    "PickupRefused",
    "PickupSet",
    "PlaceAdded",
    "PlaceName",
    "PlaceRetired",
    "PlaceType",
    "Priced",
    "Released",
    "ReservationChanged",
    "Reserved",
    "Sex",
    "Sexed",
    "Sold",
    "Source",
    "Spawned",
    "Split",
    "StillHolding",
    "StrainAdded",
    "StrainKey",
    "StreamId",
    "Stripped",
    "TaskDone",
    "TaskDropped",
    "TaskLater",
    "ToldApart",
    "Voided",
    "Wanted",
    "WaterChanged",
    "WaterTested",
    "WishAnswered",
    "WishOffered",
    "Withdrawn",
]
