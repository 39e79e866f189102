"""Open questions are settled: answered in words or by a button, dropped, or left open where the text answers something else."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, cast

from bot import reading
from bot.conversation.entering import room_named
from bot.conversation.fetching_day import only_a_day
from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Ask, Dropped, Events, Item, Names, Query, Reading
from bot.replies import talk
from core.store.drafts import Draft, DraftState

GoOn = Callable[[Scene, Reading, Heard], list[Reply]]
"""What is done with a reading that has become whole."""

YES = frozenset({"yes", "y", "yep", "yeah", "ok", "okay", "sure", "do", "do it", "please", "again", "yes please", "right"})

NO = frozenset({"no", "n", "nope", "cancel", "forget it", "never mind", "nevermind", "leave it", "don't", "stop", "no thanks"})


def answer(
    scene: Scene, text: str, names: Names, go_on: GoOn, *, stands_alone: bool, reads: Reading | None = None
) -> list[Reply] | None:
    """The newest open question answered by the text; None when it does not answer it.

    `reads`: how the text reads by itself; one that begins to tell of something else is no answer.
    """
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now)
    if draft is None or (draft.about in NUMBERS and _AT_A_TIME.search(text)):
        return None
    if _AGREEING.fullmatch(text.replace("'", "").replace("’", "")) and not just_asked(scene, draft):
        return None
    fits = kinds_asked(reads) <= waiting_kinds(draft) and not measures_else(reads, draft)
    found = answer_draft(scene, draft, text, names, go_on, stands_alone=stands_alone) if fits else None
    return found if found is not None or stands_alone else _with_more(scene, draft, text, go_on)


_AGREEING = re.compile(rf"\W*(?:(?:{'|'.join(sorted({*YES, *reading.AGREEING}))})\b\W*)+", re.IGNORECASE)


def just_asked(scene: Scene, draft: Draft) -> bool:
    """Whether the question is the last thing that was said here: only then a bare "ok" is of it, and not of a later reply or notice."""
    if scene.memory.get("agree_to") != draft.id:
        return False
    asked = datetime.fromisoformat(scene.memory["asked_at"])
    return not any(one.due_at > asked and one.kind != "answer" for one in scene.visit.tx.deliveries.to(scene.person.id, LOOKED_BACK))


LOOKED_BACK = 10
"""So many of the last messages to the member are looked through for a notice since."""


def _with_more(scene: Scene, draft: Draft, text: str, go_on: GoOn) -> list[Reply] | None:
    """An answer that says more than was asked ("24, 2 dead"), taken whole; None where it is none."""
    if "reader" not in draft.draft or draft.room not in (None, scene.room_id):
        return None
    found = reading.in_one_breath(question_of(draft), text, scene.names(), scene.context())
    if found is None:
        return None
    _close(scene, draft, "answered")
    return go_on(scene, found, replace(heard_of(scene, draft), text=together(draft, text)))


def answer_edited(scene: Scene, heard: Heard, go_on: GoOn) -> list[Reply] | None:
    """A message that had answered a question is edited: the same question is answered anew. None where it answered none, or no longer does."""
    last = scene.memory.get("answered", {})
    draft = scene.visit.tx.drafts.get(last["draft"]) if last.get("message") == scene.source.message else None
    if draft is None or "reader" not in draft.draft or draft.room not in (None, scene.room_id):
        return None
    said = (question_of(draft), heard.text)
    found = reading.answer(*said, now=draft.written, by=scene.person.name, names=scene.names(), context=scene.context())
    found = found if isinstance(found, Events | Ask) else reading.in_one_breath(*said, scene.names(), scene.context())
    if found is None:
        return None
    return go_on(scene, found, replace(heard_of(scene, draft), text=together(draft, heard.text), replaces=heard.replaces))


def withdraw_asked(scene: Scene) -> None:
    """The questions that the message had raised before it was edited are no longer asked: it says something else now."""
    for draft in scene.visit.tx.drafts.open_of(scene.person.id):
        if (draft.door, draft.chat, draft.draft.get("message")) == (scene.origin.door, scene.origin.chat, scene.origin.message):
            scene.visit.tx.drafts.close(draft.id, "dropped")


def drop_asked_last(scene: Scene) -> bool:
    """Whether the last thing that came of the writer's words here was a question: it is dropped, and is what "undo" is of."""
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now)
    if draft is None or draft.id != scene.memory.get("asked"):
        return False
    told = scene.visit.tx.journal.last_of(scene.person.id)
    if told is not None and told.entries[-1].told > datetime.fromisoformat(scene.memory["asked_at"]):
        return False
    scene.visit.tx.drafts.close(draft.id, "dropped")
    return True


def together(draft: Draft, text: str) -> str:
    """The message that waited and its answer, as one."""
    return f"{draft.text.rstrip(' .!,')}, {text}"


def _close(scene: Scene, draft: Draft, state: DraftState) -> None:
    """The question is open no longer; by which message it was answered is remembered, for that may be edited."""
    scene.visit.tx.drafts.close(draft.id, state)
    if state == "answered":
        scene.remember(answered={"message": scene.source.message, "draft": draft.id})


def question_of(draft: Draft) -> Ask:
    """The reader's question, as it was asked."""
    return Ask(draft.about, tuple(draft.draft["options"]), draft.draft["reader"], draft.draft["why"], draft.draft["value"])


NUMBERS = frozenset({"count", "males", "eggs", "dead", "price", "amount", "percent"})
_AT_A_TIME = re.compile(
    r"\b(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?,?\s+(?:at\s+)?\d{1,2}(?::\d\d)?\b"
    r"|\b\d{1,2}(?::\d\d)?\s?[ap]m\b|\b(?:tomorrow|later|next week)\b",
    re.IGNORECASE,
)
"""A time to come ("saturday 11 is fine", "1 tomorrow") tells no number of fish and no price."""


def measures_else(reads: Reading | None, draft: Draft) -> bool:
    """Whether the text tells a value of its own that cannot be: "ph 81" says nothing of the temperature that was asked for."""
    return isinstance(reads, Ask) and reads.why in ("impossible", "implausible") and bool(reads.value) and reads.about != draft.about


def kinds_asked(question: object) -> frozenset[str]:
    """The kinds of events that a question of the reader's is about."""
    waiting = cast("dict[str, Any]", question.draft or {}) if isinstance(question, Ask) else {}
    return frozenset(item["kind"] for item in waiting.get("items", ()))


def waiting_kinds(draft: Draft) -> frozenset[str]:
    """The kinds of events that wait in an open question."""
    return frozenset(one["kind"] for one in draft.draft.get("items") or draft.draft.get("reader", {}).get("items", ()))


def answer_draft(
    scene: Scene, draft: Draft, text: str, names: Names, go_on: GoOn, *, stands_alone: bool = False
) -> list[Reply] | None:
    """This question answered by the text; None when the text does not answer it."""
    if draft.room is not None and draft.room != scene.room_id:
        scene.go_to(draft.room)
        names = scene.names()
    if "choose" in draft.draft:
        return _answer_choice(scene, draft, text)
    found = reading.answer(question_of(draft), text, now=draft.written, by=scene.person.name, names=names, context=scene.context())
    if found is None or (stands_alone and isinstance(found, Ask | Query)):
        return None
    _close(scene, draft, "dropped" if isinstance(found, Dropped) else "answered")
    return [Reply(talk.DROPPED)] if isinstance(found, Dropped) else go_on(scene, found, _whole(scene, draft, text, found))


def _whole(scene: Scene, draft: Draft, text: str, found: Reading) -> Heard:
    """The message that waited; with its answer behind it where both as one say the same, so that it can be put right as one."""
    heard = heard_of(scene, draft)
    words = together(draft, text)
    if not isinstance(found, Events):
        return heard
    read = reading.read(words, now=heard.local, by=scene.person.name, names=scene.names(), context=scene.context())
    return replace(heard, text=words) if isinstance(read, Events) and read.items == found.items else heard


def now_known(scene: Scene, items: Sequence[Item], go_on: GoOn) -> list[Reply]:
    """A place that the newest open question did not know has just been added: that answers it."""
    added = {str(item.slots.get("place")) for item in items if item.kind == "place_added"}
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now) if added else None
    if draft is None or draft.about not in ("to", "place", "from", "hangs_in") or draft.draft.get("value") not in added:
        return []
    return answer_draft(scene, draft, str(draft.draft["value"]), scene.names(), go_on) or []


def _answer_choice(scene: Scene, draft: Draft, text: str) -> list[Reply] | None:
    said = " ".join(text.lower().strip(" .!?").split())
    options: dict[str, dict[str, Any] | None] = draft.draft["choose"]
    by_word = {option.lower(): option for option in options}
    if "yes" in options and said in YES:
        said = "yes"
    if said in NO and "no" not in by_word:
        scene.visit.tx.drafts.close(draft.id, "dropped")
        return [Reply(talk.DROPPED)]
    if "no" in by_word and said in NO:
        said = "no"
    ends = [word for word in by_word if word.endswith(f" {said}")]
    option = by_word.get(said) or (by_word[ends[0]] if len(ends) == 1 else None)
    if option is None and draft.about == "pickup":
        return _another_day(scene, draft, said)
    if option is None and draft.about == "mix":
        return _another_mix(scene, draft, said)
    if option is None:
        return None
    return choose_option(scene, draft, options[option])


def picked(scene: Scene, text: str, go_on: GoOn) -> list[Reply] | None:
    """One of the options of the newest open question, said in its own words ("Ada's A"); else None."""
    draft = scene.visit.tx.drafts.newest(scene.person.id, scene.origin.door, scene.origin.chat, scene.now)
    said = " ".join(text.lower().replace("’", "'").strip(" .!?").split())
    options = draft.draft.get("choose", {}) if draft else {}
    if draft is None or ("'s " not in said and draft.about != "mix") or said not in {option.lower() for option in options}:
        return None
    return answer_draft(scene, draft, said, scene.names(), go_on)


def _another_day(scene: Scene, draft: Draft, said: str) -> list[Reply] | None:
    """A day typed instead of one of those shown; None where the text is no day, or says more of it ("friday is bad")."""
    if not only_a_day(said):
        return None
    found = reading.read(f"pickup for #1 {said}", now=scene.local, by=scene.person.name, names=with_reservation(scene.names()))
    slots = found.items[0].slots if isinstance(found, Events) and found.items[0].kind == "pickup_set" else {}
    if "pickup" not in slots:
        return None
    scene.visit.tx.drafts.close(draft.id, "answered")
    added = {name: slots[name] for name in ("pickup", "at") if slots.get(name)}
    items = [Item(one["kind"], {**one["slots"], **added}) for one in draft.draft["items"]]
    return record_items(scene, items, heard_of(scene, draft))


def _another_mix(scene: Scene, draft: Draft, said: str) -> list[Reply] | None:
    """A mix typed instead of one of those shown ("1m 5f"); None where the text is none, or none of that many fish."""
    found = reading.read(f"change #1 to {said}", now=scene.local, by=scene.person.name, names=with_reservation(scene.names()))
    slots = found.items[0].slots if isinstance(found, Events) and found.items[0].kind == "reservation_changed" else {}
    if "males" not in slots or "females" not in slots:
        return None
    return choose_option(scene, draft, {name: slots[name] for name in ("count", "males", "females")})


def with_reservation(names: Names) -> Names:
    """The names with a reservation 1 that is the writer's, so that a day can be read as a pickup's."""
    return replace(names, reservations={"1": {"status": "confirmed"}})


def choose_option(scene: Scene, draft: Draft, slots: Mapping[str, Any] | None) -> list[Reply]:
    """The choice is made: the waiting message goes on with these slots, or is dropped."""
    scene.visit.tx.drafts.close(draft.id, "dropped" if slots is None else "answered")
    if slots is None:
        return [Reply(talk.LEFT_AS_IT_IS)]
    if "room" in slots:
        scene.room_id = room_named(scene, slots["room"]) or scene.room_id
    added = {name: value for name, value in slots.items() if name not in ("again", "room")}
    items = [
        Item(one["kind"], {name: value for name, value in {**one["slots"], **added}.items() if value is not None})
        for one in draft.draft["items"]
    ]
    return record_items(scene, items, heard_of(scene, draft), again=bool(slots.get("again")))


def heard_of(scene: Scene, draft: Draft) -> Heard:
    """The message that waits, with its own day, and the entries it replaces if it was an edit."""
    journal = scene.visit.tx.journal
    replaced = (journal.entry(stream, number) for stream, number in draft.draft.get("replaces", ()))
    return Heard(draft.text, draft.written, tuple(entry for entry in replaced if journal.is_live(entry)))
