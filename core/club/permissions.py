"""Who may do what: one table, a cell for every standing and every area.

A standing is what a person is towards one fishroom (or the club); a person may have several, and may do what any of them allows.
An area is a kind of deed. `AREA` says which area every event belongs to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from core import events as e


class Standing(StrEnum):
    """What a person is, here and now."""

    ORGANISER = "organiser"
    KEEPER = "keeper"
    SITTER = "sitter"
    MEMBER = "member"
    GUEST = "guest"
    STRANGER = "stranger"


class Area(StrEnum):
    """A kind of deed."""

    STOCK = "stock"
    """What is in the water and who is in it: places, fish, broods, batches, counts, sizes, notes."""
    CARE = "care"
    """Feeding, water and deaths: what a sitter does."""
    RUNNING = "running"
    """Habits, absences, task marks, free days, settings of the fishroom."""
    SELLING = "selling"
    """Offers, prices, confirming, collections, no-shows, deposits, sales."""
    RESERVING_FOR_ANOTHER = "reserving for another"
    RESERVING = "reserving"
    """For oneself, and all about one's own reservation."""
    WISHING = "wishing"
    CLUB = "club"
    """Settings of the club, announcements."""
    INVITING = "inviting"
    SEEING_THE_ROOM = "seeing the room"
    """Everything in a fishroom: history, notes, forecasts, promises without contacts."""
    SEEING_THE_SHELF = "seeing the shelf"
    SEEING_A_CONTACT = "seeing a contact"
    """Somebody's contact: for the organiser anybody's, for a keeper that of whoever has a confirmed reservation there, and the other
    way round (core/club/contacts.py); everybody sees their own."""


_KEEPER = frozenset(Area) - {Area.CLUB}
MAY: Mapping[Standing, frozenset[Area]] = {
    Standing.ORGANISER: frozenset(
        {Area.RESERVING, Area.WISHING, Area.CLUB, Area.INVITING, Area.SEEING_THE_SHELF, Area.SEEING_A_CONTACT}
    ),
    Standing.KEEPER: _KEEPER,
    Standing.SITTER: frozenset({Area.CARE, Area.SEEING_THE_ROOM, Area.SEEING_THE_SHELF, Area.RESERVING, Area.WISHING}),
    Standing.MEMBER: frozenset({Area.RESERVING, Area.WISHING, Area.SEEING_THE_SHELF}),
    Standing.GUEST: frozenset({Area.RESERVING, Area.SEEING_THE_SHELF}),
    Standing.STRANGER: frozenset(),
}

AREA: Mapping[type[e.Event], Area] = {
    **dict.fromkeys(
        (
            e.PlaceAdded,
            e.PlaceRetired,
            e.StrainAdded,
            e.Joined,
            e.BatchJoined,
            e.Named,
            e.Parents,
            e.Spawned,
            e.Holding,
            e.StillHolding,
            e.BroodLost,
            e.Released,
            e.Stripped,
            e.Moved,
            e.Counted,
            e.Measured,
            e.Sexed,
            e.Split,
            e.Merged,
            e.Mixed,
            e.ToldApart,
            e.HeldBack,
            e.Culled,
            e.Left,
            e.Noted,
            e.Photographed,
        ),
        Area.STOCK,
    ),
    **dict.fromkeys((e.Died, e.WaterTested, e.WaterChanged, e.Fed, e.TaskDone), Area.CARE),
    **dict.fromkeys((e.Habit, e.Away, e.TaskLater, e.TaskDropped, e.FreeDays, e.FishroomSetting), Area.RUNNING),
    **dict.fromkeys(
        (e.Offered, e.Withdrawn, e.Priced, e.Confirmed, e.Declined, e.Collected, e.NoShow, e.Deposit, e.Sold), Area.SELLING
    ),
    **dict.fromkeys(
        (e.Reserved, e.ReservationChanged, e.PickupSet, e.PickupAgreed, e.PickupRefused, e.Cancelled), Area.RESERVING
    ),
    **dict.fromkeys((e.Wanted, e.WishOffered, e.WishAnswered), Area.WISHING),
    **dict.fromkeys((e.ClubSetting, e.Announced), Area.CLUB),
}
"""Every event but `Voided`, which is whatever it takes back."""


def may(standings: Iterable[Standing], area: Area) -> bool:
    """Whether one of the standings allows the deed."""
    return any(area in MAY[standing] for standing in standings)


def area_of(event: e.Event, *, own: bool) -> Area:
    """The area of an event; `own` says whether the person it is for (the reservation's or the wish's member) is the writer."""
    area = AREA[type(event)]
    return Area.RESERVING_FOR_ANOTHER if area in (Area.RESERVING, Area.WISHING) and not own else area
