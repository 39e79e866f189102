"""Queries are answered: may the asker see it, then the answer for the kind, from the table `ANSWERS`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.conversation.answering_club import CLUB_ANSWERS
from bot.conversation.answering_outlook import OUTLOOK_ANSWERS, unsexed
from bot.conversation.here import NotClearError, here_of
from bot.conversation.message import Reply
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import answers, asks, available, helping, papers, refused, talk
from core.club import Refused
from core.club.permissions import Area, may
from core.fishroom.state import Fishroom

Slots = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Answer:
    """How a kind of query is answered, and what the asker must be allowed to see."""

    area: Area
    give: Callable[[Scene, Slots], list[Reply]]


NOTHING_THERE = frozenset({papers.NO_PLACES, available.NO_PICKUPS})
"""Answers that leave nothing to be done, and so nothing to be careful with."""


def answer_query(scene: Scene, query: Item, taken: Sequence[str]) -> list[Reply]:
    """The answer, or why there is none."""
    found = ANSWERS.get(query.kind)
    if found is None:
        return [Reply(answers.no_answer(query.kind))]
    standings = scene.visit.standings(scene.person.id, scene.club.id, scene.room_id, scene.today)
    if not may(standings, found.area):
        return [Reply(refused.sentence(Refused("not_allowed", area=found.area), scene.style, scene.room))]
    try:
        replies = found.give(scene, query.slots)
    except NotClearError as problem:
        unclear = problem.unclear
        text = asks.unclear_sentence(unclear.about, unclear.why, unclear.value, unclear.options, scene.style, scene.room)
        return [Reply(text)]
    scene.speak_of(query.slots)
    asked = () if replies and replies[0].text in NOTHING_THERE else (query.kind,)
    extra = [*(talk.taken(one) for one in dict.fromkeys(taken)), *scene.cautions(asked)]
    if extra and replies:
        first = replies[0]
        replies = [replace(first, text="\n".join([first.text, *extra])), *replies[1:]]
    return replies


def room_of(scene: Scene) -> Fishroom:
    """The fishroom the query is about."""
    return here_of(scene).room


def where(scene: Scene, slots: Slots) -> list[Reply]:
    """Where a fish or a batch is."""
    here = here_of(scene)
    if fish := here.fish_of(slots):
        return [Reply(answers.where_fish(here.room, here.room.fish[fish], scene.style))]
    return [Reply(answers.where_batch(here.room, here.batch(slots["batch"]), scene.style))]


def contents(scene: Scene, slots: Slots) -> list[Reply]:
    """Who is in a place."""
    return [Reply(answers.contents(room_of(scene), slots["place"], scene.style))]


def holding_list(scene: Scene, slots: Slots) -> list[Reply]:
    """Who is holding, since when."""
    return [Reply(answers.holding_list(room_of(scene), scene.style))]


def history(scene: Scene, slots: Slots) -> list[Reply]:
    """What happened to a fish, a batch or in a place, newest last."""
    here = here_of(scene)
    fish, batch, place = here.fish_of(slots), here.batch_of(slots), slots.get("place")
    entries = scene.visit.tx.journal.entries(f"fishroom:{here.room.id}")
    texts = scene.visit.tx.texts
    return [Reply(answers.history(here.room, entries, fish, batch, place, scene.style, scene.members, texts.get_all))]


def helping_hand(scene: Scene, slots: Slots) -> list[Reply]:
    """What can be said, with names that the fishroom and the club's shelf have."""
    room = room_of(scene) if scene.is_keeper else None
    rooms = scene.visit.rooms_of_club(scene.club.id)
    offered = next((batch.label for one in rooms for batch in one.live_batches() if batch.offer is not None), "A")
    strain = min((strain.name for strain in scene.visit.strains_of_club(scene.club.id).values()), default="yellow lab")
    return [Reply(helping.text(room, offered, strain, scene.style, organiser="organiser" in scene.roles))]


def settings(scene: Scene, slots: Slots) -> list[Reply]:
    """The choices as they are."""
    room = scene.room if scene.is_keeper else None
    return [Reply(answers.settings(scene.person, scene.club, scene.visit.club(scene.club.id), room, scene.style))]


def people(scene: Scene, slots: Slots) -> list[Reply]:
    """Who is in the club, with their roles, and whose fishrooms there are."""
    members = scene.visit.tx.clubs.members(scene.club.id)
    rooms = {room.id: scene.visit.tx.clubs.keepers(room.id) for room in scene.visit.tx.clubs.rooms(scene.club.id)}
    return [Reply(answers.people(scene.club.name, members, rooms))]


ANSWERS: Mapping[str, Answer] = {
    "where": Answer(Area.SEEING_THE_ROOM, where),
    "contents": Answer(Area.SEEING_THE_ROOM, contents),
    "holding_list": Answer(Area.SEEING_THE_ROOM, holding_list),
    "history": Answer(Area.SEEING_THE_ROOM, history),
    "help": Answer(Area.SEEING_THE_SHELF, helping_hand),
    "settings": Answer(Area.SEEING_THE_SHELF, settings),
    "people": Answer(Area.SEEING_THE_SHELF, people),
    **{kind: Answer(Area.SEEING_THE_ROOM, give) for kind, give in OUTLOOK_ANSWERS.items()},
    "unsexed_needed": Answer(Area.SEEING_THE_SHELF, unsexed),
    **{kind: Answer(Area.SEEING_THE_SHELF, give) for kind, give in CLUB_ANSWERS.items()},
}
