"""What somebody asked for and could not get, as lines of the wanted list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.conversation.here import day_of
from core.planning.promises import Proposal
from core.planning.standing import Ask


def ask_of(slots: Mapping[str, Any]) -> Ask:
    """What the slots ask for."""
    return Ask(
        int(slots["count"]),
        slots.get("sex"),
        slots.get("males"),
        slots.get("females"),
        slots.get("min_mm"),
        day_of(slots.get("pickup")),
    )


def wishes(strain: str, ask: Ask) -> list[dict[str, Any]]:
    """What an ask is on the wanted list: a line for the males and one for the females of a mix."""
    males, females, either = ask.by_sex
    sizes = {"min_mm": ask.min_mm} if ask.min_mm else {}
    sexes = ((males, {"sex": "male"}), (females, {"sex": "female"}), (either, {"sex": ask.sex} if ask.sex == "unsexed" else {}))
    return [{"kind": "wanted", "slots": {"strain": strain, "count": count, **sex, **sizes}} for count, sex in sexes if count]


def what_is_missing(ask: Ask, fit: Proposal) -> Ask:
    """What of the ask is in none of the parts that were found."""
    found = [part.ask.by_sex for part in fit.parts]
    males, females, either = (max(0, wanted - sum(got)) for wanted, got in zip(ask.by_sex, zip(*found, strict=True), strict=True))
    sex = ask.sex if either else None
    return Ask(males + females + either, sex, males or None, females or None, ask.min_mm, ask.day)
