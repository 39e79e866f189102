"""How somebody can be reached, said to those who may know it, in private only."""

from __future__ import annotations

import re
from typing import Any

from bot.conversation.message import Reply
from bot.conversation.scene import Scene
from bot.replies import papers as words
from bot.replies import refused
from core.club import Refused
from core.club.contacts import contact_of

_WHAT = r"(?:contact(?: details)?|phone(?: number)?|number|e-?mail(?: address)?|address)"
REACHING = re.compile(
    rf"^\s*(?:(?:what(?:'s|’s| is)|show(?: me)?|give me)\s+)?(?:the\s+)?{_WHAT}\s+(?:of|for)\s+(?P<of>[\w .'-]{{1,40}}?)\s*[?.]?\s*$"
    r"|^\s*how\s+(?:do|can|could)\s+(?:i|we)\s+(?:reach|contact|call|phone|get hold of)\s+(?P<reach>[\w .'-]{1,40}?)\s*\??\s*$"
    rf"|^\s*(?:(?:what(?:'s|’s| is)|show(?: me)?|give me)\s+)?(?P<whose>[\w .-]{{1,40}}?)['’]s?\s+{_WHAT}\s*[?.]?\s*$",
    re.IGNORECASE,
)
"""Asking how to reach somebody of the club."""


def reaching(scene: Scene, found: Any) -> list[Reply] | None:
    """Their contact, or why not; None where nobody of the club goes by that name."""
    named = " ".join((found["of"] or found["reach"] or found["whose"]).split())
    person = scene.visit.member_named(scene.club.id, named)
    if person is None:
        return None
    if scene.origin.group:
        return [Reply(words.CONTACT_IN_PRIVATE)]
    known = contact_of(scene.visit, scene.club.id, person, scene.person.id, scene.now, scene.today)
    if isinstance(known, Refused):
        return [Reply(refused.sentence(known, scene.style, None))]
    return [Reply(words.reach(known.name, known.contact) if known.contact else words.no_contact(known.name))]
