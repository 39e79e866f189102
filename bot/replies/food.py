"""What is said about feeding: grams and pinches, what kind, how full a water is, and what its plants and filter must carry."""

from __future__ import annotations

from bot.replies import follow, naming
from bot.replies.words import Style, capital, counted, number
from core.biology.feeding import Limit, Ration
from core.biology.stocking import Crowding
from core.fishroom.state import Batch, Fishroom
from core.planning.rations import BatchRation, PlaceRation

LB_PER_100_GAL = 2.20462 * 0.3785412
"""Pounds in 100 US gallons for each kilogram in a cubic metre (0.83)."""
CROWDED = {
    Crowding.ROOMY: "roomy",
    Crowding.USUAL: "usual",
    Crowding.FULL: "full",
    Crowding.TOO_FULL: "too full",
}
LIMITS = {
    Limit.COLD: "The water is cool, so that is half of what they would take warm.",
    Limit.TOO_COLD: "The water is too cold to feed.",
    Limit.HEAT: "The water is very warm: half rations and more air.",
}


def food(found: Ration, style: Style) -> str:
    """Grams a day, feeds, pinches, particle size."""
    low, high = found.particle_mm
    pinch = found.pinches_per_feed
    about = f"about {pinch:.0f} pinches" if pinch >= 1.5 else "about a pinch" if pinch > 0.6 else "less than a pinch"
    kind = "ground to dust" if found.ground else f"{number(low, 1)}–{number(high, 1)} mm"
    return (
        f"{style.grams(found.grams)} a day ({style.grams(found.low_g)} to {style.grams(found.high_g)}) in {found.feeds} feeds, {about} each; "
        f"{kind}, about {number(found.protein * 100, 0)}% protein"
    )


def usual_food(found: BatchRation, style: Style) -> str:
    """What they are used to eating, in short: "0.5–1 mm, 3 feeds a day"; empty where they do not eat yet."""
    ration = found.ration
    if found.no_food_before is not None or not ration.feeds:
        return ""
    low, high = ration.particle_mm
    kind = "ground to dust" if ration.ground else f"{number(low, 1)}–{number(high, 1)} mm"
    return f"{kind}, {counted(ration.feeds, 'feed')} a day"


def batch_food(room: Fishroom, batch: Batch, found: BatchRation, style: Style) -> str:
    """What a batch should eat."""
    name = naming.batch(room, batch.id, with_strain=True)
    if not found.fish:
        return f"{name} has no fish left in the book."
    if found.no_food_before is not None:
        return f"{name}: nothing yet. They live on yolk until {follow.window(found.no_food_before, style)}; food would only foul the water."
    if found.ration.feeds == 0:
        return f"{name}: nothing today. {LIMITS.get(found.ration.limit, '')}".strip()
    limit = LIMITS.get(found.ration.limit, "")
    head = f"{name}: {counted(found.fish, 'fish', 'fish')} of about {style.grams(found.mean_g)} at {style.temperature(found.temperature_c)}"
    return f"{head}: {food(found.ration, style)}. Take out what is left after half an hour. {limit}".strip()


def place_food(room: Fishroom, found: PlaceRation, style: Style) -> str:
    """What everybody in a place should eat."""
    lines = [f"{capital(found.place)}: about {style.grams(found.grams)} a day in all."]
    for one in found.batches:
        text = batch_food(room, room.batches[one.batch], one, style)
        lines.append(f"• {text}")
    if found.breeders:
        low, high = found.breeders_g
        span = f"{style.grams(low)} to {style.grams(high)} a day in 1 or 2 feeds"
        lines.append(f"• {counted(found.breeders, 'breeder')}: {span}; holding females take none.")
    lines += [*stocking_line(found, style), *loop_line(found, style)]
    return "\n".join(lines) if found.batches or found.breeders else f"The book has no fish in {found.place}."


def stocking_line(found: PlaceRation, style: Style) -> list[str]:
    """How full the water is; of a nursery box how many fry it holds."""
    if found.nursery is not None:
        cautious, usual = found.nursery
        fry = sum(one.fish for one in found.batches)
        word = "roomy" if fry <= cautious else "as full as is usual" if fry <= usual else "too full: move some, or change water twice a day"
        return [f"{counted(fry, 'fry', 'fry')} in a box that holds {cautious} to {usual} of that size: {word}."]
    if found.load is None:
        return []
    load = found.load
    if style.units == "us":
        now, most = load.kg_per_m3 * LB_PER_100_GAL, load.most_kg_per_m3 * LB_PER_100_GAL
        return [f"{number(now, 1)} lb of fish per 100 gallons of at most {number(most, 0)}: {CROWDED[load.crowding]}."]
    return [f"{number(load.kg_per_m3, 1)} kg of fish per m³ of at most {number(load.most_kg_per_m3, 0)}: {CROWDED[load.crowding]}."]


def loop_line(found: PlaceRation, style: Style) -> list[str]:
    """What the day's feed asks of the plants and the filter of a loop."""
    need = found.loop
    if need is None:
        return []
    leafy, fruiting = need.leafy_m2, need.fruiting_m2
    return [
        f"The loop has to take up what {style.grams(found.grams)} of feed a day leave: {area(leafy, style)} of leafy plants "
        f"(or {area(fruiting, style)} of fruiting ones), and about {style.volume(need.media_litres)} of filter gravel."
    ]


def area(span: tuple[float, float], style: Style) -> str:
    """A span of areas, m² or square feet."""
    low, high = (value * 10.7639 if style.units == "us" else value for value in span)
    return f"{number(low, 2)} to {number(high, 2)} {'sq ft' if style.units == 'us' else 'm²'}"
