"""An order without a word for it: "2 males and 6 females of A" by somebody who keeps no fish, "2 of A for Nel" by a keeper."""

from __future__ import annotations

import re

from bot.conversation.heard import Heard
from bot.conversation.scene import Scene
from bot.reading import Events, Names, read

_NUMBER = r"(?:\d+|an?|one|two|three|four|five|six|seven|eight|nine|ten|a dozen)"
_FISH = r"(?:males?|females?|fish|young|unsexed|juveniles?|pairs?|m|f)"
_SO_MANY = rf"{_NUMBER}(?:\s+{_FISH})*(?:\s*(?:,|and|\+|&)?\s*{_NUMBER}(?:\s+{_FISH})+)?"
_BY_A_BUYER = re.compile(rf"^\s*{_SO_MANY}\s+(?:of|from)\s+(?:batch\s+)?\S[^?;]*$", re.IGNORECASE)
_OF_A_STRAIN = re.compile(rf"^\s*{_SO_MANY}\s+[a-z][^?;]*$", re.IGNORECASE)
_FOR_SOMEBODY = re.compile(rf"^\s*{_SO_MANY}\s+(?:of|from)\s+(?:batch\s+)?\S+\s+for\s+\S[^?;]*$", re.IGNORECASE)


def plainly_wanted(scene: Scene, heard: Heard, names: Names) -> Events | None:
    """The reservation that is meant; None where the words say more than that, or not enough."""
    forms = (_FOR_SOMEBODY,) if scene.is_keeper else (_BY_A_BUYER, _OF_A_STRAIN)
    if not any(form.match(heard.text) for form in forms):
        return None
    found = read(f"reserve {heard.text}", now=heard.local, by=scene.person.name, names=names, context=scene.context())
    if not isinstance(found, Events) or found.query is not None or len(found.items) != 1 or found.items[0].kind != "reserved":
        return None
    return found if not scene.is_keeper or found.items[0].slots.get("member") else None
