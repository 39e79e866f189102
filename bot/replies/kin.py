"""What is said about relatives: how close two fish are, what their young would be, and whom to pair instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.replies import naming
from bot.replies.words import capital, counted, listed, number, percent
from core.biology.kinship import Expected
from core.fishroom.state import Fish, Fishroom
from core.planning.kin import WARN_FROM, Colony, Pairing, Related, Tie

NO_FEMALES = "The book has no females here to pair."
LIKE: Mapping[Tie, str] = {
    "unrelated": "not related, as far as the book goes back",
    "distant": "distantly related",
    "cousins": "about as close as first cousins",
    "half_siblings": "about as close as half siblings",
    "close": "as close as full siblings, or parent and child",
    "closer": "closer than full siblings",
}


def expected(found: Expected) -> str:
    """The expected F, with its range where parentage is in shares."""
    if found.high - found.low < 1e-9:
        return percent(found.expected)
    return f"{percent(found.expected)} expected (between {percent(found.low)} and {percent(found.high)}, since batches were mixed)"


def related(female: Fish, male: Fish, found: Related) -> str:
    """The answer to "are they related?"."""
    pair = f"{naming.inside(naming.fish_name(female))} and {naming.inside(naming.fish_name(male))}"
    lead = "No: " if found.tie == "unrelated" else "Yes: " if found.tie != "distant" else "A little: "
    young = f"Their young would have an inbreeding coefficient of {expected(found.brood)}."
    base = f"Reckoned from {counted(found.founders, 'founder')} whose own parents nobody recorded."
    return f"{lead}{pair} are {LIKE[found.tie]}. {young}{warning(found.brood)} {base}"


def warning(brood: Expected) -> str:
    """From 6.25 % up, in plain words."""
    if brood.expected < WARN_FROM:
        return ""
    if brood.expected < 0.125:
        return " That is close: do not go on with such pairs for generations."
    if brood.expected < 0.25:
        return " That is very close: expect weaker young, and better pair her with another male."
    return " That is as close as brother and sister: growth and survival suffer within a generation. Use another male."


def brood_warning(found: Expected) -> list[str]:
    """Said when a brood begins, from 6.25 % up."""
    if found.expected < WARN_FROM:
        return []
    return [f"Mind: the parents are related; the brood's inbreeding would be {expected(found)}.{warning(found)}"]


def pairings(room: Fishroom, colony: Colony, found: Sequence[Pairing], keepers: Mapping[str, str]) -> str:
    """The males, least related first, with who keeps them; and what the colony loses per generation."""
    name = capital(naming.strain(room, colony.strain))
    head = (
        f"{name}: {counted(colony.males, 'male')} and {counted(colony.females, 'female')} here, effective size "
        f"{number(colony.size, 1)}, so about {percent(colony.rate)} more inbreeding each generation."
    )
    if colony.males == 1:
        head += f" One male with any number of females stays below 4; a second male would make it {number(colony.with_another_male, 1)}."
    if not found:
        return f"{head}\nThe club's book has no male of this strain."
    lines = []
    for one in found[:6]:
        where = "yours" if one.own else f"kept by {keepers.get(one.room, 'a member')}"
        close = f", up to {percent(one.mate.highest_kinship)} with one of them" if one.mate.highest_kinship > one.mate.mean_kinship else ""
        lines.append(f"• {naming.fish_name(one.male)}, {where}: mean kinship {percent(one.mate.mean_kinship)}{close}")
    rest = f"\n({len(found) - 6} more)" if len(found) > 6 else ""
    return f"{head}\nMales by how little they are related to your females:\n" + listed(["\n".join(lines)]) + rest
