"""What was read becomes events of the fishroom or the club: one small function per kind, in the table `PROPOSE`.

Each function takes the scene and the slots of one item; it proposes events on the scene, or raises `NotClearError` where the
fishroom as it stands leaves something open that the reader could not see.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from bot.conversation.here import Here, NotClearError, Unclear
from bot.conversation.proposing_fish import FISH
from bot.conversation.proposing_orders import ORDERS
from bot.conversation.proposing_running import RUNNING
from bot.conversation.proposing_setting_up import SETTING_UP
from bot.reading import Item

Slots = Mapping[str, Any]


def propose(here: Here, items: Iterable[Item]) -> Unclear | None:
    """Propose the events of the items, in order. All or nothing: an `Unclear` means that nothing may be recorded."""
    try:
        for item in items:
            PROPOSE[item.kind](here, item.slots)
    except NotClearError as problem:
        return problem.unclear
    return None


PROPOSE: Mapping[str, Callable[[Here, Slots], None]] = {**SETTING_UP, **FISH, **RUNNING, **ORDERS}
