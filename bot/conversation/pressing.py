"""A button is pressed: it works once, for the member it was made for; what it does stands in the store, not in the button."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from typing import Any

from bot.conversation import committing, settling, taking_back
from bot.conversation.answering import answer_query
from bot.conversation.by_strain import answer_wish, reserve_parts
from bot.conversation.heard import Heard
from bot.conversation.hearing import act
from bot.conversation.message import Reply
from bot.conversation.own_words import confirmed
from bot.conversation.recording import record_items
from bot.conversation.scene import Scene
from bot.reading import Item
from bot.replies import refused, talk
from core.club import Refused
from core.events import Entry, TaskDone, TaskLater
from core.store.buttons import Expired, Foreign, Found, Used

Action = Mapping[str, Any]


def hear_press(scene: Scene, token: str) -> list[Reply]:
    """The replies to a press."""
    pressed = scene.visit.tx.buttons.press(token, scene.person.id, scene.source, scene.now)
    match pressed:
        case Found(action, club):
            scene.enter(club or scene.club.id)
            replies = _press(scene, action)
            if action["do"] in RECORDING and not _recorded(scene):
                scene.visit.tx.buttons.release(token)
            return replies
        case Expired(action, club):
            scene.enter(club or scene.club.id)
            return [Reply(talk.EXPIRED_BUTTON, ((scene.button("Yes, go on", action),),))]
        case Used():
            return [Reply(talk.USED_BUTTON)]
        case Foreign():
            return [Reply(talk.FOREIGN_BUTTON)]
        case _:
            return [Reply(talk.UNKNOWN_BUTTON)]


def _recorded(scene: Scene) -> list[Entry]:
    """What this press has recorded, now or when it came for the first time."""
    found: list[Entry] = scene.visit.tx.journal.of_message(scene.source.door, scene.source.message, 0)
    return found


def _press(scene: Scene, action: Action) -> list[Reply]:
    if again := _recorded(scene):
        return committing.tell_again(scene, again)
    if action.get("room"):
        scene.go_to(action["room"])
    return DEEDS[action["do"]](scene, action)


def take_back_pressed(scene: Scene, action: Action) -> list[Reply]:
    """Take a message back, whole."""
    return taking_back.take_back_named(scene, action["entries"])


def put_back_pressed(scene: Scene, action: Action) -> list[Reply]:
    """Void the voids: what was taken back counts again."""
    return taking_back.put_back_named(scene, action["entries"])


def answer_pressed(scene: Scene, action: Action) -> list[Reply]:
    """An option of an open question."""
    draft = scene.visit.tx.drafts.get(action["draft"])
    if draft is None or draft.state != "open" or draft.person != scene.person.id:
        return [Reply(talk.USED_BUTTON)]
    if draft.room:
        scene.go_to(draft.room)
    found = settling.answer_draft(scene, draft, action["text"], scene.names(), act)
    return found if found is not None else [Reply(talk.USED_BUTTON)]


def record_pressed(scene: Scene, action: Action) -> list[Reply]:
    """Something to record, as if it had been said."""
    items = [Item(one["kind"], one["slots"]) for one in action["items"]]
    return record_items(scene, items, Heard("", scene.local), again=True)


def ask_pressed(scene: Scene, action: Action) -> list[Reply]:
    """A query, as if it had been asked."""
    return answer_query(scene, Item(action["kind"], action.get("slots", {})), ())


def part_pressed(scene: Scene, action: Action) -> list[Reply]:
    """Parts from several keepers, each a reservation of its own, all or none; in place of what an edited message had recorded."""
    replaced = tuple(taking_back.still_standing(scene, action.get("replaces", ())))
    return reserve_parts(scene, action["parts"], Heard("", scene.local, replaced), action.get("wishes", ()))


def own_words_pressed(scene: Scene, action: Action) -> list[Reply]:
    """A deed of the conversation's own that was asked to be confirmed."""
    return confirmed(scene, action)


def task_pressed(scene: Scene, action: Action) -> list[Reply]:
    """A task of the digest: done, or later."""
    here = committing.here_for(scene, Heard("", scene.local))
    done = action["kind"] == "task_done"
    here.propose(TaskDone(action["task"]) if done else TaskLater(action["task"], scene.today + timedelta(days=1)))
    recorded_now = committing.commit(scene, here, Heard("", scene.local))
    if isinstance(recorded_now, Refused):
        return [Reply(refused.sentence(recorded_now, scene.style, scene.room))]
    return [committing.reply_to(scene, recorded_now, (), (), {})]


def wish_pressed(scene: Scene, action: Action) -> list[Reply]:
    """An answer to somebody on the wanted list who was asked."""
    return answer_wish(scene, action, Heard("", scene.local))


DEEDS: Mapping[str, Callable[[Scene, Action], list[Reply]]] = {
    "take_back": take_back_pressed,
    "put_back": put_back_pressed,
    "answer": answer_pressed,
    "record": record_pressed,
    "ask": ask_pressed,
    "parts": part_pressed,
    "own": own_words_pressed,
    "task": task_pressed,
    "wish": wish_pressed,
}
"""What a button can do, by the name in its action."""
RECORDING = frozenset({"record", "parts", "task", "wish", "take_back", "put_back"})
"""Where these recorded nothing (refused, or asked back), the button works again: tomorrow it may be possible."""
