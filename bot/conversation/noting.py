"""Talk that reports nothing Frywire counts, but names a fish, a batch or a place of the writer's own, can be kept as a note, at a press."""

from __future__ import annotations

from bot.conversation.heard import Heard
from bot.conversation.message import Reply
from bot.conversation.picturing import subject_of
from bot.conversation.scene import Scene
from bot.replies import talk
from bot.replies.talk import is_question

FEWEST_WORDS = 3
"""Fewer words ("the tub", "female 4") name something and say nothing about it."""


def offer_note(scene: Scene, heard: Heard) -> Reply | None:
    """The offer to keep the text with what it names; None where it asks, names nothing here, or somebody else keeps the fish."""
    if scene.room_id is None or scene.origin.group or heard.replaces or len(heard.text.split()) < FEWEST_WORDS:
        return None
    if is_question(heard.text):
        return None
    named = subject_of(scene, heard.text, here=False)
    if named is None:
        return None
    slots = {**named, "text": heard.text.strip(), "on": heard.local.date().isoformat()}
    button = scene.button(talk.KEEP_AS_NOTE, {"do": "record", "items": [{"kind": "noted", "slots": slots}], "room": scene.room_id})
    return Reply(talk.with_cautions(talk.as_a_note(*next(iter(named.items()))), heard.text), ((button,),))
