"""The scene of one incoming message: who it is, in which club and fishroom, at what local time, and what is remembered of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from typing import Any, cast
from zoneinfo import ZoneInfo

from bot.conversation.club_names import names_for
from bot.conversation.message import Button, Origin
from bot.reading import Context, Names
from bot.replies.cautions import caution, due_cautions, kinds_for
from bot.replies.words import Style
from core.club import Visit
from core.events import Source
from core.fishroom.choices import currency, level_of
from core.fishroom.state import Fishroom
from core.planning.promises import Now
from core.store.clubs import Club as ClubRow
from core.store.people import Person

BUTTON_DAYS = 30
HERE_FOR = timedelta(hours=2)
"""A scanned place is forgotten after this."""
SPOKEN_FOR = timedelta(hours=12)
"""What "her" means is forgotten after this."""


class Scene:
    """Everything about one incoming message that does not depend on its words."""

    def __init__(self, visit: Visit, origin: Origin, now: datetime, club: ClubRow, room_id: str | None) -> None:
        self.visit = visit
        self.origin = origin
        self.now = now
        self.club = club
        self.room_id = room_id
        self.revision = 0
        """Of an edit of an earlier text or caption: 1, 2 …"""
        self.person: Person = visit.person(origin.person)
        self.stirred: set[str] = set()
        """Fishrooms where what was recorded may have freed fish for somebody who waits."""
        self.memory: dict[str, Any] = visit.tx.memory.get(origin.person, origin.door, origin.chat)

    # time and style ---------------------------------------------------------------------------------------------

    @cached_property
    def zone(self) -> ZoneInfo:
        """The member's zone, else the club's."""
        return ZoneInfo(self.person.zone or self.club.zone)

    @cached_property
    def local(self) -> datetime:
        """The member's wall clock, naive."""
        return self.now.astimezone(self.zone).replace(tzinfo=None)

    @property
    def written(self) -> datetime:
        """The member's wall clock when the message was written, naive: earlier than now where it waited for a connection."""
        moment = min(self.origin.written or self.now, self.now)
        return moment.astimezone(self.zone).replace(tzinfo=None)

    @property
    def today(self) -> date:
        """The member's day."""
        return self.local.date()

    @property
    def midnight(self) -> datetime:
        """The moment (UTC) at which the member's day began."""
        return datetime.combine(self.today, time(), self.zone).astimezone(UTC)

    @cached_property
    def style(self) -> Style:
        """How the member reads dates, lengths and money."""
        return style_of(self.visit, self.club, self.today, self.person)

    @property
    def source(self) -> Source:
        """Where entries made from this message say they come from."""
        return Source(f"{self.origin.door}:{self.origin.chat}", self.origin.message, self.revision)

    # the club ---------------------------------------------------------------------------------------------------

    @property
    def room(self) -> Fishroom | None:
        """The fishroom the writer is in, if any."""
        return self.visit.room(self.room_id) if self.room_id else None

    @cached_property
    def members(self) -> Mapping[str, str]:
        """Names of the club's people by id."""
        return self.visit.names(self.club.id)

    def go_to(self, room_id: str) -> None:
        """Go on in this fishroom, in a club of the writer's that shows it."""
        if room_id not in self.visit.roster(self.club.id).rooms:
            shows = (club for club in self.visit.clubs_of(self.person.id) if room_id in self.visit.roster(club.id).rooms)
            self.club = next(shows, self.club)
            self.look_again()
        self.room_id = room_id

    def enter(self, club_id: str) -> None:
        """Go on in this club, where the writer belongs to it, and in their first fishroom there."""
        if club_id != self.club.id:
            self.club = next((club for club in self.visit.clubs_of(self.person.id) if club.id == club_id), self.club)
            self.room_id = self.visit.room_of(self.person.id, self.club.id)
            self.look_again()

    def look_again(self) -> None:
        """Forget what was worked out for the person's choices or the club as they were before."""
        for name in ("zone", "local", "style", "members", "roles"):
            self.__dict__.pop(name, None)

    @property
    def is_keeper(self) -> bool:
        """Whether the writer keeps the fishroom they are in."""
        return self.room_id is not None and self.visit.is_keeper(self.person.id, self.room_id)

    def other_rooms(self) -> list[str]:
        """Fishrooms of the club that the writer keeps, or looks after today, beside the one they are in."""
        shown = self.visit.roster(self.club.id).rooms
        mine = [room for room in self.visit.rooms_kept_by(self.person.id) if room in shown]
        sat = [room.id for room in self.visit.overview(self.club.id).sat_by(self.person.id) if self.sits_in(room.id)]
        return [room for room in dict.fromkeys([*mine, *sat]) if room != self.room_id]

    def sits_in(self, room: str) -> bool:
        """Whether the writer looks after the fishroom today for its keeper."""
        return self.visit.sits(self.person.id, room, self.today)

    @cached_property
    def roles(self) -> frozenset[str]:
        """The writer's roles in the club."""
        return frozenset(self.visit.tx.clubs.roles(self.club.id, self.person.id))

    def names(self) -> Names:
        """What the message is read against."""
        began = self.club.prefs.get("began")
        return names_for(
            self.visit,
            self.person.id,
            self.club.id,
            self.room_id,
            self.style,
            range(1, len(self.tasks_shown) + 1),
            date.fromisoformat(began) if began else None,
            self.now,
        )

    # what is remembered -----------------------------------------------------------------------------------------

    @property
    def tasks_shown(self) -> list[str]:
        """Keys of the tasks in the last digest shown, in its order."""
        return cast("list[str]", self.memory.get("tasks", []))

    def context(self) -> Context:
        """What "her", "them", "that batch" and "here" mean now."""
        spoken = self.memory.get("spoken", {}) if self.fresh("spoken_at", SPOKEN_FOR) else {}
        here = self.origin.here or (self.memory.get("here") if self.fresh("here_at", HERE_FOR) else None)
        slots = {name: spoken.get(name) for name in ("female", "male", "batch", "place", "reservation")}
        return Context(**slots, here=here)

    def fresh(self, name: str, span: timedelta) -> bool:
        """Whether the moment remembered under this name is not longer ago."""
        at = self.memory.get(name)
        return at is not None and self.now - datetime.fromisoformat(at) < span

    def remember(self, **values: Any) -> None:
        """Remember these of the person in this chat; None forgets. Nothing is written where nothing changes."""
        kept = {key: value for key, value in (self.memory | values).items() if value is not None}
        if kept != self.memory:
            self.memory = kept
            self.visit.tx.memory.set(self.person.id, self.origin.door, self.origin.chat, kept)

    def speak_of(self, slots: Mapping[str, object]) -> None:
        """What these slots name was spoken of last."""
        subjects = [name for name in ("female", "male", "batch", "place", "reservation") if name in slots]
        named = {name: str(slots[name]) for name in subjects if slots[name]}
        if subjects:
            self.remember(spoken=named, spoken_at=self.now.isoformat())

    def cautions(self, told_or_asked: Iterable[str]) -> list[str]:
        """The usual cautions for what was told or asked: the first time, then once a month for each kind."""
        shown = {kind: date.fromisoformat(day) for kind, day in self.memory.get("cautions", {}).items()}
        due = due_cautions(shown, kinds_for(told_or_asked), self.today)
        if due:
            self.remember(cautions={**self.memory.get("cautions", {}), **{kind: self.today.isoformat() for kind in due}})
        return [f"Caution: {caution(kind)}" for kind in due]

    # buttons ----------------------------------------------------------------------------------------------------

    def button(self, label: str, action: Mapping[str, Any], *, person: str | None = None, repeatable: bool = False) -> Button:
        """A button that does this, for the writer or for another person."""
        expires = self.now + timedelta(days=BUTTON_DAYS)
        action = {**action, "room": self.room_id} if self.room_id and "room" not in action else action
        made = self.visit.tx.buttons.make(person or self.person.id, self.club.id, action, expires, repeatable=repeatable)
        return Button(label, made)


def style_of(visit: Visit, club: ClubRow, today: date, person: Person | None = None) -> Style:
    """How a person reads: their own choices over the club's; without a person, how the club does."""
    return Style(
        today,
        (person and person.date_order) or club.date_order,
        (person and person.units) or club.units,
        currency(visit.club(club.id)) or club.prefs.get("currency", "USD" if club.units == "us" else "EUR"),
    )


def now_of(scene: Scene) -> Now:
    """The day, the moment and the club's promise level."""
    return Now(scene.today, scene.now, level_of(scene.visit.club(scene.club.id)))
