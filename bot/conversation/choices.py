"""Choices that are no events of a fishroom's water: a member's settings, the fishroom's and the club's, and guests."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import time
from typing import Any
from zoneinfo import available_timezones

from bot.conversation.arriving import plan_morning
from bot.conversation.here import Here
from bot.conversation.scene import Scene
from bot.replies import talk
from core.club import Refused
from core.club.joining import add_guest
from core.club.permissions import Area, may
from core.events import ClubSetting, FishroomSetting
from core.fishroom.choices import OF_CLUB, OF_FISHROOM, club_value, fishroom_value
from core.units import DATE_ORDERS, UNITS

Slots = Mapping[str, Any]
CHOICES = frozenset({"setting", "guest_added"})


def propose_choice(scene: Scene, slots: Slots, here: Here) -> str:
    """Propose the events of a choice of the fishroom's or the club's; why not, where it cannot be made."""
    name, value = str(slots.get("name", "")), str(slots.get("value", ""))
    if name in OF_FISHROOM:
        if scene.room_id is None or not scene.is_keeper:
            return talk.KEEPERS_ONLY
        here.propose(FishroomSetting(name, fishroom_value(name, value)))
        return ""
    if name in OF_CLUB:
        if not may(scene.visit.standings(scene.person.id, scene.club.id, None, scene.today), Area.CLUB):
            return talk.ORGANISERS_ONLY
        kept = club_value(name, value)
        if kept is None:
            return talk.no_such_setting(name, value)
        here.propose_club(ClubSetting(name, kept))
    return ""


def keep_choice(scene: Scene, slots: Slots) -> str:
    """Keep a choice that is no event (the member's own, a guest) once the rest of the message is recorded, and say so."""
    if "name" not in slots:
        return guest_added(scene, slots)
    name = str(slots["name"])
    return "" if name in OF_FISHROOM | OF_CLUB else member_setting(scene, name, str(slots["value"]))


def member_setting(scene: Scene, name: str, value: str) -> str:
    """A choice of the member's own; a wrong value is said to be one."""
    change = SETTINGS[name](value) if name in SETTINGS else None
    if change is None:
        return talk.no_such_setting(name, value)
    scene.person = replace(scene.person, **change)
    scene.visit.tx.people.save(scene.person)
    scene.look_again()
    plan_morning(scene.visit, scene.person, scene.club, scene.now)
    at = scene.style.clock(scene.person.digest_time) if name == "digest_time" and scene.person.digest_time else ""
    return talk.setting_kept(name, value, at)


def _zone(value: str) -> dict[str, Any] | None:
    zones = {zone.lower(): zone for zone in available_timezones()}
    wanted = value.strip().lower().replace(" ", "_")
    cities = {zone.rpartition("/")[2].lower(): zone for zone in sorted(zones.values()) if "/" in zone}
    found = zones.get(wanted) or cities.get(wanted)
    return {"zone": found} if found else None


def _quiet(value: str) -> dict[str, Any] | None:
    if value.strip().lower() in ("off", "none", "never"):
        return {"quiet_from": time(), "quiet_to": time()}
    first, dash, last = value.partition("-")
    begin, end = _clock(first), _clock(last)
    return {"quiet_from": begin, "quiet_to": end} if dash and begin and end else None


def _clock(value: str) -> time | None:
    parts = value.strip().split(":")
    try:
        return time(int(parts[0]) % 24, int(parts[1]) if len(parts) > 1 else 0)
    except ValueError:
        return None


def _digest(value: str) -> dict[str, Any] | None:
    at = _clock(value)
    return {"digest_time": at} if at else None


SETTINGS: Mapping[str, Callable[[str], dict[str, Any] | None]] = {
    "time_zone": _zone,
    "units": lambda value: {"units": value.lower()} if value.lower() in UNITS else None,
    "date_order": lambda value: {"date_order": value.upper()} if value.upper() in DATE_ORDERS else None,
    "digest_time": _digest,
    "quiet_hours": _quiet,
}


def guest_added(scene: Scene, slots: Slots) -> str:
    """Somebody outside the club for whom a keeper keeps a reservation."""
    name = str(slots["member"]).strip()
    done = add_guest(scene.visit, scene.person.id, scene.club.id, scene.room_id, name, now=scene.now, today=scene.today)
    if isinstance(done, Refused):
        return talk.known_already(name) if done.why == "name_taken" else talk.KEEPERS_ONLY
    return talk.guest_added(name)
