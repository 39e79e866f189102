"""Everything that can happen in a club, one frozen value per kind.

An event says what happened and to what; its `Entry` in the journal says when it happened, when it was told, by whom and in which
message. Ids of fish, broods, batches and reservations live in the events, so that they survive undoing, editing and replaying.

Ids are plain texts: a fish is its sex's letter and its label ("F4", "M1"), a batch its letters ("B"); where a label is given again
after the first bearer is gone, a full stop and a number follow ("F4.2", "B.2"). A brood is numbered within its fishroom
("brood 3"). A reservation or a wish has a number that counts through the whole club.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
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


# --- setting up a fishroom -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PlaceAdded(Event):
    """A tank, nursery box, tub or pond stands in the fishroom; said again, it changes the particulars that are given."""

    place: PlaceName
    type: PlaceType
    litres: float | None = None
    temp_c: float | None = None
    hangs_in: PlaceName | None = None
    hard_to_catch: bool | None = None
    loop: bool | None = None


@dataclass(frozen=True, slots=True)
class PlaceRetired(Event):
    """The place is no longer used."""

    place: PlaceName


@dataclass(frozen=True, slots=True)
class StrainAdded(Event):
    """A strain is kept here; `species` is the key of a species profile ("general" where none fits)."""

    strain: StrainKey
    name: str
    species: str = "general"
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Joined(Event):
    """One individually known fish came in, or grew up here out of a batch (`from_batch`: leaves its count, keeps its parents)."""

    fish: FishId
    sex: Literal["male", "female"]
    label: str
    strain: StrainKey
    to: PlaceName | None = None
    origin: str | None = None
    from_batch: BatchId | None = None
    nickname: str | None = None
    born: date | None = None
    formerly: str | None = None
    """Pedigree id of the same fish in the fishroom it came from ("ROOM/F4")."""


@dataclass(frozen=True, slots=True)
class BatchJoined(Event):
    """Young fish bought or given in."""

    batch: BatchId
    strain: StrainKey
    count: int
    approx: bool = False
    to: PlaceName | None = None
    origin: str | None = None
    mean_mm: float | None = None
    born: date | None = None
    formerly: str | None = None
    """Pedigree id of the batch in the fishroom it came from."""


@dataclass(frozen=True, slots=True)
class Named(Event):
    """A breeder is given a nickname."""

    fish: FishId
    nickname: str


@dataclass(frozen=True, slots=True)
class Parents(Event):
    """Somebody says who the parents of a fish or a batch are."""

    subject: FishId | BatchId
    sire: FishId | None = None
    dam: FishId | None = None


# --- broods ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Spawned(Event):
    """A pair was seen spawning; with a female, her brood begins."""

    female: FishId | None = None
    male: FishId | None = None
    brood: BroodId | None = None


@dataclass(frozen=True, slots=True)
class Holding(Event):
    """The female carries eggs or fry since the day of the entry (or was first seen to)."""

    female: FishId
    brood: BroodId
    male: FishId | None = None


@dataclass(frozen=True, slots=True)
class StillHolding(Event):
    """She was looked at and still carries; her start day stays."""

    female: FishId


@dataclass(frozen=True, slots=True)
class BroodLost(Event):
    """She swallowed, spat or lost the brood."""

    female: FishId


@dataclass(frozen=True, slots=True)
class Released(Event):
    """She let the fry go herself. With a count they become `batch`, swimming where she was."""

    female: FishId
    batch: BatchId | None = None
    count: int | None = None
    approx: bool = False


@dataclass(frozen=True, slots=True)
class Stripped(Event):
    """The fry were taken from her mouth: `count` alive, `eggs` unhatched or undeveloped, `dead`."""

    female: FishId
    batch: BatchId
    count: int
    approx: bool = False
    eggs: int | None = None
    dead: int | None = None
    to: PlaceName | None = None


# --- batches and places ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Moved(Event):
    """A fish, or a batch or part of it, goes to another place."""

    to: PlaceName
    fish: FishId | None = None
    batch: BatchId | None = None
    count: int | None = None
    sex: Sex | None = None
    from_place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Counted(Event):
    """The batch was counted: an assertion, so a difference from the book becomes a dated "unexplained" change."""

    batch: BatchId
    count: int
    approx: bool = False


@dataclass(frozen=True, slots=True)
class Died(Event):
    """Deaths: of a known fish, in a batch, or found in a place that holds several batches (then unassigned until a count)."""

    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None
    count: int = 1
    approx: bool = False
    after_count: bool | None = None
    """For a day that also has a count: whether the loss came after that count (None: told in order)."""


@dataclass(frozen=True, slots=True)
class Measured(Event):
    """Lengths of some fish of a batch, in mm; or their mean with the number measured."""

    batch: BatchId
    lengths: tuple[float, ...] = ()
    mean_mm: float | None = None
    n: int | None = None


@dataclass(frozen=True, slots=True)
class Sexed(Event):
    """What the batch now holds by sex; what is not named stays unsexed."""

    batch: BatchId
    males: int | None = None
    females: int | None = None
    unsexed: int | None = None


@dataclass(frozen=True, slots=True)
class Split(Event):
    """Part of a batch becomes a batch of its own."""

    batch: BatchId
    new: BatchId
    count: int | None = None
    sex: Sex | None = None
    to: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Merged(Event):
    """Batches are put together under the name of one of them. `hybrid` where their strains differ and the keeper said yes."""

    batches: tuple[BatchId, ...]
    into: BatchId
    hybrid: bool = False


@dataclass(frozen=True, slots=True)
class Mixed(Event):
    """Batches share water and can no longer be told apart: one stock from now on, under the name of `into`."""

    batches: tuple[BatchId, ...]
    into: BatchId
    place: PlaceName


@dataclass(frozen=True, slots=True)
class ToldApart(Event):
    """The keeper says that batches sharing a place can be told apart (by size, fins); asked once."""

    batches: tuple[BatchId, ...]
    place: PlaceName


@dataclass(frozen=True, slots=True)
class HeldBack(Event):
    """Some of the batch are kept as future breeders: still in it, but not to be promised."""

    batch: BatchId
    count: int
    sex: Sex | None = None


@dataclass(frozen=True, slots=True)
class Culled(Event):
    """Fish taken out for faults."""

    batch: BatchId
    count: int


@dataclass(frozen=True, slots=True)
class Left(Event):
    """A known fish left the fishroom: sold, given away, retired; `member` received it, `to_room` where they keep a fishroom."""

    fish: FishId
    member: PersonId | None = None
    to_room: str | None = None


# --- water, feeding, notes -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class WaterTested(Event):
    """Readings: pH, total ammonia, nitrite and nitrate in mg/L, °C, carbonate and general hardness in degrees."""

    place: PlaceName
    ph: float | None = None
    tan_mg_l: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    temp_c: float | None = None
    kh_dkh: float | None = None
    gh_dgh: float | None = None
    kit_unit: Literal["N", "NH3"] | None = None
    """Unit of the ammonia kit at the time of the test."""


@dataclass(frozen=True, slots=True)
class WaterChanged(Event):
    """Part of the water was replaced."""

    place: PlaceName
    percent: float | None = None
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class Fed(Event):
    """A feeding, of a place or a batch."""

    place: PlaceName | None = None
    batch: BatchId | None = None
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class Noted(Event):
    """A note. `text` is a key into the side table of free texts, so that it can be blanked on request."""

    text: str
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Photographed(Event):
    """A picture kept by us under `photo`; `text` is the caption's key in the side table."""

    photo: str
    text: str | None = None
    fish: FishId | None = None
    batch: BatchId | None = None
    place: PlaceName | None = None


# --- offers, reservations --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offered(Event):
    """The batch (or `count` of a sex of it) is for sale, from a day, at a price each."""

    batch: BatchId
    count: int | None = None
    sex: Sex | None = None
    price: Decimal | None = None
    from_day: date | None = None


@dataclass(frozen=True, slots=True)
class Withdrawn(Event):
    """The batch is no longer for sale; reservations stand."""

    batch: BatchId


@dataclass(frozen=True, slots=True)
class Priced(Event):
    """A price each, for a batch or for a strain, by sex where said."""

    price: Decimal
    batch: BatchId | None = None
    strain: StrainKey | None = None
    sex: Sex | None = None


@dataclass(frozen=True, slots=True)
class Reserved(Event):
    """`count` of the batch are promised to `member`; males and females where a mix was asked ("1 male and 4 females")."""

    reservation: int
    member: PersonId
    batch: BatchId
    count: int
    sex: Sex | None = None
    males: int | None = None
    females: int | None = None
    pickup: date | None = None
    at: time | None = None
    min_mm: float | None = None
    confirmed: bool = True
    hold_until: datetime | None = None
    """An unconfirmed reservation holds the fish until this moment (UTC), then it has lapsed without anybody's doing."""
    wish: int | None = None


@dataclass(frozen=True, slots=True)
class Confirmed(Event):
    """The keeper confirms."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Declined(Event):
    """The keeper declines."""

    reservation: int


@dataclass(frozen=True, slots=True)
class ReservationChanged(Event):
    """Fewer or more, another sex, another batch; the place in the row of promises stays unless more is asked."""

    reservation: int
    count: int | None = None
    sex: Sex | None = None
    batch: BatchId | None = None
    males: int | None = None
    females: int | None = None


@dataclass(frozen=True, slots=True)
class PickupSet(Event):
    """A pickup day and time: agreed, or a proposal of `proposed_by` until the other side accepts."""

    reservation: int
    pickup: date
    at: time | None = None
    proposed_by: PersonId | None = None


@dataclass(frozen=True, slots=True)
class PickupAgreed(Event):
    """The other side accepts the proposed pickup."""

    reservation: int


@dataclass(frozen=True, slots=True)
class PickupRefused(Event):
    """The other side does not accept; the earlier pickup stands."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Collected(Event):
    """Fetched, all (count None) or in part; what is left of a part collection stays reserved."""

    reservation: int
    count: int | None = None
    males: int | None = None
    females: int | None = None


@dataclass(frozen=True, slots=True)
class NoShow(Event):
    """The buyer did not come; the reservation is released."""

    reservation: int


@dataclass(frozen=True, slots=True)
class Cancelled(Event):
    """Called off, by `by_side` ("buyer" or "keeper")."""

    reservation: int
    by_side: Literal["buyer", "keeper"] | None = None


@dataclass(frozen=True, slots=True)
class Deposit(Event):
    """Money noted, never taken."""

    reservation: int
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Sold(Event):
    """Gone without a reservation; `price` for the lot."""

    batch: BatchId
    count: int
    sex: Sex | None = None
    member: PersonId | None = None
    price: Decimal | None = None


# --- running the fishroom --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Habit(Event):
    """A task that comes round every so many days at a place (None: wherever it applies)."""

    task: Literal["water_test", "water_change", "measure", "count"]
    every_days: int
    place: PlaceName | None = None


@dataclass(frozen=True, slots=True)
class Away(Event):
    """The keeper is away from `from_day` up to and including `to_day`; the sitter gets the digest meanwhile."""

    from_day: date
    to_day: date
    sitter: PersonId | None = None


@dataclass(frozen=True, slots=True)
class TaskDone(Event):
    """A care task, by its key, was done."""

    task: str


@dataclass(frozen=True, slots=True)
class TaskLater(Event):
    """A care task is put off until a day."""

    task: str
    until: date


@dataclass(frozen=True, slots=True)
class TaskDropped(Event):
    """Never again for this one."""

    task: str


@dataclass(frozen=True, slots=True)
class FreeDays(Event):
    """Weekdays (0 Monday … 6 Sunday) and hours when the keeper can catch and hand over."""

    weekdays: tuple[int, ...]
    from_time: time | None = None
    to_time: time | None = None


@dataclass(frozen=True, slots=True)
class FishroomSetting(Event):
    """A choice of the keeper: confirm_by_hand, hold_days, buyer_limit, kit_unit, fasting_days, catch_days."""

    name: str
    value: str


# --- the club --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ClubSetting(Event):
    """A choice of the club: promise_level, currency, date_order, units, shelf_public, answer_hours."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Wanted(Event):
    """A member looks for fish; kept in order until met, dropped or past its day."""

    wish: int
    member: PersonId
    strain: StrainKey
    count: int
    sex: Sex | None = None
    by_day: date | None = None
    min_mm: float | None = None


@dataclass(frozen=True, slots=True)
class WishOffered(Event):
    """The wish was offered fish of a batch of a fishroom, to be answered before `until`; then the next is asked."""

    wish: int
    room: str
    batch: BatchId
    count: int
    until: datetime


@dataclass(frozen=True, slots=True)
class WishAnswered(Event):
    """Taken ("met", by `reservation`), passed ("passed": stays on the list), or dropped."""

    wish: int
    answer: Literal["met", "passed", "dropped"]
    reservation: int | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Announced(Event):
    """Something posted to the club's group; `text` is a key of the side table."""

    text: str


# --- taking back -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Voided(Event):
    """The entry with this number of the same stream counts as never said. Voiding a `Voided` restores what it took back."""

    target: int


# --- the journal's envelope ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Source:
    """Which message an entry came from: front door and chat, the platform's message id, and the revision (0, then edits)."""

    door: str
    message: str
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a stream's journal.

    `on` and `at` are the local day and time of day when it happened; `told` the moment (UTC) it was told. `order` places it among
    entries of one day: usually its own number, but an edited message keeps the order of the entry it replaces.
    """

    stream: StreamId
    number: int
    event: Event
    on: date
    told: datetime
    by: PersonId
    at: time | None = None
    source: Source | None = None
    order: int = 0
