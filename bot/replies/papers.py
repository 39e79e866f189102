"""What is said with a picture, a printed sheet or tables."""

from __future__ import annotations

SEASON = "The season: each brood from holding to grow-out, and what lies ahead."
NO_PLACES = 'There are no places in the book yet. "new tank 1, 240 litres, 26 C" adds one.'


def batch_chart(label: str) -> str:
    """A batch's growth and numbers."""
    return f"Batch {label}: how it grows, and where its fish went."


def water_chart(place: str) -> str:
    """A place's water over time."""
    return f"The water of {place} over the last months."


def no_tests(place: str) -> str:
    """Nothing to draw."""
    return f"The water of {place} was never tested, so there is nothing to draw."


def family(name: str) -> str:
    """A pedigree."""
    return f"The family of {name[:1].lower()}{name[1:]}, as far as the book goes back."


def labels(count: int) -> str:
    """A sheet of labels."""
    return (
        f"Labels for {count} place{'s' if count != 1 else ''}: print, cut, laminate. Scanning one opens this chat at that place, "
        'so that "2 dead" or "w/c 30%" needs no more. Tape them above the waterline.'
    )
