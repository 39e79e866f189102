"""A photo is made safe, kept by us, and logged to what its caption names."""

from __future__ import annotations

from bot.conversation import committing
from bot.conversation.heard import Heard
from bot.conversation.here import Here, NotClearError
from bot.conversation.message import Picture, Reply
from bot.conversation.proposing import propose
from bot.conversation.recording import ask_back
from bot.conversation.scene import Scene
from bot.pictures.photos import Unfit, make_safe
from bot.reading import Item, read
from bot.reading.values import Events
from bot.replies import pictured, refused
from core.club import Refused
from core.events import Photographed


def hear_picture(scene: Scene, picture: Picture) -> list[Reply]:
    """Keep the photo with the fish, batch or place that its caption names; events told in the caption are recorded too."""
    again = scene.visit.tx.journal.of_message(scene.source.door, scene.source.message, picture.revision)
    if again:
        return committing.tell_again(scene, again)
    safe = make_safe(picture.content)
    if isinstance(safe, Unfit):
        return [Reply(pictured.unusable(safe.why))]
    earlier = scene.visit.tx.journal.live_of_message(scene.source.door, scene.source.message) if picture.revision else []
    heard = Heard(picture.caption, scene.written, tuple(earlier))
    here = committing.here_for(scene, heard)
    slots = subject_of(scene, picture.caption)
    if slots is None:
        return [] if picture.more else [Reply(pictured.NAME_IT)]
    photo = scene.visit.tx.photos.put(safe.content, "image/jpeg", safe.width, safe.height, scene.person.id)
    if picture.file:
        scene.visit.tx.photos.set_file(photo, scene.origin.door, picture.file)
    try:
        keep_photo(here, photo, picture.caption, slots)
    except NotClearError as problem:
        return ask_back(scene, problem.unclear, [Item("photo", slots)], heard)
    caption = "" if picture.more else picture.caption
    reading = read(caption, now=scene.local, by=scene.person.name, names=scene.names(), context=scene.context())
    if isinstance(reading, Events) and not any(item.kind in ("photo", "undone") for item in reading.items):
        unclear = propose(here, reading.items)
        if unclear is not None:
            return ask_back(scene, unclear, reading.items, heard)
    done = committing.commit(scene, here, heard)
    if isinstance(done, Refused):
        return [Reply(refused.sentence(done, scene.style, scene.room))]
    scene.speak_of(slots)
    return [committing.reply_to(scene, done, here.remarks, (), here.texts)]


def keep_photo(here: Here, photo: str, caption: str, slots: dict[str, str]) -> None:
    """Propose the photo's entry."""
    text = here.keep_text(caption) if caption.strip() else None
    here.propose(Photographed(photo, text, here.fish_of(slots), here.batch_of(slots), slots.get("place")))


def subject_of(scene: Scene, caption: str, *, here: bool = True) -> dict[str, str] | None:
    """What the caption names: one fish, batch or place; without one, the place whose label was scanned (unless that is not meant)."""
    context = scene.context()
    scanned = {"place": context.here} if here and context.here else None
    if not caption.strip():
        return scanned
    names = scene.names()
    for text in (f"photo of {caption}", caption, f"status {caption}"):
        reading = read(text, now=scene.local, by=scene.person.name, names=names, context=context)
        items = reading.items if isinstance(reading, Events) else (reading.item,) if hasattr(reading, "item") else ()
        for item in items:
            named = {key: str(item.slots[key]) for key in ("female", "male", "batch", "place") if item.slots.get(key)}
            if named:
                first = next(iter(named))
                return {first: named[first]}
    return scanned
