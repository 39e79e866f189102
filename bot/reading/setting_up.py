"""Setting up and running a fishroom by message: places, strains, habits, absences, tasks, settings, prices."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.facts import Facts, Scene
from bot.reading.partial import Partial, Trouble
from bot.reading.tokens import Token


def read_sentence(tokens: Sequence[Token], scene: Scene, asked: bool) -> list[Partial] | None:
    """The items of a sentence that sets something up; None where it does not."""
    return None


def bare_number(facts: Facts) -> list[Partial] | None:
    """A number alone at a scanned place: it may be a count."""
    return None
