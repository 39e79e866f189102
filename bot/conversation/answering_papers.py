"""Pictures, printed sheets and tables by message: charts, the season, a family, labels, the books, a pickup's papers.

States never change once they are made, so what is to be drawn is drawn after the transaction is over.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any
from urllib.parse import quote, urlsplit

from bot.conversation.here import NotClearError, Unclear, here_of
from bot.conversation.message import Drawing, Reply
from bot.conversation.scene import Scene
from bot.pictures import growth, labels, numbers, pedigree, season, shelf, water
from bot.replies import naming, papers, selling
from bot.replies.people import ON_TELEGRAM
from core.club.export import tables_of
from core.fishroom.choices import level_of
from core.fishroom.names import batch_pedigree_id, pedigree_id
from core.fishroom.state import Batch, Fishroom, Place
from core.planning.books import books, held_back_now

Slots = Mapping[str, Any]
PNG, PDF = "image/png", "application/pdf"


def chart(scene: Scene, slots: Slots) -> list[Reply]:
    """A batch's growth and numbers, or a place's water."""
    here = here_of(scene)
    if "batch" in slots:
        return [_batch_chart(scene, here.room, here.batch(slots["batch"]))]
    if not slots.get("place"):
        raise NotClearError(Unclear("batch", "missing"))
    place = str(slots["place"])
    if not here.room.water_tests.get(here.room.water_of(place)):
        return [Reply(papers.no_tests(place))]
    draw = partial(_water, here.room, place, scene)
    return [Reply(papers.water_chart(place), drawings=(Drawing(f"water-{place.replace(' ', '-')}.png", PNG, draw),))]


def _water(room: Fishroom, place: str, scene: Scene) -> bytes:
    picture = water.water_of(room, place, scene.today, f"Water of {place}")
    return water.draw_water(picture, scene.style.units, scene.style.dates)


def _batch_chart(scene: Scene, room: Fishroom, batch: Batch) -> Reply:
    title = naming.batch(room, batch.id, with_strain=True)

    def grown() -> bytes:
        return growth.draw_growth(growth.growth_of(room, batch, scene.today, title), scene.style.units, scene.style.dates)

    def counted() -> bytes:
        return numbers.draw_numbers(numbers.numbers_of(batch, title), scene.style.dates)

    drawings = (Drawing(f"growth-{batch.label}.png", PNG, grown), Drawing(f"numbers-{batch.label}.png", PNG, counted))
    return Reply(papers.batch_chart(batch.label), drawings=drawings)


def season_chart(scene: Scene, slots: Slots) -> list[Reply]:
    """The broods of the season as a timeline."""
    room = here_of(scene).room
    title = f"{scene.visit.tx.clubs.room(room.id).name}, season"

    def draw() -> bytes:
        return season.draw_season(season.season_of(room, scene.today, title), scene.style.dates)

    return [Reply(papers.SEASON, drawings=(Drawing("season.png", PNG, draw),))]


def family(scene: Scene, slots: Slots) -> list[Reply]:
    """The pedigree of a fish or a batch, with F."""
    here = here_of(scene)
    kin = {key: one for room in scene.visit.rooms_of_club(scene.club.id) for key, one in pedigree.kin_of(room).items()}
    if fish := here.fish_of(slots):
        subject, title = pedigree_id(here.room, here.room.fish[fish]), naming.fish(here.room, fish)
    else:
        batch = here.batch(slots["batch"])
        subject, title = batch_pedigree_id(here.room, batch), naming.batch(here.room, batch.id)

    def draw() -> bytes:
        return pedigree.draw_pedigree(pedigree.pedigree_of(subject, kin, f"Family of {title[0].lower()}{title[1:]}"))

    return [Reply(papers.family(title), drawings=(Drawing("family.png", PNG, draw),))]


def shelf_chart(scene: Scene) -> Drawing:
    """The club's shelf by month."""
    rooms = scene.visit.rooms_of_club(scene.club.id)
    level = level_of(scene.visit.club(scene.club.id))

    def draw() -> bytes:
        return shelf.draw_shelf(shelf.shelf_of(rooms, scene.today, scene.now, level, f"{scene.club.name}: the shelf"))

    return Drawing("shelf.png", PNG, draw)


def place_labels(scene: Scene, slots: Slots) -> list[Reply]:
    """A sheet of labels with a code that opens the conversation at the place."""
    room = here_of(scene).room
    if not room.places:
        return [Reply(papers.NO_PLACES)]
    order = {name: number for number, name in enumerate(room.places)}
    base, title = place_link(scene), scene.visit.tx.clubs.room(room.id).name

    def link(place: Place) -> str:
        return base.format(room=room.id, number=order[place.name], place=quote(place.name))

    def draw() -> bytes:
        return labels.draw_labels(labels.labels_of(room, link), title, scene.style.units)

    count = sum(not place.retired for place in room.places.values())
    only_here = urlsplit(base).hostname in LOOPBACK
    return [Reply(papers.labels(count, only_here=only_here), drawings=(Drawing("labels.pdf", PDF, draw),))]


LOOPBACK = ("localhost", "127.0.0.1", "::1")


def place_link(scene: Scene) -> str:
    """Where the code of a label leads: back to the door by which it was asked for."""
    chat = scene.visit.links.get(ON_TELEGRAM) if scene.origin.door == "telegram" else None
    return f"{chat}at_{{room}}_{{number}}" if chat else scene.visit.place_link


def the_books(scene: Scene, slots: Slots) -> list[Reply]:
    """Income, fish and losses by season, with everything as tables."""
    room = here_of(scene).room
    texts = scene.visit.tx.texts.get_all([note.text for note in room.notes if note.text])
    names = dict(scene.members)
    made = Drawing("fishroom-tables.zip", "application/zip", partial(tables_of, room, names, texts))
    return [Reply(selling.books(books(room), held_back_now(room), scene.style), drawings=(made,))]


PAPER_ANSWERS: Mapping[str, Callable[[Scene, Slots], list[Reply]]] = {
    "chart": chart,
    "season": season_chart,
    "family": family,
    "labels": place_labels,
    "books": the_books,
}
