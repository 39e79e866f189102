"""What must be there, and what cannot be: each kind's needed slots, and numbers against what the club has.

A check looks at one item alone, so that a completed draft is held to the same as a fresh message.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

from bot.reading.names import Names
from bot.reading.partial import Partial, Trouble

NEEDED: dict[str, tuple[str, ...]] = {
    "spawned": ("female|male",),
    "holding": ("female", "on"),
    "still_holding": ("female",),
    "brood_lost": ("female",),
    "released": ("female",),
    "stripped": ("female", "count"),
    "moved": ("female|male|batch", "to"),
    "counted": ("batch", "count"),
    "died": ("female|male|batch|place",),
    "measured": ("batch", "lengths|mean_mm"),
    "sexed": ("batch", "males|females|unsexed"),
    "split": ("batch", "count|sex"),
    "merged": ("batches", "into"),
    "held_back": ("batch", "count"),
    "culled": ("batch", "count"),
    "joined": ("sex",),
    "left": ("female|male",),
    "water_tested": ("place",),
    "water_changed": ("place", "percent|litres"),
    "fed": ("place|batch",),
    "noted": ("female|male|batch|place", "text"),
    "offered": ("batch",),
    "withdrawn": ("batch",),
    "reserved": ("count", "batch|strain"),
    "pickup_set": ("reservation", "pickup"),
    "collected": ("reservation",),
    "sold": ("batch", "count"),
    "cancelled": ("reservation",),
    "no_show": ("reservation",),
    "deposit": ("reservation", "amount"),
    "wanted": ("strain", "count"),
    "batch_joined": ("strain", "count"),
    "named": ("female|male", "nickname"),
    "place_added": ("place", "type"),
    "strain_added": ("strain",),
    "habit": ("task", "every_days"),
    "away": ("from", "to"),
    "task_done": ("number",),
    "task_later": ("number",),
    "task_dropped": ("number",),
    "confirmed": ("reservation",),
    "declined": ("reservation",),
    "price": ("batch|strain", "price"),
    "free_days": ("weekdays",),
    "reservation_changed": ("reservation", "count|sex|batch"),
    "setting": ("name", "value"),
    "relatedness": ("female", "male"),
    "strip_date": ("female",),
    "where": ("female|male|batch",),
    "forecast": ("batch",),
}
CARRIED = {"default": 35}
"""How many young a mouth may hold, where the club file does not say ("carries" of a strain); three times that is asked about."""


def troubles(partial: Partial, names: Names) -> list[Trouble]:
    """What is in the way of an item: what was said wrongly first, then what is missing, then what cannot be."""
    found = list(partial.troubles)
    told = {trouble.slot for trouble in found} | set(partial.slots)
    for needed in NEEDED.get(partial.kind, ()):
        alternatives = needed.split("|")
        if not told & set(alternatives):
            found.append(Trouble(alternatives[0]))
    if found:
        return sorted(found, key=lambda trouble: _ORDER.get(trouble.slot, 5))
    check = _CHECKS.get(partial.kind)
    trouble = check(partial.slots, names) if check else None
    return [trouble] if trouble and not (partial.sure and trouble.why == "implausible") else []


_ORDER = {
    "female": 0,
    "male": 0,
    "batch": 0,
    "batches": 0,
    "reservation": 0,
    "strain": 1,
    "place": 1,
    "sex": 1,
    "label": 1,
    "member": 2,
    "to": 2,
    "count": 2,
    "into": 2,
}
Slots = dict[str, Any]


def _within(slots: Slots, names: Names) -> Trouble | None:
    """No more fish than the batch has."""
    count, row = slots.get("count"), names.batches.get(str(slots.get("batch")))
    if count is not None and count < 1:
        return Trouble("count", "impossible", str(count))
    if count is None or row is None:
        return None
    most = _most(row, slots.get("sex"))
    return Trouble("count", "too_many", str(count)) if count > most else None


def _most(row: Any, sex: str | None) -> int:
    key = {"male": "males", "female": "females"}.get(sex or "")
    known = row.get(key) if key else None
    whole = int(row.get("count") or 0)
    return whole if known is None or row.get("unsexed", 1) else min(whole, int(known))


def _reserved(slots: Slots, names: Names) -> Trouble | None:
    if "batch" in slots:
        return _within(slots, names)
    count = slots.get("count", 0)
    total = sum(int(names.batches[letter].get("count") or 0) for letter in names.batches_of(str(slots.get("strain"))))
    if count < 1 or count > 500:
        return Trouble("count", "impossible", str(count))
    return Trouble("count", "too_many", str(count)) if names.batches and 0 < total < count else None


def _died(slots: Slots, names: Names) -> Trouble | None:
    if "place" in slots and slots.get("count") is not None:
        if slots["count"] < 1:
            return Trouble("count", "impossible", str(slots["count"]))
        there = names.fish_in(slots["place"])
        return Trouble("count", "too_many", str(slots["count"])) if 0 < there < slots["count"] else None
    return _within(slots, names) if "batch" in slots else None


def _carried(slots: Slots, names: Names) -> Trouble | None:
    strain = names.females.get(str(slots.get("female")), {}).get("strain")
    carries = names.strains.get(str(strain), {}).get("carries") or CARRIED["default"]
    told = [(slot, slots[slot]) for slot in ("count", "eggs", "dead") if slots.get(slot) is not None]
    for slot, number in told:
        if number < 0 or number > 3 * int(carries):
            return Trouble(slot, "impossible" if number < 0 else "implausible", str(number))
    return None


def _counted(slots: Slots, names: Names) -> Trouble | None:
    return Trouble("count", "implausible", str(slots["count"])) if not 0 <= slots["count"] <= 2000 else None


def _sexed(slots: Slots, names: Names) -> Trouble | None:
    for slot in ("males", "females", "unsexed"):
        if slot in slots and not 0 <= slots[slot] <= 2000:
            return Trouble(slot, "implausible", str(slots[slot]))
    told = [slot for slot in ("males", "females", "unsexed") if slot in slots]
    book = int(names.batches.get(str(slots.get("batch")), {}).get("count") or 0)
    if told and 0 < 2 * book < sum(slots[slot] for slot in told):
        return Trouble(told[0], "implausible", str(slots[told[0]]))
    return None


def _split(slots: Slots, names: Names) -> Trouble | None:
    new = slots.get("new")
    return Trouble("new", "taken", str(new)) if new in names.batches else _within(slots, names)


def _label_free(slots: Slots, names: Names) -> Trouble | None:
    label = slots.get("label")
    if label is not None and label in names.fish(str(slots.get("sex"))):
        return Trouble("label", "taken", str(label))
    count = slots.get("count")
    return Trouble("count", "impossible", str(count)) if count is not None and not 1 <= count <= 60 else None


def _wanted(slots: Slots, names: Names) -> Trouble | None:
    return Trouble("count", "impossible", str(slots["count"])) if not 1 <= slots["count"] <= 500 else None


def _collected(slots: Slots, names: Names) -> Trouble | None:
    count, row = slots.get("count"), names.reservations.get(str(slots.get("reservation")), {})
    if count is None or row.get("count") is None:
        return None
    return (
        Trouble("count", "too_many" if count > 0 else "impossible", str(count))
        if count > int(row["count"]) or count < 1
        else None
    )


def _deposit(slots: Slots, names: Names) -> Trouble | None:
    return Trouble("amount", "impossible", str(slots["amount"])) if Decimal(str(slots["amount"])) <= 0 else None


def _merged(slots: Slots, names: Names) -> Trouble | None:
    return Trouble("batches", "missing") if len(slots.get("batches", ())) < 2 else None


def _held_fish(slots: Slots, names: Names) -> Trouble | None:
    began, on = names.club_began, slots.get("on")
    return Trouble("on", "implausible", str(on)) if began and on and date.fromisoformat(str(on)) < began else None


_CHECKS: dict[str, Callable[[Slots, Names], Trouble | None]] = {
    "moved": _within,
    "culled": _within,
    "sold": _within,
    "held_back": _within,
    "offered": _within,
    "split": _split,
    "reserved": _reserved,
    "died": _died,
    "stripped": _carried,
    "released": _carried,
    "counted": _counted,
    "sexed": _sexed,
    "joined": _label_free,
    "batch_joined": _wanted,
    "wanted": _wanted,
    "collected": _collected,
    "merged": _merged,
    "deposit": _deposit,
    "holding": _held_fish,
}
