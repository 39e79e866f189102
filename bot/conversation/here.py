"""Where a message is being read: who writes, in which club and fishroom, when, and what the fishroom would be with what was said so far."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from bot.conversation.scene import Scene
from bot.reading import Names
from core.club import Proposal
from core.club.visit import Visit
from core.events import (
    BatchId,
    BatchJoined,
    Entry,
    Event,
    FishId,
    Holding,
    Joined,
    Released,
    Reserved,
    Spawned,
    Split,
    StrainAdded,
    Stripped,
    Wanted,
)
from core.fishroom import names as naming
from core.fishroom.replay import apply
from core.fishroom.state import Batch, Club, Fish, Fishroom


@dataclass(frozen=True, slots=True)
class Unclear:
    """What was read cannot be made an event: about which slot, why (a short key), and what it could be."""

    about: str
    why: str
    value: str = ""
    options: tuple[str, ...] = ()
    facts: Any = None
    """What the sentence may need beyond that."""


class NotClearError(Exception):
    """Carries an `Unclear` out of the depths of proposing; caught at its door and never seen outside."""

    def __init__(self, unclear: Unclear) -> None:
        super().__init__(unclear.why)
        self.unclear = unclear


@dataclass(slots=True)
class Here:
    """The scene of one message. `scratch` is a copy of the fishroom to which the proposals made so far were applied."""

    visit: Visit
    person: str
    club_id: str
    room_id: str | None
    now: datetime
    """Local, naive."""
    told: datetime
    names: Names
    scratch: Fishroom | None = None
    proposals: list[Proposal] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)
    reuse: dict[str, list[str]] = field(default_factory=dict)
    """Ids of the entries that an edited message replaces, by what they name: "batch", "brood", "reservation", "wish"."""
    remarks: list[str] = field(default_factory=list)
    key: str = ""
    """A text that is this message's own, for keys of free texts."""
    tasks: tuple[str, ...] = ()
    """Keys of the tasks in the last digest shown."""

    @property
    def today(self) -> date:
        """The writer's day."""
        return self.now.date()

    @property
    def club(self) -> Club:
        """The club's own state."""
        return self.visit.club(self.club_id)

    @property
    def room(self) -> Fishroom:
        """The fishroom with what was said so far in it."""
        if self.scratch is None:
            if self.room_id is None:
                raise NotClearError(Unclear("place", "no_fishroom"))
            self.scratch = self.visit.room(self.room_id).fork()
        return self.scratch

    def in_room(self, room_id: str) -> None:
        """Go on in another fishroom (a buyer's reservation stands in its keeper's)."""
        if room_id != self.room_id:
            self.room_id = room_id
            self.scratch = None

    def propose(self, event: Event, slots: Mapping[str, object] | None = None) -> None:
        """Add an event of the fishroom, on the day and at the time of the slots, and let the scratch copy live it."""
        found = slots or {}
        on = day_of(found.get("on")) or self.today
        at = time_of(found.get("at")) if "on" in found else None
        room = self.room
        proposal = Proposal(f"fishroom:{room.id}", event, on, at)
        self.proposals.append(proposal)
        number = room.number + 1
        apply(room, Entry(proposal.stream, number, event, on, self.told, self.person, at, None, number))
        room.number = number

    def propose_club(self, event: Event) -> None:
        """Add an event of the club's own stream."""
        self.proposals.append(Proposal(f"club:{self.club_id}", event, self.today))

    def go_on_without(self, entries: Sequence[Entry]) -> None:
        """Go on as if these entries had not been said, and give the ids they gave again, so that what names them stays true."""
        for entry in entries:
            for kind, value in ids_given(entry.event):
                self.reuse.setdefault(kind, []).append(value)
        rooms = {entry.stream.partition(":")[2] for entry in entries if entry.stream.startswith("fishroom:")}
        if self.room_id is None and rooms:
            self.room_id = next(iter(rooms))
        if self.room_id in rooms:
            gone = {entry.number for entry in entries if entry.stream == f"fishroom:{self.room_id}"}
            self.scratch = self.visit.room_without(self.room_id, gone)

    def own_batch(self, label: str) -> Batch | None:
        """The writer's own batch of these letters."""
        return naming.find_batch(self.room, label)

    def emptied_batch(self, label: str) -> Batch | None:
        """The last batch of these letters, if the book has no fish in it any more."""
        found = [batch for batch in self.room.batches.values() if batch.label == label.upper() and batch.merged_into is None]
        return found[-1] if found else None

    def hand_over(self, fish: Fish, to_room: str, slots: Mapping[str, object]) -> None:
        """A fish that leaves for another fishroom of the club stands in the book there, under the next free label."""
        there = self.visit.room(to_room)
        sex = fish.sex
        label = fish.label if naming.find_fish(there, sex, fish.label) is None else naming.next_label(there, sex)
        on = day_of(slots.get("on")) or self.today
        stream = f"fishroom:{to_room}"
        if fish.strain not in there.strains and fish.strain in self.room.strains:
            known = self.room.strains[fish.strain]
            self.proposals.append(
                Proposal(stream, StrainAdded(fish.strain, known.name, known.species, known.names), on, received=True)
            )
        joined = Joined(
            naming.fish_id(there, sex, label),
            sex,
            label,
            fish.strain,
            origin=self.visit.keeper_name(self.room.id),
            nickname=fish.nickname,
            born=fish.born,
            formerly=naming.pedigree_id(self.room, fish),
        )
        self.proposals.append(Proposal(stream, joined, on, received=True))

    # ids --------------------------------------------------------------------------------------------------------

    def reused(self, kind: str) -> str | None:
        """The next id of this kind that the replaced entries had, if there is one left."""
        return self.reuse[kind].pop(0) if self.reuse.get(kind) else None

    def new_batch(self, label: object = None) -> BatchId:
        """The id of a new batch: the label asked for, else the replaced entry's, else the next letters."""
        if label:
            found = naming.batch_id(self.room, str(label))
            if found is None:
                raise NotClearError(Unclear("batch", "taken", str(label)))
            return found
        return self.reused("batch") or naming.next_batch(self.room)

    def new_brood(self) -> str:
        """The id of a new brood."""
        return self.reused("brood") or naming.next_brood(self.room)

    def new_reservation(self) -> int:
        """A reservation number of the club."""
        found = self.reused("reservation")
        return int(found) if found else self.visit.counter(self.club_id, "reservation")

    def new_wish(self) -> int:
        """A number on the wanted list."""
        found = self.reused("wish")
        return int(found) if found else self.visit.counter(self.club_id, "wish")

    # what slots name --------------------------------------------------------------------------------------------

    def fish(self, sex: naming.Gender, label: object) -> Fish:
        """The living fish with that sex and label."""
        found = naming.find_fish(self.room, sex, str(label))
        if found is None:
            raise NotClearError(Unclear(sex, "unknown", str(label)))
        return found

    def fish_of(self, slots: Mapping[str, object]) -> FishId | None:
        """Id of the fish that the slots name, if they name one."""
        sexes: tuple[naming.Gender, ...] = ("female", "male")
        for sex in sexes:
            if sex in slots:
                return self.fish(sex, slots[sex]).id
        return None

    def batch(self, label: object) -> Batch:
        """The batch that goes by these letters now."""
        found = naming.find_batch(self.room, str(label))
        if found is None:
            raise NotClearError(Unclear("batch", "unknown", str(label)))
        return found

    def batch_of(self, slots: Mapping[str, object]) -> BatchId | None:
        """Id of the batch that the slots name, if they name one."""
        return self.batch(slots["batch"]).id if "batch" in slots else None

    def keep_text(self, text: str) -> str:
        """Put a free text aside; its key goes into the event."""
        key = f"{self.key}:{len(self.texts)}"
        self.texts[key] = text
        return key


def here_of(scene: Scene, local: datetime | None = None) -> Here:
    """The scene of a message as labels are looked up and events proposed in it; `local` is when it was written, if not now."""
    return Here(
        scene.visit,
        scene.person.id,
        scene.club.id,
        scene.room_id,
        local or scene.local,
        scene.now,
        scene.names(),
        key=f"{scene.source.door}:{scene.source.message}:{scene.revision}",
        tasks=tuple(scene.tasks_shown),
    )


def day_of(value: object) -> date | None:
    """A day of a reading's slot."""
    return date.fromisoformat(str(value)) if value else None


def time_of(value: object) -> time | None:
    """A time of day of a reading's slot."""
    return time.fromisoformat(str(value)) if value else None


def ids_given(event: Event) -> Iterator[tuple[str, str]]:
    """The ids that an event gave, with what they name."""
    match event:
        case Stripped(batch=batch) | BatchJoined(batch=batch) | Split(new=batch):
            yield "batch", batch
        case Released(batch=batch) if batch:
            yield "batch", batch
        case Holding(brood=brood):
            yield "brood", brood
        case Spawned(brood=brood) if brood:
            yield "brood", brood
        case Reserved(reservation=number):
            yield "reservation", str(number)
        case Wanted(wish=number):
            yield "wish", str(number)
