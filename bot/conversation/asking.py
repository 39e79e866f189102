"""Questions back: kept as drafts with the day they were written, shown with their options as their own values, answered later.

Two kinds of draft share a table: the reader's (a slot is missing; the reader completes it) and the conversation's own ("choose":
the message was understood, and one choice is open; each option names the slots that it sets).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, cast

from bot.conversation.heard import Heard
from bot.conversation.here import Unclear
from bot.conversation.message import Button, Reply
from bot.conversation.scene import Scene
from bot.reading import Ask, Item
from bot.replies import asks, fetching, helping, own_orders, talk
from core.events import Entry, Reserved

OPEN_FOR = timedelta(days=2)
BUTTONS_A_ROW = 4


def ask(scene: Scene, question: Ask, heard: Heard) -> Reply:
    """Ask what the reader left open. Nothing is recorded until it is answered."""
    if question.about == "reservation" and question.why == "missing" and question.value:
        return Reply(asks.no_reservation_of(question.value))
    if is_settled(scene, question):
        return Reply(asks.no_reservation(question.value))
    if not question.draft:
        return Reply(question_words(scene, question))
    values = {"reader": plain(question.draft), "options": list(question.options), "why": question.why, "value": question.value}
    draft = keep(scene, question.about, values, heard)
    shown = question.options or could_be(scene, question)
    if days := in_days(scene, shown):
        text = question_words(scene, replace(question, options=tuple(days)))
        return Reply(text, rows(scene, draft, tuple(days), days))
    text = question_words(scene, replace(question, options=shown) if len(shown) <= IN_WORDS else question)
    return Reply(text, rows(scene, draft, shown))


def is_settled(scene: Scene, question: Ask) -> bool:
    """Whether nothing is left to ask: the number is of no reservation of theirs, and they have none (or none that is open)."""
    known = scene.names()
    none = {"unknown": not known.reservations, "missing": not known.open_reservations()}
    return question.about == "reservation" and none.get(question.why, False)


def in_days(scene: Scene, options: Sequence[str]) -> dict[str, str]:
    """Options that are days: as the member writes days, with the day as it stands in a reading; empty where they are none."""
    try:
        return {scene.style.day(date.fromisoformat(option)): option for option in options}
    except ValueError:
        return {}


IN_WORDS = 6
"""More choices than that are shown as buttons only."""
MOST_CHOICES = 12


ENDING = {"brood_lost", "released", "still_holding"}
"""What only a female that carries can do."""


def could_be(scene: Scene, question: Ask) -> tuple[str, ...]:
    """What the open slot could be in this fishroom, where the message narrows it by nothing; empty where that is too much to show."""
    names, about = scene.names(), question.about
    kinds = {item["kind"] for item in cast("dict[str, Any]", question.draft).get("items", ())}
    places: Sequence[str] = names.places
    batches = tuple(sorted((label for label, one in names.batches.items() if one.get("count") and one.get("strain")), key=counting))
    match about:
        case "female" | "male" if kinds & {"died", "culled", "left", "sold"} and question.value.isdigit():
            known = tuple(f"{sex} {question.value}" for sex in names.sexes_of(question.value))
            found: Sequence[str] = (*known, *(f"batch {label}" for label in batches))
        case "female" | "male":
            fish = names.females if about == "female" else names.males
            other = names.males if about == "female" else names.females
            carry = {label: one for label, one in fish.items() if one.get("holding_since")}
            fish = carry if carry and kinds & ENDING else fish
            found = [f"{about} {label}" if label in other else label for label in sorted(fish, key=counting)]
        case "place" | "to" | "from" if "away" not in kinds:
            found = places
        case "batch":
            found = batches
        case _:
            found = ()
    return tuple(found) if 0 < len(found) <= MOST_CHOICES else ()


def counting(label: str) -> tuple[int, str]:
    """Labels in the order in which they are counted: 2 before 10, Z before AA."""
    return len(label), label


def question_words(scene: Scene, question: Ask) -> str:
    """The question in words."""
    query = bool(question.draft) and not cast("dict[str, Any]", question.draft).get("events")
    begin, left = none_yet(scene, question), gone(scene, question)
    text = asks.sentence(question.about, question.why, question.value, question.options, scene.style, query=query, begin=begin, gone=left)
    book = in_the_book(scene, question)
    return asks.more_than(question.value, *book) if book else text


def none_yet(scene: Scene, question: Ask) -> str:
    """How the first of what is asked for comes into the keeper's own book, where there is none; empty else, and for an order."""
    kinds = {item["kind"] for item in cast("dict[str, Any]", question.draft or {}).get("items", ())}
    if scene.room is None or not scene.is_keeper or "reserved" in kinds:
        return ""
    return helping.none_yet(asks.NOUN.get(question.about, question.about), scene.room, scene.style)


def gone(scene: Scene, question: Ask) -> str:
    """What became of the female or male that was named, where the book knows it as gone; empty else."""
    fish = scene.room.fish.values() if scene.room is not None and question.about in ("female", "male") else ()
    said = question.value.lower().removeprefix(question.about).strip()
    left = [one for one in fish if one.gone and one.sex == question.about and said in (one.label.lower(), (one.nickname or one.label).lower())]
    return asks.gone_since(left[-1], scene.style) if left else ""


def in_the_book(scene: Scene, question: Ask) -> tuple[str, int] | None:
    """Where more fish were said than the batch has: its letters, and how many it has."""
    if question.about != "count" or question.why != "too_many":
        return None
    waiting = cast("dict[str, Any]", question.draft or {})
    item: Mapping[str, Any] = next(iter(waiting.get("items", ())[waiting.get("at", 0) :]), {"slots": {}})
    slots = item["slots"]
    batch = scene.names().batches.get(str(slots.get("batch", "")))
    return (str(slots["batch"]), int(batch["count"])) if batch and batch.get("count") and not slots.get("sex") else None


def ask_unclear(scene: Scene, unclear: Unclear, items: Sequence[Item], heard: Heard) -> list[Reply]:
    """Ask what the fishroom left open, or say why it cannot be."""
    if unclear.why == "does_not_suit":
        return [ask_day(scene, unclear, items, heard)]
    if unclear.why == "unchanged":
        return [Reply(own_orders.unchanged(unclear.facts, scene.style))]
    if unclear.why in ("stands_already", "proposed_already"):
        return [Reply(fetching.nothing_new(unclear.facts, scene.style))]
    text = asks.unclear_sentence(unclear.about, unclear.why, unclear.value, unclear.options, scene.style, scene.room)
    if not unclear.options:
        return [Reply(text)]
    return [choose(scene, unclear.about, text, {option: sets(unclear.about, option) for option in unclear.options}, items, heard)]


def ask_day(scene: Scene, unclear: Unclear, items: Sequence[Item], heard: Heard) -> Reply:
    """The keeper cannot hand over that day: why, and the next days that would do, each as a button."""
    found, keeper = unclear.facts
    text = fetching.does_not_suit(found, date.fromisoformat(unclear.value), scene.style, keeper)
    if not unclear.options:
        return Reply(text)
    days = {scene.style.day(date.fromisoformat(day)): {"pickup": day} for day in unclear.options}
    return choose(scene, "pickup", text, days, items, heard)


def sets(about: str, option: str) -> dict[str, Any] | None:
    """The slots that an option sets: what it says is taken from its own words. None drops the draft."""
    match about:
        case "mix":
            return mix_of(option)
        case "hybrid":
            return {"hybrid": True} if option == "yes" else None
        case "after_count":
            return {"after_count": option == "after"}
        case "female" if " " in option:
            kind, _, label = option.partition(" ")
            return {kind: label, "place": None}
        case "batch" if "'s " in option:
            return {"room": option.partition("'s ")[0]}
        case _:
            return {about: option}


def mix_of(said: str) -> dict[str, Any]:
    """ "1 male and 5 females", "6 of either sex" as slots."""
    numbers = {sex: int(number) for number, sex in re.findall(r"(\d+) (male|female)s?\b", said)}
    return {"males": numbers.get("male", 0), "females": numbers.get("female", 0)}


def ask_again(scene: Scene, told: Entry, items: Sequence[Item], heard: Heard) -> list[Reply]:
    """The same was told today: once more?"""
    at = told.told.astimezone(scene.zone).time()
    number = getattr(told.event, "reservation", None) if isinstance(told.event, Reserved) else None
    text = talk.told_already(scene.style.clock(at)) if number is None else talk.reserved_already(scene.style.clock(at), number)
    return [choose(scene, "again", text, {"yes": {"again": True}, "no": None}, items, heard)]


def choose(
    scene: Scene,
    about: str,
    text: str,
    options: Mapping[str, Mapping[str, Any] | None],
    items: Sequence[Item],
    heard: Heard,
) -> Reply:
    """Ask for one choice; the message waits whole."""
    waiting = [{"kind": item.kind, "slots": plain(item.slots)} for item in items]
    values = {
        "items": waiting,
        "choose": {option: dict(slots) if slots is not None else None for option, slots in options.items()},
    }
    draft = keep(scene, about, values, heard)
    return Reply(text, rows(scene, draft, tuple(options)))


def keep(scene: Scene, about: str, values: Mapping[str, Any], heard: Heard) -> int:
    """Keep the open question."""
    replaced = [[entry.stream, entry.number] for entry in heard.replaces]
    draft = scene.visit.tx.drafts.open(
        scene.person.id,
        scene.origin.door,
        scene.origin.chat,
        about=about,
        draft={**values, "replaces": replaced, "message": scene.origin.message},
        text=heard.text,
        written=heard.local,
        expires=scene.now + OPEN_FOR,
        room=scene.room_id,
    )
    scene.remember(asked=draft.id, agree_to=draft.id, asked_at=scene.now.isoformat())
    return cast(int, draft.id)


def rows(
    scene: Scene, draft: int, options: Sequence[str], says: Mapping[str, str] | None = None
) -> tuple[tuple[Button, ...], ...]:
    """The options as buttons, a few in a row; what is pressed is what could be typed (`says`: other words for it)."""
    made = [
        scene.button(option[:40], {"do": "answer", "draft": draft, "text": (says or {}).get(option, option)})
        for option in options[:24]
    ]
    wide = 2 if any(len(option) > 9 for option in options) else BUTTONS_A_ROW
    return tuple(tuple(made[at : at + wide]) for at in range(0, len(made), wide))


SUBJECTS = ("female", "male", "batch", "place", "reservation")


def told_anew(scene: Scene, items: Sequence[Item]) -> None:
    """Open questions about what has now been told in other words are closed: the same kind of thing, of the same subject."""
    told = [(item.kind, {name: str(item.slots[name]) for name in SUBJECTS if item.slots.get(name)}) for item in items]
    for draft in scene.visit.tx.drafts.open_of(scene.person.id):
        waiting = draft.draft.get("items") or draft.draft.get("reader", {}).get("items", ())
        if waiting and all(_is_told(one, told) for one in waiting):
            scene.visit.tx.drafts.close(draft.id, "answered")


def _is_told(waiting: Mapping[str, Any], told: Sequence[tuple[str, Mapping[str, str]]]) -> bool:
    about = {name: str(waiting["slots"][name]) for name in SUBJECTS if waiting["slots"].get(name)}
    return bool(about) and any(kind == waiting["kind"] and about.items() <= slots.items() for kind, slots in told)


def plain(value: Any) -> Any:
    """A reading's values as JSON."""
    match value:
        case Mapping():
            return {str(name): plain(one) for name, one in value.items()}
        case list() | tuple():
            return [plain(one) for one in value]
        case Item():
            return {"kind": value.kind, "slots": plain(value.slots)}
        case _:
            return value
