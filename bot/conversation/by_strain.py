"""Reserving by strain: one batch that fits best is taken; parts from several batches are proposed, and taken with one press."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bot.conversation import committing
from bot.conversation.heard import Heard
from bot.conversation.here import Here, NotClearError, Unclear
from bot.conversation.message import Reply
from bot.conversation.proposing_orders import ORDERS, reserve_in
from bot.conversation.scene import Scene, now_of
from bot.conversation.wishing import ask_of, what_is_missing, wishes
from bot.reading import Item
from bot.replies import asks, strains
from core.club import Refused
from core.events import Reserved, StrainKey, WishAnswered
from core.planning.promises import Part, Proposal, propose_parts
from core.planning.standing import Ask


def best_fit(scene: Scene, strain: StrainKey, ask: Ask) -> Proposal:
    """The best fit in the club."""
    rooms = {room.id: room for room in scene.visit.rooms_of_club(scene.club.id)}
    return propose_parts(rooms, strain, ask, now_of(scene))


def propose_by_strain(scene: Scene, items: Sequence[Item], heard: Heard) -> list[Reply]:
    """Take the one batch that has it all; else show the parts that there are; else say what comes and offer the waiting list."""
    slots = next(item.slots for item in items if item.kind == "reserved" and "batch" not in item.slots)
    strain, ask = str(slots["strain"]), ask_of(slots)
    fit = best_fit(scene, strain, ask)
    parts = [plain(part, slots) for part in fit.parts]
    if len(items) == 1 and len(fit.parts) == 1 and not fit.missing:
        return reserve_parts(scene, parts, heard)
    name = strains.name(strain, scene.visit.strain_of_club(scene.club.id, strain))
    waiting = scene.button("Waiting list", {"do": "record", "items": wishes(strain, ask)})
    if not fit.parts:
        return [Reply(strains.none(name, ask), ((waiting,),))]
    shown = [(scene.visit.keeper_name(part.room), label(scene, part), part.ask) for part in fit.parts]
    action = {"do": "parts", "parts": parts, "replaces": committing.keys(heard.replaces)}
    rows = [(scene.button("Reserve these", action),)]
    if fit.missing:
        rest = wishes(strain, what_is_missing(ask, fit))
        rows += [(scene.button("These, and wait for the rest", {**action, "wishes": rest}),), (waiting,)]
    return [Reply(strains.parts(name, shown, fit.missing), tuple(rows))]


def label(scene: Scene, part: Part) -> str:
    """The letters of a part's batch."""
    return scene.visit.room(part.room).batches[part.batch].label


def plain(part: Part, slots: Mapping[str, Any]) -> dict[str, Any]:
    """A part as a button keeps it."""
    asked = part.ask
    counts = {"count": asked.count, "sex": asked.sex, "males": asked.males or None, "females": asked.females or None}
    kept = {name: slots[name] for name in ("member", "pickup", "at", "min_mm") if slots.get(name)}
    return {"room": part.room, "batch": part.batch, "slots": {k: v for k, v in {**counts, **kept}.items() if v is not None}}


def reserve_parts(
    scene: Scene, parts: Sequence[Mapping[str, Any]], heard: Heard, wanted: Sequence[Mapping[str, Any]] = ()
) -> list[Reply]:
    """A reservation for each part, and wishes for what is `wanted` besides, all in one transaction or none."""
    here = committing.here_for(scene, heard)
    try:
        for part in parts:
            propose_part(scene, here, part)
        for wish in wanted:
            ORDERS["wanted"](here, wish["slots"])
    except NotClearError as problem:
        found = problem.unclear
        return [Reply(asks.unclear_sentence(found.about, found.why, found.value, (), scene.style, None))]
    done = committing.commit(scene, here, heard)
    if isinstance(done, Refused):
        slots = {**parts[0]["slots"], "batch": parts[0]["batch"]}
        return committing.refuse(scene, here, done, [Item("reserved", slots)], heard)
    return [committing.reply_to(scene, done, here.remarks, (), here.texts)]


def propose_part(scene: Scene, here: Here, part: Mapping[str, Any]) -> None:
    """Propose the reservation of one part."""
    here.in_room(part["room"])
    slots = part["slots"]
    member = scene.visit.member_named(scene.club.id, slots["member"]) if slots.get("member") else scene.person.id
    batch = here.room.batches.get(part["batch"])
    if batch is None:
        raise NotClearError(Unclear("batch", "unknown", str(part["batch"])))
    reserve_in(here, batch, member or scene.person.id, slots)


def answer_wish(scene: Scene, action: Mapping[str, Any], heard: Heard) -> list[Reply]:
    """Taken: a reservation, and the wish is met. Passed: the next is asked. Dropped: off the list."""
    here = committing.here_for(scene, heard)
    number = int(action["wish"])
    match action["answer"]:
        case "take":
            try:
                propose_part(scene, here, action["part"])
            except NotClearError as problem:
                found = problem.unclear
                return [Reply(asks.unclear_sentence(found.about, found.why, found.value, (), scene.style, None))]
            made = here.proposals[-1].event
            taken = {"reservation": made.reservation, "count": made.count} if isinstance(made, Reserved) else {}
            here.propose_club(WishAnswered(number, "met", **taken))
        case "pass":
            here.propose_club(WishAnswered(number, "passed"))
        case _:
            here.propose_club(WishAnswered(number, "dropped"))
    done = committing.commit(scene, here, heard)
    if isinstance(done, Refused):
        return committing.refuse(scene, here, done, [], heard)
    return [committing.reply_to(scene, done, here.remarks, (), here.texts)]
