"""Which money a club reckons in: its country's, as its time zone tells, until the organiser says another; and what is said in other money.

Currency codes are those of ISO 4217.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from bot.conversation.heard import Heard
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import selling
from core.units import Units

BY_ZONE: Mapping[str, str] = {
    "Europe/London": "GBP", "Europe/Jersey": "GBP", "Europe/Guernsey": "GBP", "Europe/Isle_of_Man": "GBP", "Europe/Zurich": "CHF",
    "Europe/Stockholm": "SEK", "Europe/Oslo": "NOK", "Europe/Copenhagen": "DKK", "Europe/Warsaw": "PLN", "Europe/Prague": "CZK",
    "Europe/Budapest": "HUF", "Europe/Bucharest": "RON", "Australia": "AUD", "Pacific/Auckland": "NZD", "Africa/Johannesburg": "ZAR",
    "Asia/Tokyo": "JPY", "Asia/Kolkata": "INR", "Asia/Singapore": "SGD", "Asia/Hong_Kong": "HKD", "America/Sao_Paulo": "BRL",
    "America/Toronto": "CAD", "America/Vancouver": "CAD", "America/Edmonton": "CAD", "America/Winnipeg": "CAD", "America/Halifax": "CAD",
    "America/Regina": "CAD", "America/St_Johns": "CAD", "America/Moncton": "CAD",
}  # fmt: skip
"""Zones (or their continent) whose money is neither the euro nor, in clubs with US units, the US dollar."""
_SAID = re.compile(r"(?P<GBP>£|\b(?:pounds?|quid|gbp)\b)|(?P<EUR>€|\b(?:euros?|eur)\b)|(?P<USD>\$|\b(?:dollars?|bucks|usd)\b)", re.IGNORECASE)
_SAME: Mapping[str, frozenset[str]] = {
    "GBP": frozenset({"GBP", "£"}),
    "EUR": frozenset({"EUR", "€"}),
    "USD": frozenset({"USD", "$", "CAD", "AUD", "NZD", "SGD", "HKD"}),
}
"""Currencies that are called so: a dollar is the dollar of the club."""


def usual_currency(zone: str, units: Units) -> str:
    """The currency of a new club."""
    return BY_ZONE.get(zone) or BY_ZONE.get(zone.partition("/")[0]) or ("USD" if units == "us" else "EUR")


def other_money(scene: Scene, items: Sequence[Item], heard: Heard) -> str:
    """What to say of a price or an amount that was told in other money than the club's; empty where it was not."""
    if not any(item.slots.get(name) for item in items for name in ("price", "amount")):
        return ""
    said = {str(found.lastgroup) for found in _SAID.finditer(heard.text)}
    kept = scene.style.currency
    return selling.other_money(kept, min(said)) if said and not any(kept in _SAME[one] for one in said) else ""
