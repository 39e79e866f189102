"""Answers about what comes next: tasks, windows, sizes, rations, water, kinship. Values from the plan, words from the replies."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.conversation.answering_papers import PAPER_ANSWERS
from bot.conversation.answering_water import water_answer
from bot.conversation.here import NotClearError, Unclear, here_of
from bot.conversation.message import Reply
from bot.conversation.mornings import due_list
from bot.conversation.scene import Scene
from bot.replies import food, outlooks
from bot.replies import kin as kin_words
from core.biology import sex_ratio, transport
from core.fishroom.state import Batch, Fishroom
from core.planning import kin
from core.planning.outlook import batch_outlook, brood_outlook, male_share, unsexed_needed
from core.planning.rations import batch_ration, place_ration
from core.planning.water_verdict import water_verdict
from core.species import profile

Slots = Mapping[str, Any]
USUAL_CERTAINTY = 0.95
USUAL_HOURS = 4.0


def due(scene: Scene, slots: Slots) -> list[Reply]:
    """What is due: today as the digest has it, tomorrow or the week as a list."""
    return due_list(scene, str(slots.get("span") or "today"))


def strip_date(scene: Scene, slots: Slots) -> list[Reply]:
    """When to strip her."""
    here = here_of(scene)
    female = here.fish("female", slots["female"])
    brood = here.room.brood_of(female.id)
    found = brood_outlook(here.room, brood, scene.today) if brood else None
    return [Reply(outlooks.strip_date(here.room, female, found, scene.style))]


def forecast(scene: Scene, slots: Slots) -> list[Reply]:
    """How big a batch is and when it is ready."""
    here = here_of(scene)
    batch = here.batch(slots["batch"])
    return [Reply(outlooks.forecast(here.room, batch, batch_outlook(here.room, batch, scene.today), scene.style))]


def status(scene: Scene, slots: Slots) -> list[Reply]:
    """How it stands with a fish, a batch, a place, or the whole fishroom."""
    here = here_of(scene)
    room, style = here.room, scene.style
    if fish := here.fish_of(slots):
        found = room.fish[fish]
        brood = room.brood_of(fish)
        return [Reply(outlooks.fish_status(room, found, brood_outlook(room, brood, scene.today) if brood else None, style))]
    if "batch" in slots:
        batch = here.batch(slots["batch"])
        return [Reply(outlooks.batch_status(room, batch, batch_outlook(room, batch, scene.today), style))]
    if slots.get("place"):
        verdict = water_verdict(room, str(slots["place"]), scene.today)
        ration = place_ration(room, str(slots["place"]), scene.today)
        return [Reply(outlooks.place_status(room, str(slots["place"]), verdict, ration, style))]
    outlook = [(batch, batch_outlook(room, batch, scene.today)) for batch in room.live_batches()]
    return [Reply(outlooks.room_status(room, outlook, scene.today, style))]


def ration(scene: Scene, slots: Slots) -> list[Reply]:
    """What a batch or a place should eat."""
    here = here_of(scene)
    if "batch" in slots:
        batch = here.batch(slots["batch"])
        return [Reply(food.batch_food(here.room, batch, batch_ration(here.room, batch, scene.today), scene.style))]
    if not slots.get("place"):
        raise NotClearError(Unclear("batch", "missing"))
    found = place_ration(here.room, str(slots["place"]), scene.today)
    return [Reply(food.place_food(here.room, found, scene.style))]


def bagging(scene: Scene, slots: Slots) -> list[Reply]:
    """How to pack so many fish for so many hours."""
    here = here_of(scene)
    batch = here.batch(slots["batch"]) if slots.get("batch") else batch_of_strain(here.room, str(slots["strain"]))
    outlook = batch_outlook(here.room, batch, scene.today)
    hours = float(slots.get("hours") or USUAL_HOURS)
    length, weight = outlook.mean_mm.likely, outlook.mean_g.likely
    count = int(slots["count"])
    plain = transport.bags(count, weight, length, hours)
    oxygen = transport.bags(count, weight, length, hours, with_oxygen=True)
    return [Reply(outlooks.bagging(batch, count, hours, length, plain, oxygen, scene.style))]


def batch_of_strain(room: Fishroom, strain: str) -> Batch:
    """The oldest live batch of the strain."""
    found = [batch for batch in room.live_batches() if batch.strain == strain]
    if not found:
        raise NotClearError(Unclear("batch", "unknown", strain))
    return found[0]


def unsexed(scene: Scene, slots: Slots) -> list[Reply]:
    """How many unsexed fish to take for at least so many males and females; a keeper's own fish say how many males to expect."""
    males, females = int(slots.get("males") or 0), int(slots.get("females") or 0)
    certainty = float(slots.get("certainty") or USUAL_CERTAINTY)
    room = scene.room if scene.is_keeper else None
    batch = next(iter(room.live_batches()), None) if room else None
    if room is not None and slots.get("batch"):
        batch = here_of(scene).batch(slots["batch"])
    if room is not None and batch is not None:
        count, belief = unsexed_needed(room, batch, males, females, certainty), male_share(room, batch)
    else:
        belief = sex_ratio.prior(profile("general"))
        count = sex_ratio.unsexed_needed(males, females, certainty, belief)
    return [Reply(outlooks.unsexed(males, females, certainty, count, belief.mean))]


def relatedness(scene: Scene, slots: Slots) -> list[Reply]:
    """Whether two fish are related, and what that would mean for their young."""
    here = here_of(scene)
    female, male = here.fish("female", slots["female"]), here.fish("male", slots["male"])
    found = kin.related(kin.kinship_of(scene.visit.rooms_of_club(scene.club.id)), here.room, female, male)
    return [Reply(kin_words.related(female, male, found))]


def pairings(scene: Scene, slots: Slots) -> list[Reply]:
    """Which males across the club are least related, who keeps them, and what they would do for the colony."""
    here = here_of(scene)
    female = here.fish("female", slots["female"]) if slots.get("female") else None
    strains = [female.strain] if female else [str(slots["strain"])] if slots.get("strain") else sorted(_breeding(here.room))
    rooms = {room.id: room for room in scene.visit.rooms_of_club(scene.club.id)}
    known = kin.kinship_of(rooms.values())
    parts = [
        kin_words.pairings(
            here.room,
            kin.colony(known, here.room, strain),
            kin.pairings(known, rooms, here.room, strain, female),
            {key: scene.visit.keeper_name(key) for key in rooms},
        )
        for strain in strains
    ]
    return [Reply("\n\n".join(parts) or kin_words.NO_FEMALES)]


def _breeding(room: Fishroom) -> set[str]:
    return {fish.strain for fish in room.fish.values() if fish.alive_here and fish.sex == "female"}


OUTLOOK_ANSWERS: Mapping[str, Callable[[Scene, Slots], list[Reply]]] = {
    "due": due,
    "strip_date": strip_date,
    "forecast": forecast,
    "status": status,
    "ration": ration,
    "water": water_answer,
    "bagging": bagging,
    "relatedness": relatedness,
    "pairings": pairings,
    **PAPER_ANSWERS,
}
