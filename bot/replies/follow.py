"""What follows from something just recorded, in a line or two: the windows ahead, questions asked once, what deaths leave open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.replies.words import Style, days_long, listed
from core.fishroom.state import Brood, Fishroom
from core.planning.outlook import BroodOutlook, DayWindow

SAYS = {"tested": "as tested", "usual": "the usual there", "species": "usual for the species, since no temperature is in the book"}


def window(span: DayWindow, style: Style) -> str:
    """ "about Sat 14 Mar (Thu 12 to Mon 16 Mar)"; what is out of sight is left out."""
    if span.likely is None:
        return "not in sight"
    if span.earliest is None or span.latest is None or span.earliest == span.latest:
        return f"about {style.day(span.likely)}"
    return f"about {style.day(span.likely)} ({style.days(span.earliest, span.latest)})"


def brood_windows(found: BroodOutlook | None, style: Style) -> list[str]:
    """When to strip, and when she lets them go by herself, with the temperature reckoned with."""
    if found is None:
        return []
    water = f"{style.temperature(found.warmth.mean_c)}, {SAYS[found.warmth.basis]}"
    if found.out_of_range is not None:
        span = style.temperatures(22, 31)
        return [f"The water ({water}) is outside what I can reckon with ({span}), so I give no strip window."]
    lines = []
    if found.strip_opens and found.strip_closes:
        lines.append(f"Strip window {style.days(found.strip_opens, found.strip_closes)}, reckoned at {water}.")
    if found.release is not None:
        own = f", narrowed by {found.own_record} of her own" if found.own_record else ""
        lines.append(f"Left alone she lets them go {window(found.release, style)}{own}.")
    if found.stretched:
        lines.append("That water is at the edge of what is known, so take the days as rough.")
    return lines


def spawned(found: BroodOutlook | None, style: Style) -> list[str]:
    """After a spawning was seen."""
    return brood_windows(found, style)


def stripped(brood: Brood | None, found: BroodOutlook | None, on: date, style: Style) -> list[str]:
    """After a strip: was she taken to be holding, for how many days no food, her rest."""
    lines = []
    if brood is not None and brood.supposed:
        lines.append("She was not down as holding; I take it that she was.")
    early = found.strip_opens if found is not None else None
    if early is not None and on < early - timedelta(days=2):
        lines.append(
            f"That is well before the strip window (from {style.day(early)}): eggs and wrigglers need a gentle tumble of clean water."
        )
    if found is not None and found.yolk is not None and found.yolk.likely is not None:
        left = (found.yolk.likely - style.today).days
        if left > 0:
            latest = found.yolk.latest or found.yolk.likely
            lines.append(
                f"They still live on yolk: no food for about {days_long(left)} "
                f"(until {style.days(found.yolk.likely, latest)}); gentle flow, clean water."
            )
        else:
            lines.append("Their yolk should be used up: ground food from now on, little and often.")
    lines.append("Give her a week or two of quiet and good food before she meets the male again.")
    return lines


def released() -> list[str]:
    """After she let them go herself: their yolk is gone, they eat."""
    return [
        "Let go by herself, they can eat at once: ground food, little and often; keep grown fish away from them.",
        "Give her a week or two of quiet and good food before she meets the male again.",
    ]


def no_place(label: str) -> str:
    """Fry without a place in the book."""
    return f'Tell me where they swim: "{label} to box 1".'


def mixed_question(labels: Sequence[str], place: str) -> str:
    """Batches of a strain meet in one place."""
    mine, *others = labels
    return (
        f"Batch {mine} now shares {place} with {listed(others)} of the same strain. "
        "Can you tell them apart (by size or fins), or are they mixed now?"
    )


def died(room: Fishroom, place: str | None) -> list[str]:
    """After deaths in a place with several batches."""
    count = sum(one.count for one in room.unassigned if one.place == place) if place else 0
    if not count:
        return []
    return [f"Until a count, {count} in {place} could be of any batch there, and I promise fewer of each."]


def many_more(label: str) -> str:
    """A count is at least twice what the book said."""
    return f"That is many more than the book had, and from now on they can be promised: if it was a slip, say the right number of {label}."
